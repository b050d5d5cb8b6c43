//go:build window

package windowtest

import (
	"fmt"
	"image"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"wornwood/testdata"
)

// imported are the photos that the tests bring, and the views that their names
// propose.
var imported = []string{"front.jpg", "back.jpg", "close-chip.jpg"}

// photoFolder makes a folder with a few of the demonstration's photos.
func photoFolder(t *testing.T) string {
	t.Helper()
	dir := filepath.Join(t.TempDir(), "photos")
	if err := os.Mkdir(dir, 0o755); err != nil {
		t.Fatal(err)
	}
	for _, name := range imported {
		b, err := fs.ReadFile(testdata.DemoPhotos(), name)
		if err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(filepath.Join(dir, name), b, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	return dir
}

// TestMainJob does the main job by mouse and keyboard alone: a new bench,
// photos, three marks, the grade changing on the screen, undo and redo, parts,
// and a signed report that the verb verify accepts.
func TestMainJob(t *testing.T) {
	s := newScreen(t, 1600, 1000)
	w := s.open(newBench(s))
	w.openExam()
	n := importPhotos(w)
	n = pinThree(w, n)
	n = judgeParts(w, n)
	report := issue(w, n)

	out := s.must("verify", report)
	if !strings.Contains(out, "Complete and unaltered") {
		t.Errorf("verify says:\n%s", out)
	}
}

// importPhotos brings a folder by Ctrl+O, its typed path and Enter.
func importPhotos(w *window) int {
	w.t.Helper()
	dir := photoFolder(w.t)
	n := len(w.journal())
	w.key("ctrl+o")
	w.sheet(true)
	w.write(dir)
	w.step("import")
	w.key("Return")
	photos := map[string]bool{}
	w.saved("all photos with the views that their names propose", n, func(entry) bool {
		viewed := 0
		for _, e := range w.journal() {
			for _, c := range e.Changes {
				if strings.HasPrefix(c.Target, "photo/") {
					photos[c.Target] = true
					if strings.Contains(string(c.Value), `"view":"`) {
						viewed++
					}
				}
			}
		}
		return len(photos) == len(imported) && viewed >= 2
	})
	w.sheet(false)
	w.until("the photos are shown", func() bool { return w.shot().here(1) })
	w.step("photos")
	for p := range photos {
		id := strings.TrimPrefix(p, "photo/")
		if _, err := os.Stat(filepath.Join(w.bench, "originals", id[:2], id)); err != nil {
			w.t.Errorf("a photo of the journal is not on the bench: %v", err)
		}
	}
	return len(w.journal())
}

// pinThree pins a mark on the outline and then the photo, one on the photo and
// then the outline, and one on the outline only, each named by two letters, and
// watches the header while the third comes, goes and comes again.
func pinThree(w *window, n int) int {
	w.t.Helper()
	w.toScreen(2)
	w.until("the photo is drawn", func() bool { return w.shot().colours(photo) > 500 })
	zero := w.settled(answers)

	w.click(lowerBout)
	_, n = w.savedMark("mark 1 on the front", n, 1, func(m mark) bool { return len(m.On) == 1 && m.On[0].Side == "front" })
	n = nameKind(w, n, 1, "ch", "chip")
	w.click(onPhoto1)
	_, n = w.savedMark("mark 1 on the photo too", n, 1, func(m mark) bool { return len(m.On) == 1 && len(m.Photos) == 1 })
	one := w.differs("the first mark changes the answers", zero, answers)
	w.step("mark-1")

	w.click(onPhoto2)
	_, n = w.savedMark("mark 2 on the photo", n, 2, func(m mark) bool { return len(m.Photos) == 1 && len(m.On) == 0 })
	n = nameKind(w, n, 2, "de", "dent")
	w.click(bassHorn)
	_, n = w.savedMark("mark 2 on the outline too", n, 2, func(m mark) bool { return len(m.Photos) == 1 && len(m.On) == 1 })
	two := w.settled(answers)
	w.step("mark-2")

	w.click(treble)
	_, n = w.savedMark("mark 3 on the front", n, 3, func(m mark) bool { return len(m.On) == 1 })
	n = nameKind(w, n, 3, "ad", "added hole")
	three := w.differs("the third mark changes the answers", two, answers.Union(panel))
	if three.same(two, answers) {
		w.t.Error("with three marks the answers look as with two")
	}
	if three.same(one, answers) {
		w.t.Error("with three marks the answers look as with one")
	}
	w.step("mark-3")

	for i := range 2 { // the kind, then the mark itself
		w.key("ctrl+z")
		n = w.saved(fmt.Sprintf("undo %d", i+1), n, func(e entry) bool { return e.Op == "undo" })
	}
	w.agrees("after undo the answers look as before the third mark", two, answers)
	w.step("undone")
	for i := range 2 {
		w.key("ctrl+shift+z")
		n = w.saved(fmt.Sprintf("redo %d", i+1), n, func(e entry) bool { return e.Op == "redo" })
	}
	w.agrees("after redo the answers look as with the third mark", three, answers)
	w.agrees("after redo the mark and the list look as before", three, panel)
	w.step("redone")
	return n
}

// nameKind types two letters and Enter after a click.
func nameKind(w *window, n, number int, letters, kind string) int {
	w.t.Helper()
	w.write(letters)
	w.key("Return")
	_, n = w.savedMark(fmt.Sprintf("mark %d is a %s", number, kind), n, number, func(m mark) bool { return m.Kind == kind })
	return n
}

// judgeParts says that everything is original and was inspected.
func judgeParts(w *window, n int) int {
	w.t.Helper()
	before := w.settled(answers)
	w.toScreen(3)
	w.step("parts-before")
	w.click(restButton)
	n = w.saved("the rest of the parts", n, func(e entry) bool {
		return e.Op == "do" && len(e.Changes) > 0 && strings.HasPrefix(e.Changes[0].Target, "part/")
	})
	w.differs("judging the parts changes the answers", before, answers)
	w.step("parts")
	return n
}

// issue signs the report with a new key and returns its path.
func issue(w *window, n int) string {
	w.t.Helper()
	const passphrase = "a passphrase nobody uses twice"
	w.key("ctrl+p")
	w.until("the report screen is shown", func() bool { return w.shot().here(8) })
	p := w.settled(wholePic)
	w.step("report")
	fields := passphraseFields(w.t, p)
	for _, f := range fields {
		w.click(f)
		w.write(passphrase)
	}
	w.key("Return")
	w.saved("the report is issued", n, func(e entry) bool { return e.Op == "issue" })
	var found []string
	w.until("the report is filed", func() bool {
		var err error
		if found, err = filepath.Glob(filepath.Join(w.bench, "reports", "*.pdf")); err != nil {
			w.t.Fatal(err)
		}
		return len(found) == 1
	})
	w.sheet(false)
	w.step("issued")
	return found[0]
}

// passphraseFields finds the two fields of a new key's passphrase, the last ones
// of the report screen.
func passphraseFields(t *testing.T, p *picture) []image.Point {
	t.Helper()
	fields := p.runs(reportFieldX, fieldColour, 22)
	if len(fields) < 2 {
		t.Fatalf("the report screen has the fields %v to type in, expected two", fields)
	}
	return fields[len(fields)-2:]
}
