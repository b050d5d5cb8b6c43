package view

import (
	"strings"
	"testing"
	"time"

	"wornwood/annotate"
	"wornwood/annotate/grade"
	"wornwood/annotate/outline"
	"wornwood/annotate/shape"
	"wornwood/capture/bench"
	"wornwood/capture/record"
)

// opened is a new examination of the demo scenario's invented guitar in a
// bench of its own, with two photos listed.
func opened(t testing.TB) *annotate.Session {
	t.Helper()
	b, err := bench.Open(t.TempDir(), bench.Options{Create: true, Now: func() time.Time { return time.Date(2026, 11, 14, 10, 5, 0, 0, time.UTC) }})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { b.Close() })
	ex, err := b.Begin("", record.BeforeListing, record.Instrument{Class: outline.Classes()[0], Maker: "Halden & Rowe", Model: "Larkfoot Standard", Year: "1974", Serial: "41873"})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { ex.Close() })
	s, err := annotate.Open(ex, grade.Default())
	if err != nil {
		t.Fatal(err)
	}
	for _, p := range []record.Photo{{ID: strings.Repeat("a", 64), Name: "a.jpg", Taken: "2026-11-14T10:12:41+01:00", Width: 30, Height: 20}, {ID: strings.Repeat("b", 64), Name: "b.jpg", View: "back", Width: 30, Height: 20}} {
		c, err := record.Set(record.PhotoTarget(p.ID), p)
		if err != nil {
			t.Fatal(err)
		}
		if err := s.Do("List photo", c); err != nil {
			t.Fatal(err)
		}
	}
	return s
}

func must(t testing.TB, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}

func TestHeaderBeforeAnythingIsInspected(t *testing.T) {
	v := NewShell(opened(t))
	title, sub, a := v.Header()
	if title != "Halden & Rowe Larkfoot Standard, 1974" || !strings.Contains(sub, "No. 41873") || !strings.HasSuffix(sub, "draft") {
		t.Fatalf("%q / %q", title, sub)
	}
	for _, x := range a {
		if x.Figure != "–" {
			t.Errorf("%s says %s before anything was judged", x.Caption, x.Figure)
		}
	}
}

func TestHeaderFollowsTheJob(t *testing.T) {
	s := opened(t)
	shell, parts, play := NewShell(s), NewParts(s), NewPlay(s)
	must(t, parts.SetState(record.Binding, record.NotFitted))
	must(t, parts.SetState(record.Tuners, record.LaterReplacement))
	must(t, parts.RestOriginal())
	must(t, play.RestClean())
	must(t, s.SetSound(1, 19, record.Buzz))
	_, _, a := shell.Header()
	if a[0].Figure != "100" || a[0].Caption != "Condition · clean" || a[1].Figure != "97" || a[1].Beside != "1 part changed" || a[2].Figure != "131" {
		t.Fatalf("%+v", a)
	}
	left, right := shell.Foot()
	if !strings.Contains(left, "1 of 21 views photographed") || !strings.Contains(left, "0 parts not inspected") || !strings.Contains(right, "saved") {
		t.Fatalf("%q %q", left, right)
	}
	for _, it := range shell.Rail() {
		if it.Screen == PartsScreen && it.Progress != Complete {
			t.Errorf("parts: %s", it.Why)
		}
		if it.Screen == MarksScreen && it.Progress != NotStarted {
			t.Errorf("marks: %s", it.Why)
		}
	}
}

func TestPinOnPhotoThenOnOutline(t *testing.T) {
	s := opened(t)
	v := NewMarks(s)
	n, err := v.Draw(true, record.PointShape, []record.Point{{X: 12, Y: 8}})
	must(t, err)
	if v.Waiting(false) != n || !strings.Contains(v.Hint(), "outline") {
		t.Fatalf("waiting %d, hint %q", v.Waiting(false), v.Hint())
	}
	if m, err := v.Draw(false, record.PointShape, []record.Point{{X: -60, Y: 690}}); err != nil || m != n {
		t.Fatalf("the click on the outline made mark %d: %v", m, err)
	}
	if m := s.Scene().Record.MarkByNumber(n); v.Hint() != "" || len(m.On) != 1 || len(m.Photos) != 1 {
		t.Fatalf("hint %q, mark %+v", v.Hint(), m)
	}
	if m, err := v.Draw(false, record.PointShape, []record.Point{{X: -50, Y: 650}}); err != nil || m != n+1 {
		t.Fatalf("the next click made mark %d: %v", m, err)
	}
	v.StopWaiting()
	if m, err := v.Draw(true, record.PointShape, []record.Point{{X: 3, Y: 3}}); err != nil || m != n+2 {
		t.Fatalf("after Esc the click made mark %d: %v", m, err)
	}
}

func TestPanelOfFade(t *testing.T) {
	s := opened(t)
	v := NewMarks(s)
	y9, y20 := outline.FretPosition(648, 9)+4, outline.FretPosition(648, 20)-2
	_, err := v.Draw(false, record.AreaShape, []record.Point{{X: -15, Y: y9}, {X: 15, Y: y9}, {X: 15, Y: y20}, {X: -15, Y: y20}})
	must(t, err)
	must(t, v.SetKind("fade"))
	must(t, v.SetReading("9,8 +- 0.4"))
	p := v.Panel()
	if p.Title != "Fade" || !strings.HasPrefix(p.Where, "Fingerboard, frets") || p.Value != "9.8 ± 0.4" || p.Beside != "grey-scale step 1-2" || p.Level != 2 {
		t.Fatalf("%+v", p)
	}
	if !strings.HasPrefix(p.Cost, "costs ") || p.Extent == "" {
		t.Fatalf("%+v", p)
	}
	if err := v.SetReading("lots"); err == nil {
		t.Fatal("a reading of \"lots\" was accepted")
	}
	must(t, v.SetReading(""))
	if p := v.Panel(); p.Value != "" || p.Depth != 0 {
		t.Fatalf("without its reading: %+v", p)
	}
}

func TestTwoLettersFindTheKind(t *testing.T) {
	s := opened(t)
	v := NewMarks(s)
	_, err := v.Draw(false, record.PointShape, []record.Point{{X: -60, Y: 690}})
	must(t, err)
	for typed, want := range map[string]record.Kind{"ch": "chip", "sc": "scratch", "di": "ding", "de": "dent", "fc": "finish check", "br": "buckle rash", "wt": "wear-through", "bu": "buckle rash"} {
		got := v.Kinds(typed)
		if len(got) == 0 || got[0].Kind != want {
			t.Errorf("%q finds %v first, want %s", typed, got, want)
		}
	}
	if got := v.Kinds("zzz"); len(got) != 0 {
		t.Errorf("zzz finds %v", got)
	}
	_, err = v.Draw(false, record.PointShape, []record.Point{{X: 0, Y: outline.FretPosition(648, 5)}})
	must(t, err)
	if got := v.Kinds("f"); got[0].Kind != "fret wear" && got[0].Kind != "flat spot" {
		t.Errorf("on a fret, f finds %v first", got[0])
	}
}

// TestKindTyped parts letters from the figure behind them.
func TestKindTyped(t *testing.T) {
	for in, want := range map[string]struct {
		letters string
		depth   int
	}{"ch": {"ch", -1}, "ch3": {"ch", 2}, " fi 1 ": {"fi", 0}, "2": {"", 1}, "ch4": {"ch4", -1}, "": {"", -1}, "ch0": {"ch0", -1}} {
		if letters, depth := KindTyped(in); letters != want.letters || depth != want.depth {
			t.Errorf("%q: %q and %d, want %+v", in, letters, depth, want)
		}
	}
}

func TestSelectBringsForward(t *testing.T) {
	s := opened(t)
	v := NewMarks(s)
	v.SetPhoto(strings.Repeat("b", 64))
	n, err := v.Draw(true, record.PointShape, []record.Point{{X: 4, Y: 4}})
	must(t, err)
	v.SetTab("back")
	_, err = v.Draw(false, record.PointShape, []record.Point{{X: 60, Y: 690}})
	must(t, err)
	v.SetTab("front")
	v.SetPhoto(strings.Repeat("a", 64))
	v.Select(0)
	v.Select(n)
	if v.Tab().Side != outline.Back || v.Photo() != strings.Repeat("b", 64) {
		t.Fatalf("shown: %s and %.4s", v.Tab().ID, v.Photo())
	}
}

func TestMoveStaysInside(t *testing.T) {
	s := opened(t)
	v := NewMarks(s)
	n, err := v.Draw(false, record.PointShape, []record.Point{{X: -60, Y: 690}})
	must(t, err)
	must(t, v.Move(false, n, shape.Pt{X: 10, Y: -5}))
	if got := s.Scene().Record.MarkByNumber(n).On[0].Points[0]; got != (record.Point{X: -50, Y: 685}) {
		t.Fatalf("moved to %v", got)
	}
	if err := v.Move(false, n, shape.Pt{X: 2000}); err == nil {
		t.Fatal("the mark was moved off the instrument")
	}
}

func TestFieldsReadBack(t *testing.T) {
	v := NewIdentity(opened(t))
	for _, f := range v.Fields() {
		in := "word"
		switch {
		case f.Label == "Class":
			in = "flat-top square-shouldered"
		case f.Choices != nil:
			in = f.Choices[len(f.Choices)-1]
		case f.Label == "Date":
			in = "2026-11-15 09:30 +01:00"
		case f.Label == "Next examination due":
			in = "2027-11-14"
		case f.Label == "Scale length":
			in = "628"
		case f.Label == "Bass scale, fanned frets":
			in = "650"
		case f.Label == "Fret square to the strings":
			in = "7"
		case f.Label == "Body length":
			in = "500"
		case f.Label == "Body width":
			in = "395"
		case f.Unit != "" || f.Label == "Frets" || f.Label == "Strings":
			in = "12"
		}
		if f.Label == "Strings" {
			in = "6"
		}
		if err := f.Set(in); err != nil || f.Get() != in {
			t.Errorf("%s: set %q, got %q: %v", f.Label, in, f.Get(), err)
		}
	}
}

// A class that cannot have the measures on record gets its own usual ones; one
// that can keeps them.
func TestAnotherClass(t *testing.T) {
	s := opened(t)
	set := map[string]Field{}
	for _, f := range NewIdentity(s).Fields() {
		set[f.Label] = f
	}
	must(t, set["Scale length"].Set("640"))
	must(t, set["Class"].Set("flat-top auditorium"))
	if got := set["Scale length"].Get(); got != "640" {
		t.Errorf("a flat-top can have 640 mm, the record now says %q", got)
	}
	must(t, set["Class"].Set("violin"))
	if got := set["Scale length"].Get(); got != "" {
		t.Errorf("a violin cannot have 640 mm, the record still says %q", got)
	}
	if d := s.Scene().Drawing; d.Class != "violin" || d.ScaleLength > 345 {
		t.Errorf("drawn is a %s of %g mm", d.Class, d.ScaleLength)
	}
	if _, err := s.Undo(); err != nil || set["Scale length"].Get() != "640" {
		t.Errorf("undone, the scale length is %q: %v", set["Scale length"].Get(), err)
	}
}

func TestFieldsRefuse(t *testing.T) {
	v := NewIdentity(opened(t))
	for _, f := range v.Fields() {
		bad := map[string]string{"Scale length": "long", "Frets": "-3", "Date": "yesterday", "Mass": "1e99"}[f.Label]
		if bad == "" {
			continue
		}
		before := f.Get()
		if err := f.Set(bad); err == nil || f.Get() != before {
			t.Errorf("%s accepted %q", f.Label, bad)
		}
	}
}

func TestUnchangedFieldMakesNoEntry(t *testing.T) {
	s := opened(t)
	before := s.Scene().Undo
	for _, f := range NewIdentity(s).Fields() {
		must(t, f.Set(f.Get()))
	}
	if got := s.Scene().Undo; got != before {
		t.Fatalf("an unchanged form made the entry %q", got)
	}
}

func TestGuessView(t *testing.T) {
	for name, want := range map[string]string{"head-front_2.jpg": "head front", "front.jpg": "front", "WHOLE-BACK.JPG": "whole back", "IMG_0412.jpg": "", "close-up-3.png": annotate.CloseUp, "Close_chip.JPG": annotate.CloseUp, "closet.jpg": ""} {
		if got := GuessView(outline.Classes()[0], name); got != want {
			t.Errorf("%s: %q, want %q", name, got, want)
		}
	}
}

func TestCameraDate(t *testing.T) {
	for in, want := range map[string]string{"2026-11-14T10:12:41.37+01:00": "14 Nov 2026 10:12:41 +01:00", "2026-11-14T10:12:41": "14 Nov 2026 10:12:41, no zone", "about noon": "about noon"} {
		if got := CameraDate(in); got != want {
			t.Errorf("%s: %q, want %q", in, got, want)
		}
	}
}

func TestNumber(t *testing.T) {
	for in, want := range map[string]float64{"": 0, "3.5": 3.5, " 3,5 ": 3.5, "648": 648} {
		if got, err := Number(in); err != nil || got != want {
			t.Errorf("%q: %v, %v", in, got, err)
		}
	}
	for _, in := range []string{"-1", "NaN", "inf", "1e9", "3.5.1", "x"} {
		if got, err := Number(in); err == nil {
			t.Errorf("%q was read as %v", in, got)
		}
	}
}
