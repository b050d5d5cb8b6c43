package page

import (
	"context"
	"strings"

	"wornwood/capture/record"
	"wornwood/pdfout/catalogue"
	"wornwood/pdfout/paint"
	"wornwood/pdfout/pdf"
)

// measure is the width of the text area in mm on either paper.
const measure = 178.0

// layout carries the state of one report being laid out: a cursor that runs
// down the pages.
type layout struct {
	ctx      context.Context
	d        *paint.Doc
	r        *Report
	t        *catalogue.Text
	progress Progress
	err      error

	left, right float64 // edges of the text area, mm
	top, bottom float64
	y           float64
	lastLabel   string // what is said again on top of a page where a section goes on

	places map[string]place // where sections begin, for page 1
	fields []pdf.Field
	crops  map[cropKey]paint.Picture
	steps  int // of progress
	done   int
	style  pinStyle
	only   []record.Mark // when set, the marks whose pins are drawn
}

type place struct {
	page int
	y    float64
}

func newLayout(ctx context.Context, d *paint.Doc, r *Report, p Progress) (*layout, error) {
	l := &layout{ctx: ctx, d: d, r: r, t: r.Text, progress: p, places: map[string]place{}, crops: map[cropKey]paint.Picture{}}
	l.left = (d.Width() - measure) / 2
	l.right = l.left + measure
	l.top = 16
	l.bottom = d.Height() - 20
	l.style = newPinStyle()
	l.steps = len(r.Record.Photos) + len(r.Record.Marks) + 2
	return l, nil
}

// step reports progress and notices that the work was cancelled.
func (l *layout) step(what string) bool {
	if l.err == nil {
		l.err = l.ctx.Err()
	}
	if l.err != nil {
		return false
	}
	l.done++
	l.progress(min(l.done, l.steps), l.steps, what)
	return true
}

// newPage starts a page with the cursor at its top.
func (l *layout) newPage() {
	l.d.AddPage()
	l.y = l.top
	l.d.Line(l.left, l.top-4, l.right, l.top-4, 0.4, paint.Black)
	if l.lastLabel != "" {
		l.d.Artifact(func() { l.d.Text(l.left, l.top-5.6, strings.ToUpper(l.lastLabel), labelFont, paint.Faint) })
		l.y += 1
	}
}

// need makes sure that so many mm are free below the cursor, on a new page if
// not on this one. It says whether it turned the page.
func (l *layout) need(h float64) bool {
	if l.y+h <= l.bottom {
		return false
	}
	l.newPage()
	return true
}

// section begins a section: its head, kept with so many mm of what follows.
func (l *layout) section(id, title string, keep float64) {
	if l.y > l.top {
		l.y += 9
	}
	l.lastLabel = ""
	if !l.need(12 + keep) {
		if l.y > l.top+1 {
			l.d.Line(l.left, l.y-4.5, l.right, l.y-4.5, 0.4, paint.Black)
		}
	}
	l.places[id] = place{l.d.Page(), l.y}
	l.d.Bookmark(title, 0, l.y-5)
	l.d.Tag("H2", func() { l.d.Text(l.left, l.y+4.4, title, headFont, paint.Black) })
	l.y += 9.5
	l.lastLabel = title
}

// label draws a letter-spaced label in capitals, kept with what follows.
func (l *layout) label(text string, keep float64) {
	l.need(6 + keep)
	l.tagLabel("H3", l.left, l.y+2.2, text)
	l.y += 5
}

// tagLabel draws a label as the given element with its baseline at y.
func (l *layout) tagLabel(tag string, x, y float64, text string) {
	l.d.Tag(tag, func() { l.d.Text(x, y, strings.ToUpper(text), labelFont, paint.Faint) })
}

// para sets a paragraph over a width from x, a line at a time, and moves the
// cursor below it. A paragraph that does not fit the page goes to the next; one
// longer than a page is split between lines.
func (l *layout) para(x, width float64, text string, f paint.Font, ink paint.Ink) {
	lines := paint.Wrap(text, f, width)
	step := lead(f)
	if h := float64(len(lines)) * step; h < l.bottom-l.top {
		l.need(h)
	}
	for len(lines) > 0 {
		n := min(len(lines), max(1, int((l.bottom-l.y)/step)))
		l.setLines("P", x, l.y, lines[:n], f, ink)
		l.y += float64(n) * step
		if lines = lines[n:]; len(lines) > 0 {
			l.newPage()
		}
	}
}

// setLines draws lines from the top edge y as one element and returns the
// height they take.
func (l *layout) setLines(tag string, x, y float64, lines []string, f paint.Font, ink paint.Ink) float64 {
	step := lead(f)
	l.d.Tag(tag, func() {
		for i, s := range lines {
			l.d.Text(x, y+rise(f)+float64(i)*step+0.4, s, f, ink)
		}
	})
	return float64(len(lines)) * step
}

// rowLines draws lines as the rows of a table are drawn: each in the middle of
// its line's height.
func (l *layout) rowLines(tag string, x, y float64, lines []string, f paint.Font) {
	l.d.Tag(tag, func() {
		for i, s := range lines {
			l.d.Text(x, y+rise(f)+(lead(f)-rise(f))/2+float64(i)*lead(f), s, f, paint.Black)
		}
	})
}

// hair draws a hairline across a width.
func (l *layout) hair(x, y, w float64) { l.d.Line(x, y, x+w, y, 0.35, paint.Hair) }
