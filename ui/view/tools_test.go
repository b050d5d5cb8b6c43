package view

import (
	"image"
	"image/color"
	_ "image/jpeg"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"wornwood/annotate"
	"wornwood/annotate/outline"
	"wornwood/annotate/shape"
	"wornwood/capture/record"
	"wornwood/capture/reduce"
)

// demoFiles gives the rendered demo photos by their names in place of IDs.
type demoFiles struct{}

func (demoFiles) OriginalBytes(id string) ([]byte, error) {
	return os.ReadFile(filepath.Join("..", "..", "testdata", "demo", id))
}

func (demoFiles) Picture(p record.Photo) (image.Image, error) {
	f, err := os.Open(filepath.Join("..", "..", "testdata", "demo", p.ID))
	if err != nil {
		return nil, err
	}
	defer f.Close()
	img, _, err := image.Decode(f)
	if err != nil {
		return nil, err
	}
	return reduce.Upright(img, p.Orientation), nil
}

// withPhoto is a session with one demo photo, shown on the Marks screen.
func withPhoto(t *testing.T, file string, w, h int) (*annotate.Session, *Marks) {
	t.Helper()
	s := opened(t)
	turned := 1
	if file == "whole.jpg" || file == "board.jpg" {
		turned = 6 // as the renderer stored them
	}
	c, err := record.Set(record.PhotoTarget(file), record.Photo{ID: file, Name: file, Width: w, Height: h, Format: "jpeg", Size: 1, Orientation: turned})
	must(t, err)
	must(t, s.Do("Import", c))
	m := NewMarks(s)
	m.SetPhoto(file)
	return s, m
}

// Clicking a card's corners scales the photo as soon as there are four; the
// corners are found on their edges; lengths can then be measured and given to a
// mark. The card is 85.60 mm long (ISO/IEC 7810, from memory).
func TestScaleByCard(t *testing.T) {
	s, m := withPhoto(t, "front.jpg", 3000, 2000)
	v := NewScaling(s, m)
	v.Pixels = func() image.Image { img, _ := (demoFiles{}).Picture(record.Photo{ID: "front.jpg"}); return img }
	ruler := NewMeasuring(s, m)
	if got := ruler.Note(); !strings.Contains(got, "no scale") {
		t.Errorf("without a scale: %q", got)
	}
	v.SetKind(1)
	if v.Kinds()[v.Kind()] != "card" || !v.AsksLies() || v.Prompt() != "corner 1" {
		t.Fatalf("%s asks for %q", v.Kinds()[v.Kind()], v.Prompt())
	}
	clicks := []shape.Pt{{X: 2917, Y: 1373}, {X: 2486, Y: 1374}, {X: 2490, Y: 1647}, {X: 2922, Y: 1646}}
	for i, p := range clicks {
		if s.Scene().Record.PhotoByID("front.jpg").Scale != nil {
			t.Fatalf("scaled after %d corners", i)
		}
		must(t, v.Click(p))
	}
	if v.Prompt() != "" || !strings.HasPrefix(v.Summary(), "Card, 4 corners") {
		t.Fatalf("%q, asks for %q", v.Summary(), v.Prompt())
	}
	for _, r := range v.Rows() {
		if r.Residual > 0.5 || r.Wild {
			t.Errorf("%s lies %.2f px off", r.Name, r.Residual)
		}
	}
	ruler.Add([]shape.Pt{{X: 2918.59, Y: 1371.72}, {X: 2484.77, Y: 1375.51}})
	if got := ruler.Lines()[0].Label; !strings.HasPrefix(got, "85.") && !strings.HasPrefix(got, "86") {
		t.Errorf("the card is %s long", got)
	}
	if err := ruler.UseFor(); err == nil {
		t.Error("a length was given to no mark")
	}
	if err := v.Move(0, shape.Pt{X: 2800, Y: 1500}); err == nil || v.Rows()[0].Residual > 0.5 {
		t.Errorf("a corner put 170 px away: %v, %+v", err, v.Rows()[0])
	}
	must(t, v.Move(0, shape.Pt{X: 2918, Y: 1372}))
	must(t, v.Clear())
	if s.Scene().Record.PhotoByID("front.jpg").Scale != nil || len(v.Rows()) != 0 {
		t.Error("the scale is still there")
	}
}

func TestScaleRefuses(t *testing.T) {
	s, m := withPhoto(t, "front.jpg", 3000, 2000)
	v := NewScaling(s, m)
	for _, f := range [][2]string{{"0", "99"}, {"12", "12"}, {"-1", "5"}, {"nut", "12"}} {
		if v.SetFrets(f[0], f[1]) == nil {
			t.Errorf("frets %v accepted", f)
		}
	}
	for _, k := range []string{"0", "-4", "long", "1e9"} {
		if v.SetKnown(k) == nil {
			t.Errorf("known length %q accepted", k)
		}
	}
	if v.Set("yardstick", 0, 12, 0, LiesWords[0], nil, nil) == nil || v.Set(record.CardScale, 0, 12, 0, "in the case", nil, nil) == nil {
		t.Error("nonsense accepted")
	}
	if err := v.Set(record.TwoPointScale, 0, 12, 0, LiesWords[0], nil, []shape.Pt{{X: 1}, {X: 900}}); err == nil {
		t.Error("two points of unknown distance accepted")
	}
}

// Two patches make a reading on the mark; the grey card makes it better.
func TestFadeReading(t *testing.T) {
	s, m := withPhoto(t, "board.jpg", 1600, 2400)
	v := NewFading(s, m)
	if err := v.Drag(shape.RectAround(shape.Pt{}, shape.Pt{X: 9, Y: 9})); err == nil {
		t.Error("a patch was taken for no mark")
	}
	n, err := s.AddMark(annotate.Surface{Side: outline.Front}, record.AreaShape, []record.Point{{X: -20, Y: 330}, {X: 20, Y: 330}, {X: 20, Y: 400}, {X: -20, Y: 400}})
	must(t, err)
	must(t, s.SetKind(n, "fade"))
	for _, r := range [][4]float64{{850, 600, 860, 640}, {806, 1522, 817, 1550}, {1120, 900, 1300, 1150}} {
		if v.Complete() != (v.Next() == GreyPatch) {
			t.Error("complete without both patches")
		}
		must(t, v.Drag(shape.RectAround(shape.Pt{X: r[0], Y: r[1]}, shape.Pt{X: r[2], Y: r[3]})))
	}
	job := v.Job(demoFiles{})
	must(t, job.Run(t.Context()))
	must(t, v.Keep(job))
	mk := s.Scene().Record.MarkByNumber(n)
	line, _, reliable, ok := v.Result()
	if !ok || !reliable || !strings.HasPrefix(line, "ΔE00 1") || mk.Fade == nil || mk.Fade.Grey == nil || mk.Reading == nil || mk.Reading.Kind != record.FadeReading {
		t.Fatalf("%q, mark %+v", line, mk)
	}
	for _, p := range v.Patches() {
		if p.Colour == (color.RGBA{}) || !strings.Contains(p.Word, "L*") {
			t.Errorf("patch %+v", p)
		}
	}
	must(t, m.SetReading("3"))
	if mk = s.Scene().Record.MarkByNumber(n); mk.Fade != nil || mk.Reading.Value != 3 {
		t.Error("a typed figure left the patches of another one")
	}
	must(t, v.Clear())
	if s.Scene().Record.MarkByNumber(n).Fade != nil {
		t.Error("the patches are still there")
	}
}

// Suggestions are answered one by one; what was answered is not shown again.
func TestSuggestionsAreAnswered(t *testing.T) {
	s, m := withPhoto(t, "close-checks.jpg", 2400, 1600)
	v := NewSuggesting(s, m)
	if _, err := v.Job(demoFiles{}); err == nil {
		t.Error("looked without an area")
	}
	v.SetArea([]shape.Pt{{X: 1250, Y: 300}, {X: 2300, Y: 300}, {X: 2300, Y: 1500}, {X: 1250, Y: 1500}})
	job, err := v.Job(demoFiles{})
	must(t, err)
	must(t, job.Run(t.Context()))
	v.Show(job)
	all := len(v.Ghosts())
	if all < 5 || len(s.Scene().Record.Marks) != 0 {
		t.Fatalf("%d suggestions, %d marks: nothing may be added by itself", all, len(s.Scene().Record.Marks))
	}
	must(t, v.Answer(1, false))
	must(t, v.Answer(1, true))
	if got := len(v.Ghosts()); got > all-2 || len(s.Scene().Record.Marks) != 1 || v.Dismissed() != 1 {
		t.Errorf("%d of %d are open, %d marks, %d dismissed", got, all, len(s.Scene().Record.Marks), v.Dismissed())
	}
	few := len(v.Ghosts())
	v.SetSensitivity(0)
	if len(v.Ghosts()) >= few {
		t.Error("the slider at its lower end shows as many")
	}
	v.SetSensitivity(0.5)
	must(t, v.Forget())
	if got := len(v.Ghosts()); got != few+1 || v.Dismissed() != 0 {
		t.Errorf("forgotten, %d are open, before %d", got, few)
	}
}

func TestCloseUpOfAMark(t *testing.T) {
	s, m := withPhoto(t, "front.jpg", 3000, 2000)
	n, err := m.Draw(true, record.PointShape, []record.Point{{X: 900, Y: 900}})
	must(t, err)
	img, err := CloseUp(demoFiles{}, s, n, "")
	must(t, err)
	file := filepath.Join(t.TempDir(), "mark.png")
	must(t, SavePicture(file, img))
	if err := SavePicture(file, img); err == nil {
		t.Error("a file was written over")
	}
	if err := SavePicture(filepath.Join(t.TempDir(), "mark.gif"), img); err == nil {
		t.Error("a gif was written")
	}
	if _, err := CloseUp(demoFiles{}, s, 99, ""); err == nil {
		t.Error("a close-up of no mark")
	}
}

// The outline traced from the rendered photo is that of the class's drawing, from
// which the photo was rendered: its area within two per cent, kept and taken back.
func TestTraceOfTheDemo(t *testing.T) {
	s, m := withPhoto(t, "whole.jpg", 2000, 3000)
	v := NewTracing(s, m)
	if err := v.Keep(); err == nil {
		t.Error("kept before anything was traced")
	}
	if !v.NeedsAxis() || v.Prompt() != "nut, middle" {
		t.Fatalf("asks for %q", v.Prompt())
	}
	v.Click(shape.Pt{X: 983.7, Y: 646.8})
	v.Click(shape.Pt{X: 944.6, Y: 2497.9})
	job, err := v.Job(demoFiles{})
	must(t, err)
	must(t, job.Run(t.Context()))
	v.Show(job)
	n := len(v.Curve())
	if n < 8 || n > 60 {
		t.Fatalf("%d nodes: %s %v", n, v.Status(), v.Warnings())
	}
	class := s.Scene().Drawing
	must(t, v.Keep())
	own := s.Scene().Drawing
	a, b := class.Area("front/finish"), own.Area("front/finish")
	if a == 0 {
		for _, r := range class.Side(outline.Front).Regions {
			if r.Part == record.FrontFinish {
				a, b = a+class.Area(r.ID), b+own.Area(r.ID)
			}
		}
	}
	if !v.HasOwn() || own == class || b < 0.97*a || b > 1.03*a {
		t.Errorf("the front was %.0f mm2 and is %.0f", a, b)
	}
	crossed := append([]record.Node(nil), v.Curve()...)
	crossed[0].At, crossed[n/2].At = crossed[n/2].At, crossed[0].At
	if err := v.SetCurve(crossed); err == nil {
		t.Error("a curve that crosses itself was accepted")
	}
	must(t, v.BackToClass())
	if s.Scene().Drawing != class {
		t.Error("back at the class, it is another drawing")
	}
}
