package page

import (
	"wornwood/pdfout/paint"
)

// column is one column of a table.
type column struct {
	head  string
	width float64 // mm, including the gap to the next column
	right bool    // figures end at the column's right edge
	font  paint.Font
	ink   paint.Ink
}

// cell is one cell of a row. A cell with draw draws itself instead of text;
// alt is then what it says.
type cell struct {
	text   string
	font   *paint.Font // nil: the column's
	ink    *paint.Ink
	height float64 // mm that draw needs
	alt    string
	draw   func(x, y, w float64)
}

// gap is the free space at the right of a column, mm.
const gap = 3.0

// table draws rows below the cursor, the head again on every page. A row is
// never split; a cell longer than a page is cut with a mark.
type table struct {
	l     *layout
	x     float64
	cols  []column
	bold  bool // a rule instead of a hairline before the last row
	dense bool
	note  string // small text below, kept with the last row
}

func words(text string) cell { return cell{text: text} }

func (t *table) width() float64 {
	w := 0.0
	for _, c := range t.cols {
		w += c.width
	}
	return w
}

func (t *table) pad() float64 {
	if t.dense {
		return 0.75
	}
	return 1.25
}

// draw sets the whole table.
func (t *table) draw(rows [][]cell) {
	l := t.l
	l.d.Group("Table", func() {
		headed := false
		for i, row := range rows {
			lines, h := t.measure(row)
			keep := h
			if !headed {
				keep += t.headHeight()
			}
			if i == 0 || i == len(rows)-3 { // three rows stay together at either end
				keep = t.together(rows[i:], !headed)
			} else if i == len(rows)-1 {
				keep += t.noteHeight()
			}
			if l.need(keep) || !headed {
				t.drawHead()
				headed = true
			}
			t.drawRow(row, lines, h, t.bold && i == len(rows)-1)
		}
	})
	if t.note != "" {
		l.y += 2
		l.para(t.x, t.width(), t.note, smallFont, paint.Dim)
	}
}

func (t *table) noteHeight() float64 {
	if t.note == "" {
		return 0
	}
	return 2 + float64(len(paint.Wrap(t.note, smallFont, t.width())))*lead(smallFont)
}

func (t *table) headHeight() float64 {
	for _, c := range t.cols {
		if c.head != "" {
			return 6
		}
	}
	return 0.5
}

// together is the room that the first three rows take, with the head and with the
// note where the table ends there; one row where three fill a page. A label over
// a table asks for as much, so that it never stands alone.
func (t *table) together(rows [][]cell, head bool) float64 {
	keep, first := 0.0, 0.0
	if head {
		keep = t.headHeight()
	}
	for i, row := range rows[:min(3, len(rows))] {
		_, h := t.measure(row)
		if keep += h; i == 0 {
			first = keep
		}
	}
	if len(rows) <= 3 {
		keep += t.noteHeight()
	}
	if keep > t.l.bottom-t.l.top-20 {
		return first
	}
	return keep
}

func (t *table) drawHead() {
	l := t.l
	if t.headHeight() > 1 {
		l.d.Group("TR", func() {
			x := t.x
			for _, c := range t.cols {
				at, right := x, x+c.width-gap
				if &c == &t.cols[len(t.cols)-1] || x+c.width >= t.x+t.width()-0.01 {
					right = x + c.width
				}
				l.d.Head(false, func() {
					if c.right {
						l.d.Right(right, l.y+3.4, c.head, smallBold, paint.Faint)
					} else {
						l.d.Text(at, l.y+3.4, c.head, smallBold, paint.Faint)
					}
				})
				x += c.width
			}
		})
	}
	l.y += t.headHeight()
	l.d.Line(t.x, l.y, t.x+t.width(), l.y, 0.7, paint.Black)
}

// measure wraps the cells of a row and finds its height.
func (t *table) measure(row []cell) (lines [][]string, h float64) {
	most := t.l.bottom - t.l.top - 32 // a section's head and the table's own stand above
	for i, c := range row {
		f := t.font(i, c)
		w := t.inner(i)
		ls := paint.Wrap(c.text, f, w)
		ls = paint.Clamp(ls, max(1, int(most/lead(f))), f, w)
		lines = append(lines, ls)
		ch := float64(len(ls)) * lead(f)
		if c.draw != nil {
			ch = c.height
		}
		h = max(h, ch)
	}
	return lines, h + 2*t.pad()
}

func (t *table) font(i int, c cell) paint.Font {
	if c.font != nil {
		return *c.font
	}
	return t.cols[i].font
}

// inner is the width of a column without its gap; the last has none.
func (t *table) inner(i int) float64 {
	if i == len(t.cols)-1 {
		return t.cols[i].width
	}
	return t.cols[i].width - gap
}

func (t *table) drawRow(row []cell, lines [][]string, h float64, total bool) {
	l := t.l
	if total {
		l.d.Line(t.x, l.y, t.x+t.width(), l.y, 0.7, paint.Black)
	}
	l.d.Group("TR", func() {
		x := t.x
		for i, c := range row {
			t.drawCell(i, c, lines[i], x, l.y+t.pad())
			x += t.cols[i].width
		}
	})
	l.y += h
	l.hair(t.x, l.y, t.width())
}

func (t *table) drawCell(i int, c cell, lines []string, x, y float64) {
	l := t.l
	f, ink := t.font(i, c), t.cols[i].ink
	if ink == (paint.Ink{}) {
		ink = paint.Black
	}
	if c.ink != nil {
		ink = *c.ink
	}
	body := func() {
		if c.draw != nil {
			c.draw(x, y, t.inner(i))
			return
		}
		for k, s := range lines {
			base := y + rise(f) + (lead(f)-rise(f))/2 + float64(k)*lead(f)
			if t.cols[i].right {
				l.d.Right(x+t.inner(i), base, s, f, ink)
			} else {
				l.d.Text(x, base, s, f, ink)
			}
		}
	}
	if c.alt != "" {
		l.d.Group("TD", func() { l.d.Figure(c.alt, x, y, t.inner(i), c.height, body) })
		return
	}
	l.d.Tag("TD", body)
}
