//go:build ci

package ui

import (
	"fmt"
	"image"
	"os"
	"strings"
	"testing"

	"fyne.io/fyne/v2"

	"wornwood/ui/view"
)

var allScreens = view.Screens()

// variants are the sizes and looks in which every screen has to stand.
var variants = []struct {
	name string
	size fyne.Size
	dark bool
}{{"1440-light", large, false}, {"1440-dark", large, true}, {"1280-light", small, false}, {"1280-dark", small, true}}

// TestScreensStand renders every screen of the demonstration at both sizes, light
// and dark: nothing sticks out, lies over another or off the window, the header
// says what the grade says, and the texts the screen is there for are on it.
func TestScreensStand(t *testing.T) {
	for _, v := range variants {
		t.Run(v.name, func(t *testing.T) {
			w := demoWindow(t, v.size, v.dark)
			for _, sc := range allScreens {
				w.ShowScreen(sc)
				if sc == view.MarksScreen {
					w.exam.marks.Select(1)
				}
				img := capture(t, w, strings.ToLower(string(sc))+"-"+v.name)
				checkPicture(t, string(sc), img, v.size, v.dark)
				s := lookAt(w)
				for _, f := range s.faults() {
					t.Errorf("%s: %s", sc, f)
				}
				checkHeader(t, w, s)
				checkWords(t, w, sc, s)
				if os.Getenv("WORNWOOD_PICTURES") != "" {
					t.Logf("%s, shortened: %q", sc, s.cut)
				}
			}
		})
	}
}

// checkPicture looks at the picture as a whole: its size, its ground, and that
// something was drawn on it.
func checkPicture(t *testing.T, name string, img image.Image, size fyne.Size, dark bool) {
	t.Helper()
	b := img.Bounds()
	if b.Dx() != int(size.Width) || b.Dy() != int(size.Height) {
		t.Errorf("%s: the picture is %v, the window %v", name, b, size)
	}
	seen := map[string]int{}
	for y := 0; y < b.Dy(); y += 3 {
		for x := 0; x < b.Dx(); x += 3 {
			r, g, bl, _ := img.At(x, y).RGBA()
			seen[fmt.Sprintf("%02x%02x%02x", r>>8, g>>8, bl>>8)]++
		}
	}
	if len(seen) < 40 {
		t.Errorf("%s: only %d colours", name, len(seen))
	}
	r, _, _, _ := img.At(44, b.Dy()-100).RGBA()
	if (r>>8 < 0x40) != dark {
		t.Errorf("%s: the ground is %02x, dark is %v", name, r>>8, dark)
	}
}

// checkHeader compares the header on the screen with the grade's answers.
func checkHeader(t *testing.T, w *Window, s *seen) {
	t.Helper()
	sc := w.exam.s.Scene()
	if sc.Grade == nil {
		t.Fatal("the demonstration is not graded")
	}
	for _, a := range view.Answers(sc.Grade) {
		for _, text := range []string{a.Caption, a.Figure, a.Beside} {
			if !s.has(text) {
				t.Errorf("the header does not say %q", text)
			}
		}
	}
	if !s.has(view.Headline(sc.Record)) {
		t.Errorf("the header does not say %q", view.Headline(sc.Record))
	}
}

// checkWords looks for what a screen is there for.
func checkWords(t *testing.T, w *Window, name view.Screen, s *seen) {
	t.Helper()
	rec := w.exam.s.Scene().Record
	var want []string
	switch name {
	case view.IdentityScreen:
		want = []string{"Maker", rec.Instrument.Maker, "Serial", rec.Instrument.Serial, "Examiner"}
	case view.PhotosScreen:
		for _, p := range rec.Photos[:6] {
			want = append(want, p.View)
		}
	case view.MarksScreen:
		p := w.exam.marks.Panel()
		want = append([]string{p.Title, p.Cost, p.Where}, p.DepthWords[:]...)
		for _, r := range w.exam.marks.Rows()[:5] {
			want = append(want, fmt.Sprint(r.Number), r.Points, r.Where)
		}
	case view.PartsScreen:
		for _, r := range view.NewParts(w.exam.s).Rows()[:8] {
			want = append(want, view.Capital(string(r.Part)), string(r.State), fmt.Sprintf("%.0f %%", r.Share))
		}
	case view.ElectronicsScreen:
		want = []string{"Neck pickup", "6.92 ± 0.02 kΩ", "6.89 ± 0.03 kΩ", "888-7406", "Output", "Volume potentiometer: scratchy."}
	case view.SetupScreen:
		want = []string{"1.9", "1.6", "0.2", "0.94", "1.12", rec.Setup.TrussRod, "stiff"}
	case view.DatingScreen:
		want = []string{"Three-ply guard", "Receipt of the first sale", "week 6 of 1974 or later", "Week 11 of 1974 to 1975"}
	case view.GradeScreen:
		g := view.NewGrade(w.exam.s)
		for _, l := range g.Ledger()[:6] {
			want = append(want, minus(l.Points))
		}
		want = append(want, g.Total(), "1", "100 less the points above")
	case view.ReportScreen:
		want = []string{"What a buyer will miss", "Passphrase of the signing key", "Sign and issue"}
		for _, g := range view.NewReport(w.exam.s, func() bool { return false }).Gaps() {
			if !strings.Contains(s.joined(), g.Text) {
				t.Errorf("%s does not say %q", name, g.Text)
			}
		}
	}
	for _, text := range want {
		if !s.has(text) {
			t.Errorf("%s does not say %q", name, text)
		}
	}
}

// TestStartAndBenchStand renders what is seen before an examination is open.
func TestStartAndBenchStand(t *testing.T) {
	for _, v := range variants {
		t.Run(v.name, func(t *testing.T) {
			w := newWindow(t, v.size, v.dark)
			w.ShowStart()
			capture(t, w, "start-"+v.name)
			s := lookAt(w)
			for _, f := range s.faults() {
				t.Errorf("start: %s", f)
			}
			for _, text := range []string{"Open the demonstration", "Choose a bench…", "Check a report…"} {
				if !s.has(text) {
					t.Errorf("the start does not offer %q", text)
				}
			}
			dir, _ := demoBench(t)
			if err := w.OpenBench(dir, false); err != nil {
				t.Fatal(err)
			}
			capture(t, w, "bench-"+v.name)
			s = lookAt(w)
			for _, f := range s.faults() {
				t.Errorf("bench: %s", f)
			}
			model, err := view.NewBench(w.bench, clock)
			if err != nil {
				t.Fatal(err)
			}
			rows, err := model.Rows()
			if err != nil || len(rows) != 1 {
				t.Fatalf("the bench has %d rows: %v", len(rows), err)
			}
			for _, text := range []string{rows[0].Title, rows[0].Second, rows[0].State, "New examination"} {
				if !s.has(text) {
					t.Errorf("the bench does not say %q", text)
				}
			}
		})
	}
}

// TestSheetsStand shows each sheet over the small window.
func TestSheetsStand(t *testing.T) {
	w := demoWindow(t, small, false)
	long := strings.Repeat("A sentence that says what happened, to which file, and what to do about it. ", 4)
	for _, s := range []struct {
		name string
		show func()
		want string
	}{
		{"keys", w.showKeys, "Ctrl+Shift+O"},
		{"grade", w.showScale, "About the grade"},
		{"import", w.askImport, "Import photos"},
		{"bench", w.askBench, "Open a bench"},
		{"check", w.askReport, "Check a report"},
		{"failure", func() { w.Fail(fmt.Errorf("read photo: %s", long)) }, "That did not work"},
		{"list", func() { w.Tell("Not imported", strings.Split(strings.Repeat(long+"|", 30), "|")...) }, "Not imported"},
	} {
		s.show()
		capture(t, w, "sheet-"+s.name)
		seen := lookAt(w)
		for _, f := range seen.faults() {
			t.Errorf("%s: %s", s.name, f)
		}
		if !seen.has(s.want) {
			t.Errorf("%s does not say %q", s.name, s.want)
		}
		top := w.win.Canvas().Overlays().Top()
		if top == nil {
			t.Fatalf("%s shows no sheet", s.name)
		}
		for _, tx := range seen.texts {
			if tx.of == "" || strings.HasPrefix(tx.of, "look.") {
				if tx.ink.y1 > small.Height {
					t.Errorf("%s: %q lies under the window's edge", s.name, tx.text)
				}
			}
		}
		w.win.Canvas().Unfocus()
		press(w, fyne.KeyEscape)
		if w.win.Canvas().Overlays().Top() != nil {
			t.Fatalf("Escape does not close %s", s.name)
		}
	}
}
