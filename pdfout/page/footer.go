package page

import (
	"fmt"
	"strings"

	"wornwood/pdfout/paint"
)

// footers draws the foot of every page, when their number is known. The
// digest is that of the attached record: a file cannot hold its own.
func (l *layout) footers() {
	if l.err != nil {
		return
	}
	n := l.d.Pages()
	about := []string{l.say("footer.report", orDash(l.r.Record.Examination.Number)), l.title()}
	if s := clean(l.r.Record.Instrument.Serial); s != "" {
		about = append(about, l.say("footer.serial", s))
	}
	small := smallFont.Sized(7)
	for p := 1; p <= n; p++ {
		l.d.GoTo(p)
		y := l.d.Height() - 16
		l.d.Artifact(func() {
			l.d.Line(l.left, y, l.right, y, 0.7, paint.Black)
			s, f := paint.Fit(strings.Join(about, "  ·  "), small, 140, 6)
			l.d.Text(l.left, y+4, s, f, paint.Dim)
			l.d.Text(l.left, y+7.4, Footer(l.r.RecordHash, l.t), hashFont, paint.Dim)
			l.d.Right(l.right, y+4, fmt.Sprintf("%d / %d", p, n), smallBold.Sized(8.2), paint.Black)
		})
	}
}
