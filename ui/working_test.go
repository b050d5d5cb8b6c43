//go:build ci

package ui

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/test"

	"wornwood/annotate/shape"
	"wornwood/capture/record"
	"wornwood/ui/look"
	"wornwood/ui/view"
)

// bareFront is a point on the demonstration's front, in mm of the outline, on
// which no mark lies; barePhoto one on its photo, in pixels.
var (
	bareFront = shape.Pt{X: -60, Y: 560}
	barePhoto = shape.Pt{X: 1150, Y: 620}
)

// TestPinAndName pins a mark on the outline, names it by two letters and Enter,
// gives it its place on the photo, and takes all of it back by the menu.
func TestPinAndName(t *testing.T) {
	w := demoWindow(t, large, false)
	s := w.marksNow(t)
	before := *w.exam.s.Scene().Grade.Index
	n := len(w.exam.s.Scene().Record.Marks) + 1

	clickAt(s.outline, bareFront)
	m := w.exam.s.Scene().Record.MarkByNumber(n)
	if m == nil || len(m.On) != 1 || m.On[0].Side != "front" {
		t.Fatalf("a click on the outline made %+v", m)
	}
	if p := m.On[0].Points[0]; shape.Dist(p, bareFront) > 1/s.outline.Control.Zoom() {
		t.Errorf("the mark is at %v, the click was at %v", p, bareFront)
	}
	typeText(t, w, "ch")
	capture(t, w, "marks-typing")
	list := lookAt(w)
	for _, f := range list.faults() {
		t.Errorf("while a kind is typed: %s", f)
	}
	press(w, fyne.KeyReturn)
	if got := w.exam.s.Scene().Record.MarkByNumber(n).Kind; got != "chip" {
		t.Errorf("two letters and Enter made it a %q", got)
	}
	if w.win.Canvas().Focused() != nil {
		t.Errorf("after Enter the keyboard is still with a %T", w.win.Canvas().Focused())
	}
	if after := *w.exam.s.Scene().Grade.Index; after >= before {
		t.Errorf("the index was %.3f and is %.3f with one more chip", before, after)
	}
	checkHeader(t, w, lookAt(w))

	clickAt(s.photo, barePhoto)
	if m = w.exam.s.Scene().Record.MarkByNumber(n); len(m.Photos) != 1 || m.Photos[0].Photo != w.exam.marks.Photo() {
		t.Errorf("the click on the photo gave mark %d the places %+v", n, m.Photos)
	}
	undo := menuItem(t, w, "Edit", "Undo")
	for w.exam.s.Scene().Record.MarkByNumber(n) != nil {
		if !strings.Contains(w.exam.s.Scene().Undo, "mark") {
			t.Fatalf("undo would take back %q, and mark %d is still there", w.exam.s.Scene().Undo, n)
		}
		name := w.exam.s.Scene().Undo
		undo.Action()
		if said := w.frame.left.String(); said != "Undone: "+name {
			t.Errorf("after undoing %q the foot says %q", name, said)
		}
	}
	if got := *w.exam.s.Scene().Grade.Index; got != before {
		t.Errorf("after undo the index is %v, it was %v", got, before)
	}
	redo := menuItem(t, w, "Edit", "Redo")
	for w.exam.s.Scene().Redo != "" {
		redo.Action()
	}
	if m = w.exam.s.Scene().Record.MarkByNumber(n); m == nil || m.Kind != "chip" || len(m.Photos) != 1 {
		t.Errorf("redo brought %+v", m)
	}
}

// TestKindByArrows and Escape: the arrow keys choose among the matches, Escape
// keeps the kind.
func TestKindByArrows(t *testing.T) {
	w := demoWindow(t, large, false)
	s := w.marksNow(t)
	clickAt(s.outline, bareFront)
	n := w.exam.s.Scene().Selected
	kind := func() record.Kind { return w.exam.s.Scene().Record.MarkByNumber(n).Kind }
	was := kind()
	typeText(t, w, "de")
	press(w, fyne.KeyEscape)
	if kind() != was {
		t.Errorf("Escape made the %s a %s", was, kind())
	}
	s.panel.focusKind()
	typeText(t, w, "c")
	want := w.exam.marks.Kinds("c")[1].Kind
	press(w, fyne.KeyDown, fyne.KeyReturn)
	if kind() != want {
		t.Errorf("Down and Enter made it a %s, the second match is %s", kind(), want)
	}
}

// TestKindWithDepth types the kind's letters and how deep in one go; the figure
// alone leaves the kind.
func TestKindWithDepth(t *testing.T) {
	w := demoWindow(t, large, false)
	s := w.marksNow(t)
	clickAt(s.outline, bareFront)
	n := w.exam.s.Scene().Selected
	mark := func() *record.Mark { return w.exam.s.Scene().Record.MarkByNumber(n) }
	typeText(t, w, "ch3")
	if got := s.panel.kind.found; len(got) == 0 || got[0].Kind != "chip" {
		t.Errorf("ch3 offers %v", got)
	}
	press(w, fyne.KeyReturn)
	if m := mark(); m.Kind != "chip" || m.Depth != record.IntoWood {
		t.Errorf("ch3 made it a %s, %s", m.Kind, m.Depth)
	}
	s.panel.focusKind()
	typeText(t, w, "1")
	press(w, fyne.KeyReturn)
	if m := mark(); m.Kind != "chip" || m.Depth != record.InFinish {
		t.Errorf("1 made it a %s, %s", m.Kind, m.Depth)
	}
}

// TestPanelEdits changes the selected mark: depth by its segments, size and note
// by typing. A size that is no number is refused in words and stays to be mended.
func TestPanelEdits(t *testing.T) {
	w := demoWindow(t, large, false)
	s := w.marksNow(t)
	s.selectMark(1)
	settle(w)
	mark := func() *record.Mark { return w.exam.s.Scene().Record.MarkByNumber(1) }
	for i, want := range record.Depths() {
		d := s.panel.depth
		test.TapAt(d, fyne.NewPos(d.Size().Width*(float32(i)+0.5)/3, 10))
		if mark().Depth != want || d.Chosen() != i {
			t.Errorf("segment %d gave the depth %q and shows %d", i, mark().Depth, d.Chosen())
		}
	}
	fill := func(f *look.Field, text string) {
		f.Focus(w.win.Canvas())
		f.Entry().SetText("")
		typeText(t, w, text)
		press(w, fyne.KeyReturn)
		w.win.Canvas().Unfocus()
	}
	fill(s.panel.length, "7,5 +- 0.2")
	if l := mark().Length; l == nil || l.Value != 7.5 || l.Uncertainty != 0.2 {
		t.Errorf("the length is %+v", l)
	}
	fill(s.panel.width, "wide")
	if mark().Width != nil {
		t.Errorf("a width that is no number was kept as %+v", mark().Width)
	}
	top := w.win.Canvas().Overlays().Top()
	if top == nil || !lookAt(w).has("That did not work") || !strings.Contains(lookAt(w).joined(), "wide") {
		t.Fatal("nobody says that the width is no number")
	}
	capture(t, w, "sheet-refused-width")
	press(w, fyne.KeyEscape)
	if s.panel.width.Text() != "wide" {
		t.Errorf("what was typed is lost; the field holds %q", s.panel.width.Text())
	}
	s.panel.note.Focus(w.win.Canvas())
	s.panel.note.Entry().SetText("")
	typeText(t, w, "Seen under raking light.")
	w.win.Canvas().Unfocus()
	if mark().Note != "Seen under raking light." {
		t.Errorf("the note is %q", mark().Note)
	}
}

// cutKinds are the only depth words that are too long for the panel and are shown
// shortened there; the list of the rubric would have to find shorter ones.
var cutKinds = map[string]bool{
	"within adjustment": true, "at the end of adjustment": true, "past adjustment": true,
	"paper goes in": true, "card goes in": true, "moves under the strings": true,
}

// TestEveryKindHasRoom makes a mark every kind of the rubric in turn: the panel
// has room for the words of each.
func TestEveryKindHasRoom(t *testing.T) {
	w := demoWindow(t, small, false)
	s := w.marksNow(t)
	s.selectMark(1)
	for _, k := range w.exam.s.Rubric().Kinds() {
		if err := w.exam.marks.SetKind(k.Kind); err != nil {
			t.Errorf("%s: %v", k.Kind, err)
			continue
		}
		settle(w)
		seen := lookAt(w)
		for _, f := range seen.faults() {
			t.Errorf("%s: %s", k.Kind, f)
		}
		words := view.DepthWords(k)
		for _, word := range append([]string{view.Capital(string(k.Kind))}, words[:]...) {
			if !seen.has(word) && !cutKinds[word] {
				t.Errorf("%s: the panel does not say %q", k.Kind, word)
			}
		}
	}
}

// TestDeleteKey takes the selected mark away, and nothing while somebody types
// or a sheet is open.
func TestDeleteKey(t *testing.T) {
	w := demoWindow(t, large, false)
	s := w.marksNow(t)
	s.selectMark(2)
	w.showKeys()
	press(w, fyne.KeyDelete)
	if w.exam.s.Scene().Record.MarkByNumber(2) == nil {
		t.Fatal("Delete took a mark away under an open sheet")
	}
	press(w, fyne.KeyEscape)
	if w.win.Canvas().Overlays().Top() != nil {
		t.Error("Escape leaves the sheet open")
	}
	s.panel.note.Focus(w.win.Canvas())
	press(w, fyne.KeyDelete)
	w.win.Canvas().Unfocus()
	if w.exam.s.Scene().Record.MarkByNumber(2) == nil {
		t.Fatal("Delete in a note took the mark away")
	}
	press(w, fyne.KeyDelete)
	if w.exam.s.Scene().Record.MarkByNumber(2) != nil {
		t.Error("Delete did not take the selected mark away")
	}
}

// TestRefusedImport brings a folder with one photo and one file that is none.
func TestRefusedImport(t *testing.T) {
	w := demoWindow(t, large, false)
	dir := t.TempDir()
	if err := os.WriteFile(filepath.Join(dir, "letter.jpg"), []byte("Dear Sir, the guitar is fine."), 0o644); err != nil {
		t.Fatal(err)
	}
	before := len(w.exam.s.Scene().Record.Photos)
	w.askImport()
	typeText(t, w, dir)
	press(w, fyne.KeyReturn)
	finish(t, w)
	capture(t, w, "sheet-refused-import")
	s := lookAt(w)
	if !s.has("Not imported") || !strings.Contains(s.joined(), "letter.jpg") {
		t.Errorf("after a refused import the window says: %s", s.joined())
	}
	if strings.Count(s.joined(), "letter.jpg") != 1 {
		t.Errorf("the file is named more than once: %s", s.joined())
	}
	for _, f := range s.faults() {
		t.Error(f)
	}
	if got := len(w.exam.s.Scene().Record.Photos); got != before {
		t.Errorf("%d photos, %d before", got, before)
	}
}
