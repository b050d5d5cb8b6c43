//go:build window

package windowtest

import (
	"image"
	"math"
	"testing"
)

// onMarks opens a fresh bench's examination on the Marks screen.
func onMarks(t *testing.T) *window {
	t.Helper()
	s := newScreen(t, 1600, 1000)
	w := s.open(newBench(s))
	w.openExam()
	w.toScreen(2)
	w.settled(outline)
	return w
}

// pinChip pins mark 1 on the lower bout and names it.
func pinChip(w *window) (mark, int) {
	w.t.Helper()
	n := len(w.journal())
	w.click(lowerBout)
	m, n := w.savedMark("mark 1 on the front", n, 1, func(m mark) bool { return len(m.On) == 1 })
	return m, nameKind(w, n, 1, "ch", "chip")
}

// TestDragPin takes a pin by the mouse to another place.
func TestDragPin(t *testing.T) {
	w := onMarks(t)
	before, n := pinChip(w)
	by := image.Pt(60, -90)
	w.drag(lowerBout, lowerBout.Add(by))
	w.step("dragged")
	after, _ := w.savedMark("mark 1 was moved", n, 1, func(m mark) bool {
		return len(m.On) == 1 && m.On[0].Points[0] != before.On[0].Points[0]
	})
	a, b := before.On[0].Points[0], after.On[0].Points[0]
	// One scale for both directions: the front is drawn with its head up.
	kx, ky := (b[0]-a[0])/float64(by.X), (b[1]-a[1])/float64(by.Y)
	if kx <= 0 || math.Abs(kx-ky) > 0.03*kx {
		t.Errorf("a drag by %v moved the mark from %v to %v mm: %.3f and %.3f mm a pixel", by, a, b, kx, ky)
	}
	if after.Kind != "chip" || after.On[0].Side != "front" {
		t.Errorf("the drag changed more than the place: %+v", after)
	}
}

// TestZoom turns the wheel over the outline and fits it again by space; nothing
// of it is a change of the record.
func TestZoom(t *testing.T) {
	w := onMarks(t)
	n := len(w.journal())
	w.click(backdrop) // gives the keyboard to the outline
	fit := w.settled(outline)
	bar := w.settled(answers)

	w.wheel(backdrop, 3)
	near := w.differs("the wheel zooms the outline", fit, outline)
	w.step("zoomed")
	w.key("space")
	w.agrees("space fits the outline again", fit, outline)
	w.key("1")
	w.differs("1 shows the outline at life size", fit, outline)
	w.key("space")
	w.agrees("space fits the outline again", fit, outline)

	// Zooming is about the cursor: what is far from it moved more.
	if near.same(fit, image.Rect(300, 600, 470, 860)) {
		t.Error("the far corner of the outline did not move")
	}
	w.agrees("the answers stay", bar, answers)
	if got := len(w.journal()); got != n {
		t.Errorf("zooming wrote %d entries into the journal", got-n)
	}
}

// TestDark changes to the dark variant and back by Ctrl+D.
func TestDark(t *testing.T) {
	w := onMarks(t)
	w.move(backdrop)
	light := w.settled(wholePic)
	w.step("light")
	w.key("ctrl+d")
	w.until("the ground is dark", func() bool {
		c := w.shot().at(ground.X, ground.Y)
		return c>>16 < 0x40 && c>>8&0xFF < 0x40 && c&0xFF < 0x40
	})
	dark := w.settled(wholePic)
	w.step("dark")
	if n, all := dark.differing(light, wholePic), wholePic.Dx()*wholePic.Dy(); n < all*6/10 {
		t.Errorf("the dark variant differs in %d of %d pixels only", n, all)
	}
	w.key("ctrl+d")
	w.agrees("the light variant comes back", light, outline)
}

// TestSheetTakesKeys opens the list of keys by F1: while it is open neither
// Delete nor a shortcut reaches what lies under it, and Escape closes it.
func TestSheetTakesKeys(t *testing.T) {
	w := onMarks(t)
	_, n := pinChip(w)
	w.move(backdrop)
	before := w.settled(wholePic)
	w.key("F1")
	w.sheet(true)
	w.step("keys")
	w.key("Delete", "ctrl+z", "ctrl+4", "Escape")
	w.sheet(false)
	w.agrees("the window is as it was", before, wholePic)
	if got := len(w.journal()); got != n {
		t.Errorf("keys under the sheet wrote %d entries into the journal", got-n)
	}
	w.key("Delete")
	w.saved("mark 1 was deleted", n, func(e entry) bool { return e.Name == "Delete mark 1" })
}
