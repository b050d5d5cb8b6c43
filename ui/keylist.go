package ui

import (
	"image/color"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/driver/desktop"
	"fyne.io/fyne/v2/theme"
	"fyne.io/fyne/v2/widget"

	"wornwood/ui/look"
)

// listColumn is one column of a keyList.
type listColumn struct {
	title string
	width float32 // in units; 0 takes what is left
	right bool    // figures stand at the right
	box   bool    // drawn as something to click
	arrow bool    // with the arrow of a list that opens
}

// listCell is what one cell says.
type listCell struct {
	text string
	ink  fyne.ThemeColorName // "" is look.Ink
	flat bool                // a box without a ground: nothing is said in it yet
	on   bool                // a box that is the chosen one of several
	bare bool                // no box here
}

// keyList is rows of cells with one row chosen: arrows move, letters are
// handed on, a click chooses a row and tells its cell. The whole list is one
// stop of the Tab key. Rows are objects made once and changed only where their
// words change.
type keyList struct {
	widget.BaseWidget
	cols    []listColumn
	rows    [][]listCell
	at      int // chosen row, -1 for none
	height  float32
	focused bool
	hover   int

	onMove func(row int)
	onCell func(row, col int)
	onRune func(r rune)
	onKey  func(name fyne.KeyName)
}

const (
	listHead float32 = 22
	listGap  float32 = 10
)

func newKeyList(height float32, cols ...listColumn) *keyList {
	l := &keyList{cols: cols, height: height, at: -1, hover: -1}
	l.ExtendBaseWidget(l)
	return l
}

// set shows rows with one of them chosen.
func (l *keyList) set(rows [][]listCell, at int) {
	l.rows, l.at = rows, at
	l.Refresh()
}

// FocusGained and the next are called by the toolkit.
func (l *keyList) FocusGained() { l.focused = true; l.Refresh() }

// FocusLost is called by the toolkit.
func (l *keyList) FocusLost() { l.focused = false; l.Refresh() }

// TypedRune hands letters on.
func (l *keyList) TypedRune(r rune) {
	if l.onRune != nil {
		l.onRune(r)
	}
}

// TypedKey moves the choice; other keys are handed on.
func (l *keyList) TypedKey(e *fyne.KeyEvent) {
	var to int
	switch e.Name {
	case fyne.KeyUp:
		to = max(0, l.at-1)
	case fyne.KeyDown:
		to = min(len(l.rows)-1, l.at+1)
	case fyne.KeyHome:
		to = 0
	case fyne.KeyEnd:
		to = len(l.rows) - 1
	default:
		if l.onKey != nil {
			l.onKey(e.Name)
		}
		return
	}
	l.move(to)
}

func (l *keyList) move(to int) {
	if to != l.at && to >= 0 && to < len(l.rows) && l.onMove != nil {
		l.onMove(to)
	}
}

// Tapped chooses a row and tells which cell was clicked.
func (l *keyList) Tapped(e *fyne.PointEvent) {
	if cv := fyne.CurrentApp().Driver().CanvasForObject(l); cv != nil {
		cv.Focus(l)
	}
	row := l.under(e.Position.Y)
	if row < 0 {
		return
	}
	l.move(row)
	for i, x := range l.edges(l.Size().Width) {
		if l.onCell != nil && e.Position.X >= x[0] && e.Position.X < x[1] {
			l.onCell(row, i)
		}
	}
}

func (l *keyList) under(y float32) int {
	row := int((y - listHead) / l.height)
	if y < listHead || row >= len(l.rows) {
		return -1
	}
	return row
}

// MouseIn is called by the toolkit.
func (l *keyList) MouseIn(e *desktop.MouseEvent) { l.MouseMoved(e) }

// MouseMoved is called by the toolkit.
func (l *keyList) MouseMoved(e *desktop.MouseEvent) {
	if i := l.under(e.Position.Y); i != l.hover {
		l.hover = i
		l.Refresh()
	}
}

// MouseOut is called by the toolkit.
func (l *keyList) MouseOut() { l.hover = -1; l.Refresh() }

// edges are the left and right edges of the columns.
func (l *keyList) edges(width float32) [][2]float32 {
	left, flexible := width-listGap*float32(len(l.cols)+1), float32(0)
	for _, c := range l.cols {
		left -= c.width
		if c.width == 0 {
			flexible++
		}
	}
	var out [][2]float32
	x := listGap
	for _, c := range l.cols {
		w := c.width
		if w == 0 {
			w = max(0, left/flexible)
		}
		out = append(out, [2]float32{x, x + w})
		x += w + listGap
	}
	return out
}

// rowTop is where a row begins.
func (l *keyList) rowTop(i int) float32 { return listHead + float32(i)*l.height }

// box is a cell's rectangle.
func (l *keyList) box(row, col int) (fyne.Position, fyne.Size) {
	e := l.edges(l.Size().Width)[col]
	return fyne.NewPos(e[0], l.rowTop(row)+3), fyne.NewSize(e[1]-e[0], l.height-7)
}

// CreateRenderer is called by the toolkit.
func (l *keyList) CreateRenderer() fyne.WidgetRenderer {
	r := &keyListRenderer{l: l, ring: canvas.NewRectangle(color.Transparent)}
	for _, c := range l.cols {
		t := look.NewText(c.title, look.Caption, look.Dim)
		if c.right {
			t.Right()
		}
		r.head = append(r.head, t)
	}
	r.fit()
	return r
}

// listLine is the objects of one row.
type listLine struct {
	ground, rule *canvas.Rectangle
	texts        []*look.Text
	boxes        []*canvas.Rectangle // nil where the column has none
	arrows       []*look.Icon
}

type keyListRenderer struct {
	l       *keyList
	head    []*look.Text
	ring    *canvas.Rectangle
	lines   []*listLine
	objects []fyne.CanvasObject
	width   float32
}

func (r *keyListRenderer) Destroy()                     {}
func (r *keyListRenderer) Objects() []fyne.CanvasObject { return r.objects }

func (r *keyListRenderer) MinSize() fyne.Size {
	w := listGap * float32(len(r.l.cols)+1)
	for _, c := range r.l.cols {
		w += max(c.width, 40)
	}
	return fyne.NewSize(w, r.l.rowTop(len(r.l.rows)))
}

func (r *keyListRenderer) Refresh() {
	r.fit()
	r.Layout(r.l.Size())
	canvas.Refresh(r.l)
}

// fit makes as many lines as there are rows, and paints them.
func (r *keyListRenderer) fit() {
	if len(r.lines) != len(r.l.rows) || r.objects == nil {
		r.lines = r.lines[:min(len(r.lines), len(r.l.rows))]
		for len(r.lines) < len(r.l.rows) {
			r.lines = append(r.lines, r.line())
		}
		r.objects = nil
		for _, h := range r.head {
			r.objects = append(r.objects, h)
		}
		for _, n := range r.lines {
			r.objects = append(r.objects, n.ground, n.rule)
			for i := range n.texts {
				if n.boxes[i] != nil {
					r.objects = append(r.objects, n.boxes[i])
				}
				r.objects = append(r.objects, n.texts[i])
				if n.arrows[i] != nil {
					r.objects = append(r.objects, n.arrows[i])
				}
			}
		}
		r.objects = append(r.objects, r.ring)
		r.width = 0
	}
	for i := range r.lines {
		r.paint(i)
	}
	r.ring.StrokeColor, r.ring.StrokeWidth = color.Transparent, 0
	if r.l.focused && r.l.at >= 0 {
		r.ring.StrokeColor, r.ring.StrokeWidth = r.ink(look.Accent), 2
	}
}

func (r *keyListRenderer) line() *listLine {
	n := &listLine{ground: canvas.NewRectangle(color.Transparent), rule: canvas.NewRectangle(color.Transparent)}
	for _, c := range r.l.cols {
		t := look.NewText("", look.Small, look.Ink)
		if c.right {
			t.Right()
		}
		var b *canvas.Rectangle
		var a *look.Icon
		if c.box {
			b = canvas.NewRectangle(color.Transparent)
			b.CornerRadius = 4
		}
		if c.arrow {
			a = look.NewIcon("down", look.Dim, 12)
		} else if c.box {
			t.Middle()
		}
		n.texts, n.boxes, n.arrows = append(n.texts, t), append(n.boxes, b), append(n.arrows, a)
	}
	return n
}

func (r *keyListRenderer) ink(n fyne.ThemeColorName) color.Color { return theme.ColorForWidget(n, r.l) }

func (r *keyListRenderer) paint(i int) {
	n := r.lines[i]
	n.rule.FillColor = r.ink(look.Hairline)
	n.ground.FillColor = color.Transparent
	switch i {
	case r.l.at:
		n.ground.FillColor = r.ink(look.Here)
	case r.l.hover:
		n.ground.FillColor = r.ink(look.Over)
	}
	for k, c := range r.l.rows[i] {
		name := c.ink
		if name == "" {
			name = look.Ink
		}
		if b := n.boxes[k]; b != nil {
			b.FillColor, b.StrokeColor, b.StrokeWidth = r.ink(look.Sheet), r.ink(look.Border), 1
			if c.flat {
				b.FillColor = color.Transparent
			}
			if c.bare {
				b.FillColor, b.StrokeWidth = color.Transparent, 0
			}
			if c.on {
				name = look.OnStrong
				b.FillColor, b.StrokeColor = r.ink(look.Strong), r.ink(look.Strong)
			}
		}
		n.texts[k].SetText(c.text)
		n.texts[k].SetInk(name)
	}
}

// Layout is called by the toolkit.
func (r *keyListRenderer) Layout(s fyne.Size) {
	if r.width != s.Width {
		r.width = s.Width
		r.arrange(s)
	}
	r.ring.Move(fyne.NewPos(1, r.l.rowTop(r.l.at)))
	r.ring.Resize(fyne.NewSize(s.Width-2, r.l.height-1))
	if r.l.at < 0 {
		r.ring.Resize(fyne.Size{})
	}
}

func (r *keyListRenderer) arrange(s fyne.Size) {
	edges := r.l.edges(s.Width)
	for k, h := range r.head {
		h.Move(fyne.NewPos(edges[k][0], 3))
		h.Resize(fyne.NewSize(edges[k][1]-edges[k][0], listHead-6))
	}
	for i, n := range r.lines {
		y := r.l.rowTop(i)
		n.ground.Move(fyne.NewPos(0, y))
		n.ground.Resize(fyne.NewSize(s.Width, r.l.height-1))
		n.rule.Move(fyne.NewPos(0, y+r.l.height-1))
		n.rule.Resize(fyne.NewSize(s.Width, 1))
		for k, t := range n.texts {
			r.place(t, n.boxes[k], n.arrows[k], edges[k], y)
		}
	}
}

// place sets one cell: its text, and what is drawn round it.
func (r *keyListRenderer) place(t *look.Text, b *canvas.Rectangle, a *look.Icon, edge [2]float32, y float32) {
	x, w := edge[0], edge[1]-edge[0]
	if b != nil {
		b.Move(fyne.NewPos(x, y+3))
		b.Resize(fyne.NewSize(w, r.l.height-7))
		x, w = x+8, w-16
	}
	if a != nil {
		a.Move(fyne.NewPos(x+w-10, y+(r.l.height-13)/2))
		a.Resize(fyne.NewSize(12, 12))
		w -= 14
	}
	h := t.MinSize().Height
	t.Move(fyne.NewPos(x, y+(r.l.height-1-h)/2))
	t.Resize(fyne.NewSize(w, h))
}
