package measure

import (
	"encoding/csv"
	"math"
	"math/rand/v2"
	"os"
	"strconv"
	"strings"
	"testing"

	"wornwood/annotate/outline"
	"wornwood/annotate/shape"
	"wornwood/capture/record"
)

func drawing(t testing.TB, p outline.Params) *outline.Drawing {
	t.Helper()
	d, err := outline.New(p)
	if err != nil {
		t.Fatal(err)
	}
	return d
}

// The four corners of a card clicked in any order make the same scale, in 300 views
// tilted up to 40 degrees; and the longer side is the right one: turning it
// round fits worse.
func TestCardScaleInAnyOrder(t *testing.T) {
	r := rand.New(rand.NewPCG(15, 15))
	for round := range 300 {
		s := every.takePhoto(r, shape.Pt{X: 43, Y: 27}, 6+14*r.Float64())
		corners := CardPoints()
		order := r.Perm(4)
		var clicks [4]shape.Pt
		for i, k := range order {
			clicks[i] = s.click(s.see(corners[k], 0))
		}
		got, err := CardScale(clicks, nil)
		if err != nil {
			t.Fatalf("round %d: %v", round, err)
		}
		for i, k := range order {
			// The same corner, or the one opposite: a card has no top.
			same := shape.Dist(got.Points[i].MM, corners[k]) < 1e-9
			turned := shape.Dist(got.Points[i].MM, corners[(k+2)%4]) < 1e-9
			if !same && !turned || got.Points[i].At != clicks[i] {
				t.Fatalf("round %d, tilt %.0f: corner %d is at %v, want that of %v", round, s.tilt*57, i+1, got.Points[i].MM, corners[k])
			}
		}
		if round < 20 {
			p, err := Fit(got, s.camera(every), nil)
			if err != nil {
				t.Fatal(err)
			}
			near(t, "long side", p.Width(s.see(corners[0], 0), s.see(corners[1], 0), nil).Value, CardLong, 0.8)
			near(t, "short side", p.Width(s.see(corners[1], 0), s.see(corners[2], 0), nil).Value, CardShort, 0.8)
		}
	}
}

// Source: twelve-tone equal temperament, a table computed outside this project:
// the places of frets on a scale of 650 mm. A photo of such a board, scaled by the nut and fret 12, reads
// them all.
func TestFretScaleReadsTheTable(t *testing.T) {
	f, err := os.Open("../outline/testdata/frets.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	d := drawing(t, outline.Params{ScaleLength: 650, Frets: 24})
	h := habits{width: 6000, height: 4000, focal: uniform(0.9, 0.9), k1: uniform(-0.03, -0.03), tilt: uniform(20, 20)}
	cam := h.takePhoto(rand.New(rand.NewPCG(2, 5)), shape.Pt{Y: 200}, 6)
	clicks := map[string]shape.Pt{}
	for _, n := range []int{0, 12} {
		e := FretPoints(d, n)
		name := "nut"
		if n > 0 {
			name = "fret-" + strconv.Itoa(n)
		}
		clicks[name+"-bass"], clicks[name+"-treble"] = cam.see(e[0], 0), cam.see(e[1], 0)
	}
	s, err := FretScale(d, clicks)
	if err != nil {
		t.Fatal(err)
	}
	if s.Side != "front" || len(s.Points) != 4 || s.Points[0].Name != "nut-bass" || s.Points[3].Name != "fret-12-treble" {
		t.Errorf("scale %+v", s)
	}
	p, err := Fit(s, Camera{Width: 6000, Height: 4000}, nil)
	if err != nil {
		t.Fatal(err)
	}
	for _, row := range rows[1:] {
		n, err1 := strconv.Atoi(row[0])
		mm, err2 := strconv.ParseFloat(row[2], 64)
		if err1 != nil || err2 != nil {
			t.Fatalf("row %v is not two numbers", row)
		}
		// In the table's own millimetres, through the camera, and back.
		q := p.Width(cam.see(shape.Pt{}, 0), cam.see(shape.Pt{Y: mm}, 0), nil)
		if math.Abs(q.Value-mm) > 1.96*q.Uncertainty || q.Uncertainty > 0.01*mm+0.4 {
			t.Errorf("fret %d: %v mm, table %.3f", n, q, mm)
		}
	}
}

// Names of frets; the middle of the board; a fan.
func TestFretNames(t *testing.T) {
	d := drawing(t, outline.Params{ScaleLength: 648})
	b, tr := d.FretLine(7)
	for name, want := range map[string]shape.Pt{"fret-7-bass": b, "fret-7-treble": tr, "fret-7": shape.Lerp(b, tr, 0.5), "nut": {}} {
		if got, ok := fretPlace(d, name); !ok || shape.Dist(got, want) > 1e-9 {
			t.Errorf("%s lies at %v, want %v", name, got, want)
		}
	}
	for _, name := range []string{"", "fret", "fret-", "fret-0", "fret-07", "fret-99", "fret--3", "fret-7-", "fret-7-middle", "nut-", "nuts", "nut-left", "saddles"} {
		if got, ok := fretPlace(d, name); ok {
			t.Errorf("%q lies at %v", name, got)
		}
	}
	if got := FretPoints(d, 0, 12, 99); len(got) != 4 || math.Abs(got[2].Y-324) > 1e-6 {
		t.Errorf("ends of nut, fret 12 and fret 99: %v", got)
	}
	fan := drawing(t, outline.Params{ScaleLength: 635, BassScale: 660})
	s, err := FretScale(fan, map[string]shape.Pt{"nut-bass": {X: 100}, "nut-treble": {X: 300, Y: 1}, "fret-12-bass": {X: 90, Y: 1600}, "fret-12-treble": {X: 310, Y: 1550}})
	if err != nil {
		t.Fatal(err)
	}
	if a, b := s.Points[2].MM, s.Points[3].MM; a.Y-b.Y < 5 {
		t.Errorf("fret 12 of a fan runs from %v to %v", a, b)
	}
}

// Landmarks carry how well the outline knows them, in pixels.
func TestLandmarkScaleNoise(t *testing.T) {
	d := drawing(t, outline.Params{})
	clicks := map[string]shape.Pt{}
	for _, l := range d.Landmarks() {
		if l.Side == outline.Front {
			clicks[l.ID] = shape.Pt{X: 3000 + 4*l.At.X, Y: 600 + 4*l.At.Y}
		}
	}
	s, err := LandmarkScale(d, outline.Front, clicks)
	if err != nil {
		t.Fatal(err)
	}
	if len(s.Points) != len(clicks) || s.Side != "front" {
		t.Errorf("%d points of %d on %q", len(s.Points), len(clicks), s.Side)
	}
	for _, p := range s.Points {
		mm := bodyKnown
		switch {
		case strings.HasPrefix(p.Name, "saddle"):
			mm = saddlesKnown
		case strings.HasPrefix(p.Name, "nut"), strings.HasPrefix(p.Name, "fret"), strings.HasPrefix(p.Name, "board"):
			mm = fretsKnown
		}
		near(t, p.Name, p.Noise, math.Hypot(1, 4*mm), 0.02)
	}
	p, err := Fit(s, Camera{Width: 6000, Height: 4400}, nil)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "100 mm", p.Width(shape.Pt{X: 2800, Y: 3000}, shape.Pt{X: 3200, Y: 3000}, nil).Value, 100, 1.5)
}

// refusal is a scale that must be refused with the words.
type refusal struct {
	make func() (record.Scale, error)
	want string
}

func (c refusal) check(t *testing.T, i int) {
	t.Helper()
	if _, err := c.make(); err == nil || !strings.Contains(err.Error(), c.want) {
		t.Errorf("case %d: %v; want an error with %q", i, err, c.want)
	}
}

func pt(x, y float64) shape.Pt { return shape.Pt{X: x, Y: y} }

func TestOwnPlanesRefuseNonsense(t *testing.T) {
	nan := math.NaN()
	for i, c := range []refusal{
		{func() (record.Scale, error) {
			return CardScale([4]shape.Pt{pt(0, 0), pt(0, 1), pt(300, 200), pt(0, 200)}, nil)
		}, "same place"},
		{func() (record.Scale, error) {
			return CardScale([4]shape.Pt{pt(0, 0), pt(100, 0), pt(200, 0), pt(300, 0)}, nil)
		}, "line between its neighbours"},
		{func() (record.Scale, error) {
			return CardScale([4]shape.Pt{pt(0, 0), pt(300, 0), pt(150, 50), pt(150, 300)}, nil)
		}, "dented"},
		{func() (record.Scale, error) {
			return CardScale([4]shape.Pt{pt(0, 0), pt(300, 0), pt(nan, 50), pt(150, 300)}, nil)
		}, "corner 3"},
		{func() (record.Scale, error) {
			return TwoPointScale(pt(0, 0), pt(0, 0), record.Quantity{Value: 10}, nil)
		}, "clicked on the same place"},
		{func() (record.Scale, error) { return TwoPointScale(pt(0, 0), pt(90, 0), record.Quantity{}, nil) }, "above 0"},
		{func() (record.Scale, error) {
			return TwoPointScale(pt(0, 0), pt(90, 0), record.Quantity{Value: nan}, nil)
		}, "above 0"},
		{func() (record.Scale, error) {
			return TwoPointScale(pt(0, 0), pt(90, 0), record.Quantity{Value: 9, Uncertainty: -1}, nil)
		}, "uncertainty"},
		{func() (record.Scale, error) {
			return TwoPointScale(pt(0, nan), pt(90, 0), record.Quantity{Value: 9}, nil)
		}, "ordinary place"},
		{func() (record.Scale, error) { return RulerScale([]shape.Pt{pt(0, 0)}, []float64{0}, nil) }, "needs 2"},
		{func() (record.Scale, error) { return RulerScale([]shape.Pt{pt(0, 0), pt(50, 0)}, []float64{0}, nil) }, "1 graduations for 2"},
		{func() (record.Scale, error) { return RulerScale([]shape.Pt{pt(0, 0), pt(50, 0)}, []float64{5, 5}, nil) }, "the same place"},
		{func() (record.Scale, error) {
			return RulerScale([]shape.Pt{pt(0, 0), pt(50, 0)}, []float64{5, math.Inf(1)}, nil)
		}, "graduation 2"},
		{func() (record.Scale, error) {
			return RulerScale([]shape.Pt{pt(0, 0), pt(50, 0), pt(20, 1)}, []float64{0, 10, 20}, nil)
		}, "in order"},
		{func() (record.Scale, error) { return RulerScale(make([]shape.Pt, 101), make([]float64, 101), nil) }, "at most 100"},
	} {
		c.check(t, i)
	}
}

func TestOutlineScalesRefuseNonsense(t *testing.T) {
	d := drawing(t, outline.Params{})
	for i, c := range []refusal{
		{func() (record.Scale, error) { return FretScale(d, nil) }, "needs 2"},
		{func() (record.Scale, error) {
			return FretScale(d, map[string]shape.Pt{"nut-bass": {}, "fret-99-bass": pt(5, 5)})
		}, "no fret 99 bass"},
		{func() (record.Scale, error) {
			return FretScale(d, map[string]shape.Pt{"nut-bass": {}, "nut-treble": pt(1, 1)})
		}, "same place"},
		{func() (record.Scale, error) {
			return LandmarkScale(d, outline.Front, map[string]shape.Pt{"nut-bass": {}, "end": pt(5, 500)})
		}, "needs 4"},
		{func() (record.Scale, error) { return LandmarkScale(d, outline.Front, map[string]shape.Pt{"nose": {}}) }, "no nose on its front"},
		{func() (record.Scale, error) {
			return LandmarkScale(d, outline.Back, map[string]shape.Pt{"nut-bass": {}})
		}, "on its back"},
		{func() (record.Scale, error) {
			return LandmarkScale(d, outline.Front, map[string]shape.Pt{"nut": {}, "fret-5": pt(0, 300), "fret-12": pt(0, 600), "saddles": pt(0, 1200)})
		}, "one line"},
	} {
		c.check(t, i)
	}
}
