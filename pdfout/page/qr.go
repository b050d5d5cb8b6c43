package page

import (
	"fmt"
	"strings"

	"rsc.io/qr"

	"wornwood/annotate/shape"
	"wornwood/pdfout/paint"
)

// QRText is what the square code of page 1 says: report number, digest of the
// record, fingerprint of the key. Capitals and figures only, which makes the
// code a third smaller.
func QRText(number, recordHash, key string) string {
	s := fmt.Sprintf("REPORT %s RECORD SHA256 %s", number, recordHash)
	if key != "" {
		s += " KEY " + key
	}
	return strings.ToUpper(s)
}

// drawQR draws the code as one path of squares, size mm wide with its quiet
// zone of four modules left to the white around it.
func (l *layout) drawQR(x, y, size float64) {
	text := QRText(clean(l.r.Record.Examination.Number), l.r.RecordHash, l.r.Signer.Key)
	code, err := qr.Encode(text, qr.M)
	if err != nil {
		l.err = fmt.Errorf("make square code: %w", err)
		return
	}
	m := size / float64(code.Size)
	var p shape.Path
	for row := range code.Size {
		for col := 0; col < code.Size; col++ {
			from := col
			for col < code.Size && code.Black(col, row) {
				col++
			}
			if col > from {
				addBox(&p, x+float64(from)*m, y+float64(row)*m, float64(col-from)*m, m)
			}
		}
	}
	ink := paint.Ink{}
	l.d.Figure(l.say("qr.alt"), x, y, size, size, func() {
		l.d.Path(p, paint.Pen{Fill: &ink})
	})
}

func addBox(p *shape.Path, x, y, w, h float64) {
	p.MoveTo(shape.Pt{X: x, Y: y})
	p.LineTo(shape.Pt{X: x + w, Y: y})
	p.LineTo(shape.Pt{X: x + w, Y: y + h})
	p.LineTo(shape.Pt{X: x, Y: y + h})
	p.Close()
}
