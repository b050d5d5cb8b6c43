//go:build ci

package ui

import (
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/storage"

	"wornwood/capture/record"
	"wornwood/testdata"
	"wornwood/ui/view"
)

// photoFolder is a folder with two of the demo's photos under their own names.
func photoFolder(t *testing.T) string {
	t.Helper()
	dir := t.TempDir()
	for _, n := range []string{"head-front.jpg", "close-chip.jpg"} {
		b, err := fs.ReadFile(testdata.DemoPhotos(), n)
		if err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(filepath.Join(dir, n), b, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	return dir
}

// TestDroppedFolder drops a folder of photos on a bench without examinations:
// one is begun, the photos are in it, and their names have told their views.
func TestDroppedFolder(t *testing.T) {
	w := newWindow(t, large, false)
	if err := w.OpenBench(t.TempDir(), true); err != nil {
		t.Fatal(err)
	}
	w.dropped(fyne.NewPos(500, 400), []fyne.URI{storage.NewFileURI(photoFolder(t))})
	finish(t, w)
	if w.exam == nil || w.exam.now != view.PhotosScreen {
		t.Fatal("no examination was begun")
	}
	var views []string
	for _, p := range w.exam.s.Scene().Record.Photos {
		views = append(views, p.View)
	}
	slices.Sort(views)
	if !slices.Equal(views, []string{"close-up", "head front"}) {
		t.Errorf("the photos fill %q", views)
	}
	// The same folder again adds nothing.
	w.dropped(fyne.NewPos(500, 400), []fyne.URI{storage.NewFileURI(photoFolder(t))})
	finish(t, w)
	if n := len(w.exam.s.Scene().Record.Photos); n != 2 {
		t.Errorf("dropped twice, there are %d photos", n)
	}
}

// TestDroppedReport drops a PDF that is no report: the answer is a verdict, and
// no photo is looked for in it.
func TestDroppedReport(t *testing.T) {
	w := demoWindow(t, large, false)
	path := filepath.Join(t.TempDir(), "letter.pdf")
	if err := os.WriteFile(path, []byte("%PDF-1.7\nnothing\n%%EOF\n"), 0o644); err != nil {
		t.Fatal(err)
	}
	w.dropped(fyne.NewPos(500, 400), []fyne.URI{storage.NewFileURI(path)})
	finish(t, w)
	if s := lookAt(w); !s.has("letter.pdf") || !s.has("Do not rely on this report: it is altered, incomplete, or does not hold together.") {
		t.Errorf("the window says: %s", s.joined())
	}
}

// TestIssuedTakesNoPhotos drops photos on an examination that is issued.
func TestIssuedTakesNoPhotos(t *testing.T) {
	w := demoWindow(t, large, false)
	if err := w.exam.ex.SetIssued(record.Issued{Number: "CR-2026-0001", At: clock(), File: "reports/CR-2026-0001.pdf"}); err != nil {
		t.Fatal(err)
	}
	w.exam.s.Refresh()
	before := len(w.exam.s.Scene().Record.Photos)
	w.dropped(fyne.NewPos(500, 400), []fyne.URI{storage.NewFileURI(photoFolder(t))})
	finish(t, w)
	if got := len(w.exam.s.Scene().Record.Photos); got != before {
		t.Errorf("%d photos, %d before", got, before)
	}
	if s := lookAt(w); !s.has("That did not work") {
		t.Errorf("the window says: %s", s.joined())
	}
}
