//go:build ci

package markview

import (
	"fmt"
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/driver/desktop"

	"wornwood/annotate/shape"
	"wornwood/capture/record"
)

// The keyboard as the toolkit tells of it: held arrow keys, the shift key, and
// keys that are the window's.
func TestCanvasKeys(t *testing.T) {
	c := NewCanvas(nil, nil)
	win := window(t, c, 400, 300, 1)
	var moves [][]shape.Pt
	c.Control.OnMove = func(_, _ int, _ record.Shape, pts []shape.Pt) { moves = append(moves, pts) }
	var others []fyne.KeyName
	c.OnKey = func(e *fyne.KeyEvent) { others = append(others, e.Name) }
	sheet := Sheet{Photo: photoID, Width: 800, Height: 600, Marks: []record.Mark{onPhoto(5, record.PointShape, p(600, 300))}, Selected: 5}
	c.SetSheet(sheet)
	win.Canvas().Capture()
	win.Canvas().Focus(c)

	press := func(name fyne.KeyName, times int) {
		c.KeyDown(&fyne.KeyEvent{Name: name})
		for range times {
			c.TypedKey(&fyne.KeyEvent{Name: name})
		}
	}
	press(fyne.KeyRight, 5)
	if len(moves) > 0 {
		t.Error("a held key reported before it came up")
	}
	c.KeyUp(&fyne.KeyEvent{Name: fyne.KeyRight})
	press(fyne.KeyUp, 2)
	win.Canvas().Unfocus() // the key comes up elsewhere
	if len(moves) != 2 || moves[0][0] != p(605, 300) || moves[1][0] != p(600, 298) {
		t.Errorf("moves %v", moves)
	}
	win.Canvas().Focus(c)
	c.KeyDown(&fyne.KeyEvent{Name: desktop.KeyShiftLeft})
	press(fyne.KeyLeft, 1)
	c.KeyUp(&fyne.KeyEvent{Name: fyne.KeyLeft})
	c.KeyUp(&fyne.KeyEvent{Name: desktop.KeyShiftLeft})
	if len(moves) != 3 || moves[2][0] != p(590, 300) {
		t.Errorf("with shift: moves %v", moves)
	}
	for _, k := range []fyne.KeyName{fyne.KeyDelete, fyne.KeyF1, fyne.KeyX, fyne.KeySpace} {
		c.TypedKey(&fyne.KeyEvent{Name: k})
	}
	if fmt.Sprint(others) != "[Delete F1]" {
		t.Errorf("the window was given %v", others)
	}
}

// Tab goes from suggestion to suggestion and then on.
func TestCanvasTab(t *testing.T) {
	c := NewCanvas(nil, nil)
	window(t, c, 400, 300, 1).Canvas().Capture()
	sheet := Sheet{Photo: photoID, Width: 800, Height: 600}
	c.SetSheet(sheet)
	if c.AcceptsTab() {
		t.Error("Tab stays though there is no suggestion")
	}
	var decided []string
	c.Control.OnGhost = func(id int, ok bool) { decided = append(decided, fmt.Sprint(id, ok)) }
	sheet.Ghosts = []Ghost{{ID: 1, Points: []shape.Pt{p(100, 100)}}, {ID: 2, Points: []shape.Pt{p(200, 200)}}}
	c.SetSheet(sheet)
	for _, want := range []bool{true, true, false} {
		if c.AcceptsTab() != want {
			t.Fatalf("with %+v active, Tab is taken: %v", c.Control.ghost, !want)
		}
		if want {
			c.TypedKey(&fyne.KeyEvent{Name: fyne.KeyTab})
		}
	}
	c.TypedRune('x')
	c.TypedKey(&fyne.KeyEvent{Name: fyne.KeyReturn})
	if fmt.Sprint(decided) != "[2 false 1 true]" {
		t.Errorf("decided %v", decided)
	}
}

// Shift held when the press comes is known, also before the canvas has focus.
func TestCanvasShiftByMouse(t *testing.T) {
	c := NewCanvas(nil, nil)
	window(t, c, 400, 300, 1).Canvas().Capture()
	e := mouse(100, 100)
	e.Modifier = fyne.KeyModifierShift
	c.MouseDown(e)
	if !c.Control.shift {
		t.Error("shift was not seen")
	}
	c.MouseUp(e)
	c.MouseDown(mouse(100, 100))
	if c.Control.shift {
		t.Error("shift is still down")
	}
}
