package ui

import (
	"image/color"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/driver/desktop"
	"fyne.io/fyne/v2/theme"
	"fyne.io/fyne/v2/widget"

	"wornwood/capture/record"
	"wornwood/ui/look"
	"wornwood/ui/view"
)

// signList is the checklist of signs: a line each with what is to be seen, how
// to look, and the three answers. The keys 1 2 3 answer and walk down, 0 takes
// an answer back, the arrows move.
type signList struct {
	widget.BaseWidget
	rows    []view.SignRow
	at      int
	focused bool
	off     bool
	hover   [2]int // row and answer under the pointer

	onAnswer func(id, answer string) // "" takes the answer back
	onSight  func(top, bottom float32)
}

// Heights of a heading and of a line, and the widths of the three answers.
const (
	signHead  float32 = 22
	signLine  float32 = 38
	signRight float32 = 2
)

var signWidths = [3]float32{48, 68, 80}

func newSignList(answer func(id, answer string)) *signList {
	l := &signList{onAnswer: answer, hover: [2]int{-1, -1}}
	l.ExtendBaseWidget(l)
	return l
}

// set shows other lines; another part begins at its first line.
func (l *signList) set(rows []view.SignRow, again bool) {
	l.rows = rows
	if again {
		l.at = 0
	}
	l.at = max(0, min(l.at, len(rows)-1))
	l.Refresh()
}

// Disable keeps the list from taking answers.
func (l *signList) Disable() { l.off = true; l.Refresh() }

// FocusGained and the next are called by the toolkit.
func (l *signList) FocusGained() { l.focused = true; l.Refresh() }

// FocusLost is called by the toolkit.
func (l *signList) FocusLost() { l.focused = false; l.Refresh() }

// TypedRune answers the line at the cursor and walks down.
func (l *signList) TypedRune(r rune) {
	answers := record.SignAnswers()
	switch {
	case r == '0':
		l.answer(l.at, "")
	case r >= '1' && int(r-'1') < len(answers):
		at := l.at
		l.step(1)
		l.answer(at, answers[r-'1'])
	}
}

// TypedKey moves the cursor.
func (l *signList) TypedKey(e *fyne.KeyEvent) {
	switch e.Name {
	case fyne.KeyUp:
		l.step(-1)
	case fyne.KeyDown:
		l.step(1)
	case fyne.KeyHome:
		l.step(-len(l.rows))
	case fyne.KeyEnd:
		l.step(len(l.rows))
	case fyne.KeyBackspace, fyne.KeyDelete:
		l.answer(l.at, "")
	}
}

func (l *signList) step(d int) {
	l.at = max(0, min(len(l.rows)-1, l.at+d))
	l.Refresh()
	if l.onSight != nil && len(l.rows) > 0 {
		y := l.top(l.at)
		l.onSight(y-signHead, y+signLine)
	}
}

func (l *signList) answer(i int, answer string) {
	if l.off || i < 0 || i >= len(l.rows) {
		return
	}
	l.onAnswer(l.rows[i].ID, answer)
}

// top is where a line begins, below the heading that stands over it.
func (l *signList) top(i int) float32 {
	y := float32(0)
	for k := range min(i+1, len(l.rows)) {
		if l.rows[k].Heading != "" {
			y += signHead
		}
		if k < i {
			y += signLine
		}
	}
	return y
}

// under is the line and the answer at a place, -1 for none.
func (l *signList) under(p fyne.Position) (row, answer int) {
	for i := range l.rows {
		if y := l.top(i); p.Y >= y && p.Y < y+signLine {
			x := l.Size().Width - signRight
			for k := len(signWidths) - 1; k >= 0; k-- {
				if x -= signWidths[k]; p.X >= x && p.X < x+signWidths[k] {
					return i, k
				}
			}
			return i, -1
		}
	}
	return -1, -1
}

// Tapped answers; the answer that is given already is taken back.
func (l *signList) Tapped(e *fyne.PointEvent) {
	if cv := fyne.CurrentApp().Driver().CanvasForObject(l); cv != nil {
		cv.Focus(l)
	}
	row, k := l.under(e.Position)
	if row < 0 {
		return
	}
	l.at = row
	l.Refresh()
	if k < 0 {
		return
	}
	answer := record.SignAnswers()[k]
	if l.rows[row].Answer == k {
		answer = ""
	}
	l.answer(row, answer)
}

// MouseIn is called by the toolkit.
func (l *signList) MouseIn(e *desktop.MouseEvent) { l.MouseMoved(e) }

// MouseMoved is called by the toolkit.
func (l *signList) MouseMoved(e *desktop.MouseEvent) {
	row, k := l.under(e.Position)
	if now := [2]int{row, k}; now != l.hover {
		l.hover = now
		l.Refresh()
	}
}

// MouseOut is called by the toolkit.
func (l *signList) MouseOut() { l.hover = [2]int{-1, -1}; l.Refresh() }

// CreateRenderer is called by the toolkit.
func (l *signList) CreateRenderer() fyne.WidgetRenderer {
	r := &signListRenderer{l: l}
	r.fit()
	return r
}

// signObjects are the objects of one line.
type signObjects struct {
	ground, rule  *canvas.Rectangle
	head, ask, by *look.Text
	frame         *canvas.Rectangle
	cells         [3]*canvas.Rectangle
	words         [3]*look.Text
}

type signListRenderer struct {
	l       *signList
	lines   []*signObjects
	objects []fyne.CanvasObject
}

func (r *signListRenderer) Destroy()                     {}
func (r *signListRenderer) Objects() []fyne.CanvasObject { return r.objects }

func (r *signListRenderer) MinSize() fyne.Size {
	h := float32(0)
	if n := len(r.l.rows); n > 0 {
		h = r.l.top(n-1) + signLine
	}
	return fyne.NewSize(380, h)
}

func (r *signListRenderer) Refresh() {
	r.fit()
	r.Layout(r.l.Size())
	canvas.Refresh(r.l)
}

// fit has as many lines as are needed in sight and hides the others, so that
// going from part to part makes nothing anew.
func (r *signListRenderer) fit() {
	for len(r.lines) < len(r.l.rows) {
		n := newSignObjects()
		r.lines = append(r.lines, n)
		r.objects = append(r.objects, n.all()...)
	}
	for i, n := range r.lines {
		for _, o := range n.all() {
			show(o, i < len(r.l.rows))
		}
		if i < len(r.l.rows) {
			r.paint(i, n)
		}
	}
}

func newSignObjects() *signObjects {
	rect := func() *canvas.Rectangle { return canvas.NewRectangle(color.Transparent) }
	n := &signObjects{ground: rect(), rule: rect(), frame: rect(), head: look.NewText("", look.Caption, look.Dim).Bold(),
		ask: look.NewText("", look.Body, look.Ink), by: look.NewText("", look.Caption, look.Dim)}
	n.frame.CornerRadius = 4
	for k, w := range record.SignAnswers() {
		n.cells[k], n.words[k] = rect(), look.NewText(w, look.Small, look.Ink).Middle()
		n.cells[k].CornerRadius = 4
	}
	return n
}

func (n *signObjects) all() []fyne.CanvasObject {
	out := []fyne.CanvasObject{n.ground, n.rule, n.head, n.ask, n.by, n.frame}
	for k := range n.cells {
		out = append(out, n.cells[k], n.words[k])
	}
	return out
}

func (r *signListRenderer) ink(n fyne.ThemeColorName) color.Color {
	return theme.ColorForWidget(n, r.l)
}

func (r *signListRenderer) paint(i int, n *signObjects) {
	row := r.l.rows[i]
	n.head.SetText(row.Heading)
	show(n.head, row.Heading != "")
	n.ask.SetText(row.Ask)
	n.by.SetText(row.Look)
	n.rule.FillColor = r.ink(look.Hairline)
	n.ground.FillColor, n.ground.StrokeWidth, n.ground.StrokeColor = color.Transparent, 0, color.Transparent
	if r.l.focused && i == r.l.at {
		n.ground.FillColor, n.ground.StrokeColor, n.ground.StrokeWidth = r.ink(look.Here), r.ink(look.Accent), 2
	}
	n.frame.FillColor, n.frame.StrokeColor, n.frame.StrokeWidth = r.ink(look.Sheet), r.ink(look.Border), 1
	for k := range n.cells {
		fill, text := color.Color(color.Transparent), look.Ink
		switch {
		case row.Answer == k && r.l.off:
			fill = r.ink(look.Border)
		case row.Answer == k:
			fill, text = r.ink(look.Strong), look.OnStrong
		case r.l.off:
			text = look.Dim
		case r.l.hover == [2]int{i, k}:
			fill = r.ink(look.Over)
		}
		n.cells[k].FillColor = fill
		n.words[k].SetInk(text)
	}
}

// Layout is called by the toolkit.
func (r *signListRenderer) Layout(s fyne.Size) {
	all := signRight
	for _, w := range signWidths {
		all += w
	}
	for i := range r.l.rows {
		n, y := r.lines[i], r.l.top(i)
		put := func(o fyne.CanvasObject, x, y, w, h float32) {
			o.Move(fyne.NewPos(x, y))
			o.Resize(fyne.NewSize(w, h))
		}
		put(n.head, 6, y-signHead+5, s.Width-12, signHead-6)
		put(n.ground, 0, y, s.Width, signLine-1)
		put(n.rule, 0, y+signLine-1, s.Width, 1)
		put(n.ask, 6, y+2, s.Width-all-14, 18)
		put(n.by, 6, y+19, s.Width-all-14, 15)
		x := s.Width - all
		put(n.frame, x, y+7, all-signRight, signLine-15)
		for k, w := range signWidths {
			put(n.cells[k], x, y+7, w, signLine-15)
			put(n.words[k], x, y+10, w, signLine-21)
			x += w
		}
	}
}
