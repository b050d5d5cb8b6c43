package page

import (
	"fmt"
	"strings"

	"wornwood/annotate/outline"
	"wornwood/annotate/shape"
	"wornwood/pdfout/paint"
)

// frontMap draws front, back and board with their pins between the cursor and
// foot, as large as the height allows.
func (l *layout) frontMap(foot float64) {
	d := l.r.Drawing
	front, back := d.Side(outline.Front), d.Side(outline.Back)
	if front == nil || back == nil {
		return
	}
	l.tagLabel("H2", l.left, l.y+2.2, "Where the marks are")
	top, tall := l.y+4, foot-l.y-9
	if tall < 15 {
		return
	}
	type view struct {
		sheet
		name string
	}
	var views []view
	fb, bb := bodyBounds(front), bodyBounds(back)
	scale := min(tall/max(fb.Dy(), bb.Dy()), 52/max(fb.Dx(), bb.Dx()))
	x := l.left + 3
	for _, v := range []struct {
		side   outline.Side
		bounds shape.Rect
		name   string
	}{{outline.Front, fb, "front"}, {outline.Back, bb, "back"}} {
		s := scaled(v.side, v.bounds, scale, x, top, false)
		views = append(views, view{s, v.name})
		x = s.frame.Max.X + 9
	}
	for _, v := range d.Views() {
		if v.Group == "Board" && v.Bounds.Dy() > 0 {
			s := scaled(v.Side, v.Bounds, tall/v.Bounds.Dy(), x+1, top, false)
			views = append(views, view{s, "board"})
		}
	}
	shown := map[int]bool{}
	for _, v := range views {
		for _, p := range l.pinsOn(v.sheet) {
			shown[p.Number] = true
		}
		l.frontView(v.sheet, v.name, top+tall+3.6)
	}
	l.frontKey(l.left+measure-52, top, tall, len(shown))
}

func (l *layout) frontView(s sheet, name string, captionY float64) {
	n := len(l.pinsOn(s))
	old := l.style
	l.style.radius *= 0.82
	l.drawSheet(s, l.sheetWords(s, name), 2)
	l.style = old
	words := strings.ToUpper(name)
	if n == 0 {
		words += ", NO MARKS"
	}
	l.d.Tag("Caption", func() {
		l.d.Centre((s.frame.Min.X+s.frame.Max.X)/2, captionY, words, labelFont.Sized(6), paint.Faint)
	})
}

// frontKey is the key to the pins, and where the other sides are drawn.
func (l *layout) frontKey(x, y, tall float64, shown int) {
	l.tagLabel("P", x, y+2.2, "How deep")
	y = l.depthKey(x, y+4.5)
	p, ok := l.places["outlines"]
	if !ok || tall < 30 {
		return
	}
	s := fmt.Sprintf("All sides are drawn large on page %d.", p.page)
	if rest := len(l.r.Record.Marks) - shown; rest > 0 {
		s = fmt.Sprintf("%s elsewhere: all sides are on page %d.", upper(count(rest, "mark is", "marks are")), p.page)
	}
	lines := paint.Wrap(s, smallFont, 50)
	l.d.Lead(x, y, 50, 8, p.page, p.y-4, func() {
		for i, line := range lines {
			l.d.Text(x, y+3.4+float64(i)*lead(smallFont), line, smallFont, paint.Dim)
		}
	})
}

// issuer says who issues the report, when, with which key, beside the code.
func (l *layout) issuer(y float64) {
	l.d.Line(l.left, y-2.5, l.right, y-2.5, 0.5, paint.Hair)
	const size = 19.0
	l.drawQR(l.left, y, size)
	x := l.left + size + 5
	w := l.right - x
	e := l.r.Record.Examination
	who := clean(l.r.Signer.Name)
	if who == "" {
		who = orDash(joined(e.Examiner, e.Shop))
	}
	line := "issued " + dateTime(l.r.Created) + "."
	if l.r.Signer.Key != "" {
		line = "signed " + dateTime(l.r.Created) + ". Key " + fingerprint(l.r.Signer.Key, 4)
	}
	bold := strongFont.Sized(9)
	name, f := paint.Fit(who+",", bold, w*0.5, 6.5)
	l.d.Tag("P", func() {
		l.d.Text(x, y+3.6, name, f, paint.Black)
		at := x + paint.Width(name, f) + 1.2
		s, tf := paint.Fit(line, textFont.Sized(8.6), l.right-at, 6.4)
		l.d.Text(at, y+3.6, s, tf, paint.Black)
	})
	pages := "its last pages say how"
	if p, ok := l.places["verify"]; ok {
		pages = fmt.Sprintf("page %d says how", p.page)
	}
	s := fmt.Sprintf("The record, its grade and the digests of %s are inside this file. Any reader that checks signatures shows whether a byte has changed; %s. "+
		"The time is the signer’s own statement. A condition report is neither a valuation nor an opinion on authenticity. Original photos on request.",
		count(len(l.r.Record.Photos), "photo", "photos"), pages)
	lines := paint.Wrap(s, smallFont, w)
	l.setLines("P", x, y+6, lines, smallFont, paint.Dim)
	l.d.Tag("P", func() { l.d.Text(x, y+size-0.4, "record sha-256 "+l.r.RecordHash, hashFont, paint.Dim) })
}
