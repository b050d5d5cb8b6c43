package ui

import (
	"fmt"
	"image/color"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/theme"
	"fyne.io/fyne/v2/widget"

	"wornwood/capture/record"
	"wornwood/ui/look"
)

// playGrid is the fret-by-string grid: strings down, frets across. Arrows move
// the cursor, letters set a sound and step on, a click goes to the next sound.
type playGrid struct {
	widget.BaseWidget
	s         *gradeScreen
	str, fret int // cursor, from 1
	focused   bool
}

func newPlayGrid(s *gradeScreen) *playGrid {
	g := &playGrid{s: s, str: 1, fret: 1}
	g.ExtendBaseWidget(g)
	return g
}

const (
	cellHeight float32 = 22
	headWidth  float32 = 22
)

func (g *playGrid) cellWidth() float32 {
	return max(12, min(30, (g.Size().Width-headWidth)/float32(max(1, g.s.m.Frets()))))
}

// FocusGained and the next three are called by the toolkit.
func (g *playGrid) FocusGained() { g.focused = true; g.Refresh() }

// FocusLost is called by the toolkit.
func (g *playGrid) FocusLost() { g.focused = false; g.Refresh() }

// TypedRune sets the sound at the cursor and steps to the next fret.
func (g *playGrid) TypedRune(r rune) {
	snd, ok := map[rune]record.Sound{'c': record.Clean, 'b': record.Buzz, 'h': record.Choke, 'd': record.Dead, 'n': record.NotTried}[r]
	if !ok || g.s.w.exam.shell.Frozen() {
		return
	}
	str, fret := g.str, g.fret
	g.step(0, 1)
	g.s.w.try(func() error { return g.s.m.Set(str, fret, snd) })
}

// TypedKey moves the cursor.
func (g *playGrid) TypedKey(e *fyne.KeyEvent) {
	switch e.Name {
	case fyne.KeyLeft:
		g.step(0, -1)
	case fyne.KeyRight:
		g.step(0, 1)
	case fyne.KeyUp:
		g.step(-1, 0)
	case fyne.KeyDown:
		g.step(1, 0)
	}
}

// step moves the cursor; past the last fret it goes on with the next string.
func (g *playGrid) step(ds, df int) {
	g.str, g.fret = g.str+ds, g.fret+df
	if g.fret > g.s.m.Frets() && g.str < g.s.m.Strings() {
		g.str, g.fret = g.str+1, 1
	}
	g.str = max(1, min(g.s.m.Strings(), g.str))
	g.fret = max(1, min(g.s.m.Frets(), g.fret))
	g.Refresh()
}

// Tapped goes to the next sound of a position.
func (g *playGrid) Tapped(e *fyne.PointEvent) {
	fret := int((e.Position.X-headWidth)/g.cellWidth()) + 1
	str := int((e.Position.Y-cellHeight)/cellHeight) + 1
	g.s.w.win.Canvas().Focus(g)
	if e.Position.X < headWidth || e.Position.Y < cellHeight || fret > g.s.m.Frets() || str > g.s.m.Strings() || g.s.w.exam.shell.Frozen() {
		return
	}
	g.str, g.fret = str, fret
	g.s.w.try(func() error { return g.s.m.Cycle(str, fret) })
}

// CreateRenderer is called by the toolkit.
func (g *playGrid) CreateRenderer() fyne.WidgetRenderer {
	r := &gridRenderer{g: g}
	r.build()
	return r
}

type gridRenderer struct {
	g       *playGrid
	objects []fyne.CanvasObject
}

func (r *gridRenderer) Destroy()                     {}
func (r *gridRenderer) Objects() []fyne.CanvasObject { return r.objects }
func (r *gridRenderer) Layout(fyne.Size)             { r.build() }

func (r *gridRenderer) MinSize() fyne.Size {
	m := r.g.s.m
	return fyne.NewSize(headWidth+12*float32(m.Frets()), cellHeight*float32(m.Strings()+1))
}

func (r *gridRenderer) Refresh() {
	r.build()
	canvas.Refresh(r.g)
}

func (r *gridRenderer) build() {
	r.objects = r.objects[:0]
	m, w := r.g.s.m, r.g.cellWidth()
	for f := 1; f <= m.Frets(); f++ {
		r.text(fmt.Sprint(f), headWidth+float32(f-1)*w, 0, w, look.Dim)
	}
	for s := 1; s <= m.Strings(); s++ {
		y := float32(s) * cellHeight
		r.text(fmt.Sprint(s), 0, y, headWidth, look.Dim)
		for f := 1; f <= m.Frets(); f++ {
			r.cell(m.Sound(s, f), headWidth+float32(f-1)*w, y, w, r.g.focused && s == r.g.str && f == r.g.fret)
		}
	}
}

func (r *gridRenderer) cell(snd record.Sound, x, y, w float32, here bool) {
	c := canvas.NewRectangle(r.ink(look.Sheet))
	c.StrokeColor, c.StrokeWidth = r.ink(look.Hairline), 1
	text := look.Ink
	switch snd {
	case record.Clean:
		c.FillColor = r.ink(look.Here)
	case record.NotTried:
	default:
		c.FillColor, text = r.ink(look.Strong), look.OnStrong
	}
	if here {
		c.StrokeColor, c.StrokeWidth = r.ink(look.Accent), 2
	}
	c.Move(fyne.NewPos(x, y))
	c.Resize(fyne.NewSize(w-1, cellHeight-1))
	r.objects = append(r.objects, c)
	r.text(soundMark(snd), x, y, w-1, text)
}

func (r *gridRenderer) text(s string, x, y, w float32, n fyne.ThemeColorName) {
	t := canvas.NewText(s, r.ink(n))
	t.TextSize, t.Alignment = look.Caption, fyne.TextAlignCenter
	t.Move(fyne.NewPos(x, y+3))
	t.Resize(fyne.NewSize(w, cellHeight-6))
	r.objects = append(r.objects, t)
}

func (r *gridRenderer) ink(n fyne.ThemeColorName) color.Color { return theme.ColorForWidget(n, r.g) }
