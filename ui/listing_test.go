//go:build ci

package ui

import (
	"archive/zip"
	"path/filepath"
	"strings"
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/test"

	"wornwood/ui/view"
)

// openListing shows the listing of the demonstration.
func openListing(t *testing.T, size fyne.Size, dark bool) (*Window, *reportScreen) {
	t.Helper()
	w := demoWindow(t, size, dark)
	w.ShowScreen(view.ReportScreen)
	s := w.frame.now.(*reportScreen)
	s.tabs.Set(1)
	s.show(1)
	settle(w)
	return w, s
}

// TestListingStands renders the listing at both sizes, light and dark, with a
// cover and a text that was edited.
func TestListingStands(t *testing.T) {
	for _, v := range variants {
		t.Run(v.name, func(t *testing.T) {
			w, s := openListing(t, v.size, v.dark)
			img := capture(t, w, "listing-"+v.name)
			checkPicture(t, "Listing", img, v.size, v.dark)
			seen := lookAt(w)
			for _, want := range []string{"01-whole.jpg", "The text tells what the report says", "Save as zip…", "Numbers of marks", "Copy"} {
				if !seen.has(want) {
					t.Errorf("%q is not on the screen", want)
				}
			}
			drag(t, s.photos.photo, 0.45, 0.1, 0.58, 0.2)
			s.text.text.Entry().SetText("A stunning guitar\n\nAll original, plays perfectly.\n")
			s.text.check()
			settle(w)
			img = capture(t, w, "listing-edited-"+v.name)
			checkPicture(t, "Listing, edited", img, v.size, v.dark)
			seen = lookAt(w)
			for _, f := range seen.faults() {
				t.Error(f)
			}
			if !seen.has("01-whole.jpg · covered in 1 place") {
				t.Errorf("no cover is told of: %s", seen.joined())
			}
			if !strings.Contains(s.text.title.String(), "too much") {
				t.Errorf("the check says %q", s.text.title.String())
			}
		})
	}
}

// drag draws a cover over shares of the photo.
func drag(t *testing.T, p *coverPhoto, x0, y0, x1, y1 float32) {
	t.Helper()
	at, size, k := p.frame()
	if k == 0 {
		t.Fatal("no photo is shown")
	}
	a := fyne.NewPos(at.X+size.Width*x0, at.Y+size.Height*y0)
	b := fyne.NewPos(at.X+size.Width*x1, at.Y+size.Height*y1)
	for _, to := range []fyne.Position{fyne.NewPos((a.X+b.X)/2, (a.Y+b.Y)/2), b} {
		p.Dragged(&fyne.DragEvent{PointEvent: fyne.PointEvent{Position: to}, Dragged: fyne.NewDelta(to.X-a.X, to.Y-a.Y)})
	}
	p.DragEnd()
}

// TestListingByHand draws a cover, chooses it, takes it off, leaves a photo out,
// withholds the serial number, edits, copies; the record stays as it is.
func TestListingByHand(t *testing.T) {
	w, s := openListing(t, large, false)
	before := w.exam.s.Scene().Record
	first := s.photos.m.Photos()[0]
	drag(t, s.photos.photo, 0.4, 0.4, 0.6, 0.5)
	c := s.photos.m.Photos()[0].Covers
	rec := before.PhotoByID(first.ID)
	if len(c) != 1 || c[0].Min.X < 0.39*float64(rec.Width) || c[0].Max.X > 0.61*float64(rec.Width) || c[0].Min.Y < 0.39*float64(rec.Height) {
		t.Fatalf("covers %v on a photo of %d x %d", c, rec.Width, rec.Height)
	}
	at, size, _ := s.photos.photo.frame()
	s.photos.photo.Tapped(&fyne.PointEvent{Position: fyne.NewPos(at.X+size.Width*0.1, at.Y+size.Height*0.1)})
	if s.photos.chosen != -1 || !s.photos.off.Disabled() {
		t.Error("a click beside the cover chooses it")
	}
	s.photos.photo.Tapped(&fyne.PointEvent{Position: fyne.NewPos(at.X+size.Width*0.5, at.Y+size.Height*0.45)})
	s.photos.photo.TypedKey(&fyne.KeyEvent{Name: fyne.KeyDelete})
	if n := len(s.photos.m.Photos()[0].Covers); n != 0 {
		t.Errorf("%d covers are left", n)
	}
	test.Tap(s.photos.out)
	if s.photos.m.Photos()[0].ID == first.ID || !lookAt(w).has("Take it in") {
		t.Error("the photo was not left out")
	}
	s.text.serials.OnChanged(1)
	if strings.Contains(s.text.text.Text(), before.Instrument.Serial) {
		t.Error("the serial number is not withheld")
	}
	s.text.text.Focus(w.win.Canvas())
	s.text.text.Entry().SetText("Own words.\n")
	s.text.form.OnChanged(2)
	s.text.copy()
	if got := w.app.Clipboard().Content(); got != "<p>Own words.</p>\n" {
		t.Errorf("copied %q", got)
	}
	m, err := view.NewListing(w.exam.s, w.bench)
	if err != nil {
		t.Fatal(err)
	}
	kept := m.Draft()
	if !m.Edited() || m.Text() != "Own words.\n" || !kept.NoSerials || !kept.Photo(first.ID).Out {
		t.Errorf("kept %+v", kept)
	}
	if w.exam.s.Scene().Record != before {
		t.Error("the record changed")
	}
	s.tabs.Set(0)
	s.show(0)
	settle(w)
	if !lookAt(w).has("Issue the report") {
		t.Error("the report does not come back")
	}
}

// TestListingIsSaved saves the set as a zip file.
func TestListingIsSaved(t *testing.T) {
	w, s := openListing(t, large, false)
	to := filepath.Join(t.TempDir(), "set")
	s.text.save("A new file, .zip", ".zip")
	typeText(t, w, to)
	press(w, fyne.KeyReturn)
	finish(t, w)
	z, err := zip.OpenReader(to + ".zip")
	if err != nil {
		t.Fatal(err)
	}
	defer z.Close()
	if len(z.File) < 5 || !lookAt(w).has("The listing is saved") {
		t.Errorf("%d files; the screen says %s", len(z.File), lookAt(w).joined())
	}
}
