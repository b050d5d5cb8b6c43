package ui

import (
	"fmt"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/driver/desktop"
	"fyne.io/fyne/v2/widget"

	"wornwood/capture/record"
	"wornwood/ui/view"
)

// playGrid is the fret-by-string grid: strings down, frets across. Arrows move
// the cursor and with Shift select a block, letters say a sound, the pointer
// paints or selects. Its objects are made once for a number of strings and
// frets; a change paints only the cells that it changed.
type playGrid struct {
	widget.BaseWidget
	w     *Window
	m     *view.Play
	notes func() []string // of the open strings, string 1 first
	draw  *gridDrawing

	focused, shift bool
}

var (
	_ fyne.Focusable    = (*playGrid)(nil)
	_ fyne.Shortcutable = (*playGrid)(nil)
	_ fyne.Draggable    = (*playGrid)(nil)
	_ desktop.Mouseable = (*playGrid)(nil)
	_ desktop.Keyable   = (*playGrid)(nil)
)

func newPlayGrid(w *Window, m *view.Play, notes func() []string) *playGrid {
	g := &playGrid{w: w, m: m, notes: notes}
	g.ExtendBaseWidget(g)
	return g
}

// FocusGained is called by the toolkit, as all up to DragEnd are.
func (g *playGrid) FocusGained() { g.focused = true; g.update() }

// FocusLost is called by the toolkit.
func (g *playGrid) FocusLost() { g.focused, g.shift = false, false; g.update() }

// TypedRune says a sound.
func (g *playGrid) TypedRune(r rune) {
	if r == ' ' {
		r = 'c'
	}
	if g.w.exam.shell.Frozen() {
		return
	}
	g.w.try(func() error { return g.m.Type(r) })
	g.update()
}

// TypedKey moves the cursor; keys that mean nothing here are the window's.
func (g *playGrid) TypedKey(e *fyne.KeyEvent) {
	at := g.m.Cursor()
	switch e.Name {
	case fyne.KeyLeft:
		g.m.Move(0, -1, g.shift)
	case fyne.KeyRight:
		g.m.Move(0, 1, g.shift)
	case fyne.KeyUp:
		g.m.Move(-1, 0, g.shift)
	case fyne.KeyDown:
		g.m.Move(1, 0, g.shift)
	case fyne.KeyHome:
		g.m.Select(view.Cell{String: at.String, Fret: 1}, g.shift)
	case fyne.KeyEnd:
		g.m.Select(view.Cell{String: at.String, Fret: g.m.Frets()}, g.shift)
	case fyne.KeyBackspace:
		g.m.Back()
	case fyne.KeyDelete:
		g.TypedRune('n')
	case fyne.KeySpace: // comes as a rune too
	case fyne.KeyEscape:
		g.m.Drop()
		g.m.Select(at, false)
	default:
		g.w.typedKey(e)
	}
	g.update()
}

// TypedShortcut selects everything by Ctrl+A.
func (g *playGrid) TypedShortcut(s fyne.Shortcut) {
	if _, ok := s.(*fyne.ShortcutSelectAll); ok {
		g.m.SelectAll()
		g.update()
	}
}

// KeyDown and KeyUp follow the Shift key.
func (g *playGrid) KeyDown(e *fyne.KeyEvent) {
	if e.Name == desktop.KeyShiftLeft || e.Name == desktop.KeyShiftRight {
		g.shift = true
	}
}

// KeyUp is called by the toolkit.
func (g *playGrid) KeyUp(e *fyne.KeyEvent) {
	if e.Name == desktop.KeyShiftLeft || e.Name == desktop.KeyShiftRight {
		g.shift = false
	}
}

// MouseDown paints, or selects: from a head a whole string or fret, with Shift
// up to here.
func (g *playGrid) MouseDown(e *desktop.MouseEvent) {
	g.w.win.Canvas().Focus(g)
	if e.Button != desktop.MouseButtonPrimary || g.m.Frets() == 0 {
		return
	}
	c := g.cellAt(e.Position)
	switch {
	case c.String < 1 && c.Fret < 1:
		g.m.SelectAll()
	case c.String < 1:
		g.m.SelectFret(c.Fret)
	case c.Fret < 1:
		g.m.SelectString(c.String)
	case c.Fret > g.m.Frets() || c.String > g.m.Strings():
		return
	case e.Modifier&fyne.KeyModifierShift != 0 || g.w.exam.shell.Frozen():
		g.m.Select(c, e.Modifier&fyne.KeyModifierShift != 0)
	default:
		g.m.Press(c)
	}
	g.update()
}

// MouseUp ends a stroke.
func (g *playGrid) MouseUp(*desktop.MouseEvent) { g.DragEnd() }

// Dragged goes on with a stroke.
func (g *playGrid) Dragged(e *fyne.DragEvent) {
	g.m.Drag(g.cellAt(e.Position))
	g.update()
}

// DragEnd ends a stroke, also when the button comes up elsewhere.
func (g *playGrid) DragEnd() {
	g.w.try(g.m.Release)
	g.update()
}

// cellAt is the position under a place of the widget; 0 is a head, one beyond
// the last lies past the grid.
func (g *playGrid) cellAt(p fyne.Position) view.Cell {
	w, h := g.cell()
	c := view.Cell{}
	if x := p.X - stringHead; x >= 0 {
		c.Fret = min(g.m.Frets(), int(x/w)) + 1
	}
	if y := p.Y - fretHead; y >= 0 {
		c.String = min(g.m.Strings(), int(y/h)) + 1
	}
	return c
}

// Sizes of the grid.
const (
	fretHead   float32 = 24 // the row of fret numbers
	stringHead float32 = 56 // the column of strings and notes

	leastCell, mostWide, mostTall float32 = 20, 54, 60
)

// cell is the size of a position: as large as the room allows.
func (g *playGrid) cell() (w, h float32) {
	s := g.Size()
	w = (s.Width - stringHead) / float32(max(1, g.m.Frets()))
	h = (s.Height - fretHead) / float32(max(1, g.m.Strings()))
	return max(leastCell, min(mostWide, w)), max(leastCell, min(mostTall, h))
}

// CreateRenderer is called by the toolkit.
func (g *playGrid) CreateRenderer() fyne.WidgetRenderer {
	g.draw = &gridDrawing{g: g}
	g.draw.build()
	return g.draw
}

// update paints what changed since it was painted last.
func (g *playGrid) update() {
	if g.draw != nil {
		g.draw.update()
	}
}

// soundMark is how a sound is drawn in the grid, told apart without colour.
func soundMark(s record.Sound) string {
	switch s {
	case record.Clean:
		return "·"
	case record.NotTried:
		return ""
	}
	return string(view.LetterOf(s))
}

func fretNumber(f int) string { return fmt.Sprint(f) }

// dotted tells whether boards usually have a dot at a fret, by which players
// find their place.
func dotted(f int) bool {
	switch f % 12 {
	case 0, 3, 5, 7, 9:
		return true
	}
	return false
}
