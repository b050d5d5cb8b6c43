//go:build ci

package ui

import (
	"bytes"
	"context"
	"image"
	"image/jpeg"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/widget"

	"github.com/disintegration/imaging"

	"wornwood/pdfout/archive"
	"wornwood/pdfout/archive/archivetest"
	"wornwood/ui/look"
	"wornwood/ui/view"
)

// laterPhoto gives the demonstration's photos another light and place each time,
// as another examiner's are.
func laterPhoto(i int, view string) ([]byte, error) {
	b, err := os.ReadFile(filepath.Join("..", "testdata", "demo", map[string]string{"front": "front.jpg", "back": "back.jpg"}[view]))
	if err != nil {
		return nil, err
	}
	img, err := jpeg.Decode(bytes.NewReader(b))
	if err != nil {
		return nil, err
	}
	r := img.Bounds()
	cut := imaging.Crop(img, image.Rect(i*r.Dx()/60, i*r.Dy()/80, r.Dx()-r.Dx()*(3-i)/60, r.Dy()-r.Dy()*(3-i)/80))
	var out bytes.Buffer
	err = jpeg.Encode(&out, imaging.AdjustBrightness(imaging.Resize(cut, 1200, 0, imaging.Box), float64(4-4*i)), &jpeg.Options{Quality: 85})
	return out.Bytes(), err
}

var yearsOnce struct {
	sync.Once
	reports []string
	data    [][]byte
	err     error
}

// yearsArchive is an archive of its own with the reports of one instrument over
// eight years, and their hashes.
func yearsArchive(t *testing.T) (*archive.Archive, []string) {
	t.Helper()
	yearsOnce.Do(func() {
		dir, err := os.MkdirTemp("", "wornwood-years-")
		if err != nil {
			yearsOnce.err = err
			return
		}
		defer os.RemoveAll(dir)
		paths, err := archivetest.Years(dir, laterPhoto)
		yearsOnce.err = err
		for _, p := range paths {
			b, err := os.ReadFile(p)
			if err != nil {
				yearsOnce.err = err
			}
			yearsOnce.reports, yearsOnce.data = append(yearsOnce.reports, filepath.Base(p)), append(yearsOnce.data, b)
		}
	})
	if yearsOnce.err != nil {
		t.Fatal(yearsOnce.err)
	}
	in, dir := t.TempDir(), filepath.Join(t.TempDir(), "archive")
	for i, n := range yearsOnce.reports {
		if err := os.WriteFile(filepath.Join(in, n), yearsOnce.data[i], 0o644); err != nil {
			t.Fatal(err)
		}
	}
	if err := archive.Make(dir, "Fen Street", false, clock()); err != nil {
		t.Fatal(err)
	}
	a, err := archive.Open(context.Background(), dir, archive.Options{Now: clock})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { a.Close() })
	by := map[string]string{}
	if _, err := a.File(context.Background(), []string{in}, archive.FileOptions{Done: func(o archive.Outcome) { by[o.Source] = o.Hash }}); err != nil {
		t.Fatal(err)
	}
	var hashes []string
	for _, n := range yearsOnce.reports {
		if by[n] == "" {
			t.Fatalf("%s was not filed: %v", n, by)
		}
		hashes = append(hashes, by[n])
	}
	return a, hashes
}

// rest waits until what runs beside the window has ended, and lays out again.
func (s *archiveHistory) rest(w *Window) {
	s.photos.work.Wait()
	s.joins.work.Wait()
	settle(w)
}

// TestHistoryStands renders every page of the history at both sizes, light and
// dark.
func TestHistoryStands(t *testing.T) {
	a, hashes := yearsArchive(t)
	if err := a.Join("R. Calloway", "serial number and three marks at the same places", hashes[0], hashes[1]); err != nil {
		t.Fatal(err)
	}
	for _, v := range variants {
		t.Run(v.name, func(t *testing.T) {
			w := newWindow(t, v.size, v.dark)
			s := newArchiveHistory(w)
			s.onOpen = func(string) {}
			w.win.SetContent(s.object())
			w.win.Resize(v.size)
			s.show(a, hashes[1])
			want := [][]string{
				{"2018-05-02", "Alder Lane Strings", "Halden & Rowe Larkfoot Standard", "Front finish: refinished, original before.", "What does not fit together"},
				{"Repaired crack, in the finish", "grown, 5.5 ± 0.3 mm", "gone with the part"},
				{"Front", "2018-05-02, Fen Street Instruments"},
				{"Tuners", "later replacement", "Who held it when, as far as the reports say"},
				{"Strong", "Join…", "Not the same…", "2026-11-14  Joined by R. Calloway"},
			}
			for i, name := range historyPages {
				s.pages.Set(i)
				s.page = i
				s.showPage()
				s.rest(w)
				s.rest(w)
				img := capture(t, w, "history-"+strings.Fields(strings.ToLower(name))[0]+"-"+v.name)
				if i != photosPage { // there a photo lies where the ground is looked for
					checkPicture(t, name, img, v.size, v.dark)
				}
				seen := lookAt(w)
				for _, f := range seen.faults() {
					t.Errorf("%s: %s", name, f)
				}
				for _, text := range want[i] {
					if !seen.has(text) {
						t.Errorf("%s does not say %q", name, text)
					}
				}
				if os.Getenv("WORNWOOD_PICTURES") != "" {
					t.Logf("%s, shortened: %q", name, seen.cut)
				}
			}
		})
	}
}

// TestHistoryDecides joins a proposed instrument by hand, and parts it again.
func TestHistoryDecides(t *testing.T) {
	a, hashes := yearsArchive(t)
	w := newWindow(t, large, false)
	s := newArchiveHistory(w)
	changed := 0
	s.onChanged = func() { changed++ }
	w.win.SetContent(s.object())
	w.win.Resize(large)
	s.show(a, hashes[3])
	s.page = 4
	s.showPage()
	s.rest(w)
	if s.m.Count() != 1 || len(s.joins.list.Objects) != 2 {
		t.Fatalf("%d examinations, %d proposals", s.m.Count(), len(s.joins.list.Objects))
	}
	tap := func(text string) {
		t.Helper()
		o := fyne.CanvasObject(s.joins.list)
		if top := w.win.Canvas().Overlays().Top(); top != nil {
			o = top.(*widget.PopUp).Content
		}
		b := buttonNamed(o, text)
		if b == nil {
			t.Fatalf("there is no button %q", text)
		}
		b.Tapped(nil)
		s.rest(w)
	}
	tap("Join…")
	capture(t, w, "history-join-sheet")
	typeText(t, w, "R. Calloway")
	w.win.Canvas().FocusNext()
	typeText(t, w, "serial number")
	tap("Join")
	if s.m.Count() < 2 || changed != 1 {
		t.Fatalf("after joining %d examinations, told %d times", s.m.Count(), changed)
	}
	d := s.m.Decisions()
	if len(d) != 1 || d[0].What != "Joined by R. Calloway" || d[0].Why != "serial number" {
		t.Errorf("decided %+v", d)
	}
	// By keyboard along the line of time.
	s.line.FocusGained()
	s.line.TypedKey(&fyne.KeyEvent{Name: fyne.KeyHome})
	if s.m.Selected() != 0 {
		t.Errorf("Home selects %d", s.m.Selected())
	}
	s.line.TypedKey(&fyne.KeyEvent{Name: fyne.KeyRight})
	if s.m.Selected() != 1 || s.m.Hash() == "" {
		t.Errorf("Right selects %d", s.m.Selected())
	}
	if got := view.Capital(s.m.Views()[0]); got != "Front" {
		t.Errorf("first view %q", got)
	}
}

// TestLineOfMany draws many examinations, some of them days apart: no label lies
// over another.
func TestLineOfMany(t *testing.T) {
	for _, v := range variants {
		w := newWindow(t, v.size, v.dark)
		c := &view.HistoryChart{Floor: 40}
		for i, at := range []float64{0, 0.004, 0.006, 0.1, 0.3, 0.31, 0.55, 0.56, 0.57, 0.9, 0.995, 1} {
			bar := view.HistoryBar{Known: i != 4, Is: 0.9 - 0.05*at, Low: 0.4, High: 0.95, Label: "87.3", Ranged: i%3 == 0, OtherRubric: i == 6}
			c.Points = append(c.Points, view.HistoryPoint{At: at, Date: "2018-05-02", By: "Fen Street Instruments and Partners", Index: bar, Original: bar, Playing: "131 clean of 132", Short: "131 / 132", Selected: i == 5})
		}
		l := newHistoryLine(func(int) {})
		l.Set(c)
		w.win.SetContent(look.Rows(look.Fixed(0, lineHeight, l), look.Space()))
		w.win.Resize(v.size)
		capture(t, w, "history-many-"+v.name)
		for _, f := range lookAt(w).faults() {
			t.Errorf("%s: %s", v.name, f)
		}
		for i := 1; i < len(l.xs); i++ {
			if l.xs[i] <= l.xs[i-1] {
				t.Errorf("%s: column %d stands at %v, the one before at %v", v.name, i, l.xs[i], l.xs[i-1])
			}
		}
	}
}
