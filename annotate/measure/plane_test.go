package measure

import (
	"math"
	"math/rand/v2"
	"reflect"
	"strings"
	"sync"
	"testing"

	"wornwood/annotate/outline"
	"wornwood/annotate/shape"
	"wornwood/capture/record"
)

var mp24 = Camera{Width: 6000, Height: 4000}

// card is a card seen straight, 10 pixels to the millimetre.
func card() record.Scale {
	s := record.Scale{Kind: record.CardScale}
	for _, p := range CardPoints() {
		s.Points = append(s.Points, record.ScalePoint{At: shape.Pt{X: 2500 + 10*p.X, Y: 1500 + 10*p.Y}, MM: p})
	}
	return s
}

// landmarks are ten points of a body seen from the side by 15 degrees, about 4
// pixels to the millimetre.
func landmarks() record.Scale {
	h := habits{width: 6000, height: 4000, focal: uniform(0.9, 0.9), k1: uniform(-0.03, -0.03), tilt: uniform(15, 15)}
	cam := h.takePhoto(rand.New(rand.NewPCG(1, 5)), shape.Pt{Y: 380}, 4)
	s := record.Scale{Kind: record.LandmarkScale, Side: "front"}
	names := []string{"nut, bass", "nut, treble", "fret 12, bass", "fret 12, treble", "saddles", "waist, bass", "waist, treble", "bout, bass", "bout, treble", "end"}
	for i, p := range []shape.Pt{{X: -21}, {X: 21}, {X: -26, Y: 325}, {X: 26, Y: 325}, {Y: 650}, {X: -120, Y: 540}, {X: 120, Y: 540}, {X: -160, Y: 680}, {X: 160, Y: 680}, {Y: 760}} {
		s.Points = append(s.Points, record.ScalePoint{Name: names[i], At: cam.see(p, 0), MM: p})
	}
	return s
}

func TestFitRefusesWithASentence(t *testing.T) {
	edit := func(f func(*record.Scale)) record.Scale {
		s := card()
		f(&s)
		return s
	}
	two := record.Scale{Kind: record.TwoPointScale, Points: []record.ScalePoint{{At: shape.Pt{X: 100}}, {At: shape.Pt{X: 900}, MM: shape.Pt{X: 80}}}}
	withLength := func(v, u float64) record.Scale {
		s := two
		s.Length = &record.Quantity{Value: v, Uncertainty: u}
		return s
	}
	for i, c := range []struct {
		s    record.Scale
		cam  Camera
		want string
	}{
		{card(), Camera{}, "not a size"},
		{card(), Camera{Width: 10, Height: -4}, "not a size"},
		{card(), Camera{Width: 6000, Height: 4000, FocalPx: math.NaN()}, "focal length"},
		{card(), Camera{Width: 6000, Height: 4000, FocalPx: 3}, "focal length"},
		{record.Scale{}, mp24, "unknown kind"},
		{edit(func(s *record.Scale) { s.Points = s.Points[:3] }), mp24, "four corners"},
		{edit(func(s *record.Scale) { s.Points[2].At.X = math.Inf(1) }), mp24, "corner 3 is not at an ordinary place"},
		{edit(func(s *record.Scale) { s.Points[2].MM.X = math.NaN() }), mp24, "corner 3 is not at an ordinary place"},
		{edit(func(s *record.Scale) { s.Points[1].Noise = -1 }), mp24, "corner 2 is known to"},
		{edit(func(s *record.Scale) {
			for k := range s.Points {
				s.Points[k].At = shape.Pt{X: 5, Y: 5}
			}
		}), mp24, "farther apart"},
		{edit(func(s *record.Scale) {
			for k := range s.Points {
				s.Points[k].MM = shape.Pt{}
			}
		}), mp24, "one place"},
		{edit(func(s *record.Scale) { s.Points[0].At, s.Points[1].At = s.Points[1].At, s.Points[0].At }), mp24, "where its name says"},
		{record.Scale{Kind: record.RulerScale, Points: two.Points[:1]}, mp24, "needs 2"},
		{record.Scale{Kind: record.RulerScale, Points: make([]record.ScalePoint, record.MaxScalePoints+1)}, mp24, "needs 2 to"},
		{record.Scale{Kind: record.TwoPointScale, Points: card().Points}, mp24, "click 2"},
		{withLength(0, 0), mp24, "above 0"},
		{withLength(80, math.Inf(1)), mp24, "uncertainty of the known length"},
		{withLength(80, 60), mp24, "too uncertain"},
		{withLength(120, 0), mp24, "one of the two is wrong"},
	} {
		p, err := Fit(c.s, c.cam, nil)
		if err == nil || p != nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("case %d: %v; want an error with %q", i, err, c.want)
		}
	}
	if _, err := Fit(card(), mp24, func(shape.Pt) Height { return Height{math.NaN(), 0} }); err == nil || !strings.Contains(err.Error(), "height") {
		t.Errorf("a height that is no number: %v", err)
	}
	if _, err := Fit(card(), mp24, nil, WidthsKnownTo(-1)); err == nil || !strings.Contains(err.Error(), "widths") {
		t.Errorf("widths known to -1 mm: %v", err)
	}
}

// One wild click among ten is left out and named, wherever it went; the
// others keep residuals of the size of a click.
func TestAWildClickIsNamed(t *testing.T) {
	r := rand.New(rand.NewPCG(12, 12))
	missed := 0
	for round := range 60 {
		s := landmarks()
		for i := range s.Points {
			s.Points[i].At = shape.Add(s.Points[i].At, shape.Pt{X: r.NormFloat64(), Y: r.NormFloat64()})
		}
		i, way := round%10, 2*math.Pi*r.Float64()
		far := 30 + 300*r.Float64()
		s.Points[i].At = shape.Add(s.Points[i].At, shape.Pt{X: far * math.Cos(way), Y: far * math.Sin(way)})
		p, err := Fit(s, mp24, nil)
		if err != nil {
			t.Fatal(err)
		}
		for k, res := range p.Residuals() {
			if res.Wild != (k == i) {
				missed++
				t.Logf("round %d: %s is %.0f px off, wild %v; the wild one is %s, %.0f px", round, res.Name, res.Px, res.Wild, s.Points[i].Name, far)
			}
			if k != i && res.Px > 5 {
				t.Errorf("round %d: %s is %.1f px off", round, res.Name, res.Px)
			}
		}
		if w := strings.Join(p.Warnings(), "\n"); missed == 0 && !strings.Contains(w, s.Points[i].Name) {
			t.Errorf("the warnings do not name %s: %s", s.Points[i].Name, w)
		}
	}
	if missed > 0 {
		t.Errorf("%d verdicts of 600 are wrong", missed)
	}
}

// No click of 1 pixel is called wild.
func TestGoodClicksStay(t *testing.T) {
	r := rand.New(rand.NewPCG(13, 13))
	out := 0
	for range 200 {
		s := landmarks()
		for i := range s.Points {
			s.Points[i].At = shape.Add(s.Points[i].At, shape.Pt{X: r.NormFloat64(), Y: r.NormFloat64()})
		}
		p, err := Fit(s, mp24, nil)
		if err != nil {
			t.Fatal(err)
		}
		for _, res := range p.Residuals() {
			if res.Wild {
				out++
			}
		}
	}
	if out > 2 { // of 2000, by chance
		t.Errorf("%d good clicks were left out", out)
	}
}

func TestWarnings(t *testing.T) {
	fit := func(s record.Scale, opts ...Option) *Plane {
		t.Helper()
		p, err := Fit(s, mp24, nil, opts...)
		if err != nil {
			t.Fatal(err)
		}
		return p
	}
	says := func(p *Plane, want string, mark ...shape.Pt) {
		t.Helper()
		all := strings.Join(p.Warnings(mark...), "\n")
		if want == "" && all != "" || !strings.Contains(all, want) {
			t.Errorf("%s: warnings %q, want %q", p.Summary(), all, want)
		}
	}
	says(fit(card()), "")
	says(fit(card()), "", shape.Pt{X: 2900, Y: 1800})
	small := card()
	for i, p := range CardPoints() {
		small.Points[i].At = shape.Pt{X: 600 + 2.5*p.X, Y: 500 + 2.5*p.Y}
	}
	says(fit(small), "mm from the card: sizes there are less certain", shape.Pt{X: 2600, Y: 2600})

	mirror := card()
	for i := range mirror.Points {
		mirror.Points[i].At.X = 6000 - mirror.Points[i].At.X
	}
	p := fit(mirror)
	says(p, "looks mirrored")
	near(t, "a mirrored card's side", p.Width(mirror.Points[0].At, mirror.Points[1].At, nil).Value, CardLong, 0.3)
	if back := p.ToPx(p.ToMM(shape.Pt{X: 700, Y: 800}, Height{3, 0}), Height{3, 0}); shape.Dist(back, shape.Pt{X: 700, Y: 800}) > 1e-6 {
		t.Errorf("a mirrored pixel comes back at %v", back)
	}

	line := record.Scale{Kind: record.TwoPointScale, Points: []record.ScalePoint{{At: shape.Pt{X: 1000, Y: 900}}, {At: shape.Pt{X: 2000, Y: 900}, MM: shape.Pt{X: 100}}}}
	says(fit(line), "along one line")
	if got := fit(line).Summary(); got != "two points, 100 mm apart, about 10 px/mm" {
		t.Errorf("summary %q", got)
	}

	steep := card()
	s := (&habits{width: 6000, height: 4000, focal: uniform(1, 1), k1: uniform(0, 0), tilt: uniform(38, 38)}).takePhoto(rand.New(rand.NewPCG(1, 9)), shape.Pt{X: 40, Y: 25}, 15)
	for i, p := range CardPoints() {
		steep.Points[i].At = s.see(p, 0)
	}
	says(fit(steep), "from the side, by 3")

	frets := record.Scale{Kind: record.FretScale, Side: "front"}
	for _, p := range fretEnds(0, 12) {
		frets.Points = append(frets.Points, record.ScalePoint{At: shape.Pt{X: 3000 + 5*p.X, Y: 500 + 5*p.Y}, MM: p})
	}
	says(fit(frets), "Widths across the board")
	says(fit(frets, WidthsKnownTo(0.5)), "")
	if got := fit(frets).Summary(); !strings.HasPrefix(got, "frets, 4 points, residual ") {
		t.Errorf("summary %q", got)
	}
}

// Five points that contradict each other, and it does not show which is wrong.
func TestContradictionIsSaid(t *testing.T) {
	five := landmarks()
	five.Points = []record.ScalePoint{five.Points[0], five.Points[1], five.Points[4], five.Points[7], five.Points[8]}
	five.Points[0].At.X += 20
	five.Points[0].At.Y += 20
	p, err := Fit(five, mp24, nil)
	if err != nil {
		t.Fatal(err)
	}
	if all := strings.Join(p.Warnings(), "\n"); !strings.Contains(all, "contradict each other") {
		t.Errorf("warnings %q", all)
	}
	if strings.Contains(p.Summary(), "left out") {
		t.Errorf("one of five was left out: %s", p.Summary())
	}
}

// With five or six points a wild click often cannot be told. It must hardly
// ever be the wrong one that is left out, and hardly ever all without a word.
func TestAWildClickAmongFew(t *testing.T) {
	for _, pick := range [][]int{{0, 1, 2, 3, 9}, {0, 1, 4, 7, 8}, {0, 1, 2, 3, 7, 8}} {
		r := rand.New(rand.NewPCG(14, 14))
		count := map[string]int{}
		for range 200 {
			var mm []shape.Pt
			for _, i := range pick {
				mm = append(mm, landmarks().Points[i].MM)
			}
			s := every.takePhoto(r, shape.Pt{Y: 380}, 4)
			pts, ok := s.points(ruling{mm: mm, height: flat})
			if !ok {
				continue
			}
			i, way := r.IntN(len(pts)), 2*math.Pi*r.Float64()
			far := 20 + 200*r.Float64()
			pts[i].At = shape.Add(pts[i].At, shape.Pt{X: far * math.Cos(way), Y: far * math.Sin(way)})
			count["all"]++
			p, err := Fit(record.Scale{Kind: record.LandmarkScale, Points: pts}, mp24, nil)
			if err != nil {
				count["refused"]++
				continue
			}
			verdict := "unnoticed"
			if p.doubt != "" {
				verdict = "doubted"
			}
			for k, q := range p.Residuals() {
				if q.Wild && k == i {
					verdict = "found"
				} else if q.Wild {
					verdict = "another left out"
				}
			}
			count[verdict]++
		}
		t.Logf("%d points: %v", len(pick), count)
		if 100*count["another left out"] > count["all"] || 100*count["unnoticed"] > 7*count["all"] {
			t.Errorf("%d points: %v", len(pick), count)
		}
	}
}

// The interval of a reading across a scale's line is wide, along it narrow: the tilt of the
// camera shows in neither.
func TestTwoPointsKnowTheirOwnDirection(t *testing.T) {
	s := record.Scale{Kind: record.TwoPointScale, Points: []record.ScalePoint{{At: shape.Pt{X: 2000, Y: 2000}}, {At: shape.Pt{X: 3600, Y: 2000}, MM: shape.Pt{X: 160}}}}
	p, err := Fit(s, mp24, nil)
	if err != nil {
		t.Fatal(err)
	}
	along := p.Width(shape.Pt{X: 2600, Y: 2010}, shape.Pt{X: 2900, Y: 2010}, nil)
	across := p.Width(shape.Pt{X: 2800, Y: 1850}, shape.Pt{X: 2800, Y: 2150}, nil)
	if along.Uncertainty > 0.6 || across.Uncertainty < 4*along.Uncertainty {
		t.Errorf("along %v, across %v", along, across)
	}
	near(t, "the known length", p.Width(s.Points[0].At, s.Points[1].At, nil).Value, 160, 0.1)
}

// A height that all of the scale's points may be off by moves a reading
// on the plane below them.
func TestHeightsOfTheScaleCount(t *testing.T) {
	fit := func(sigma float64) *Plane {
		p, err := Fit(card(), Camera{Width: 6000, Height: 4000, FocalPx: 5000}, func(shape.Pt) Height { return Height{0, sigma} })
		if err != nil {
			t.Fatal(err)
		}
		return p
	}
	a, b := shape.Pt{X: 2500, Y: 2200}, shape.Pt{X: 3300, Y: 2200}
	sure, unsure := fit(0).Width(a, b, nil), fit(8).Width(a, b, nil)
	// 80 mm at 500 mm from the camera: 8/√2 mm of height are 0.9 mm.
	if unsure.Uncertainty < sure.Uncertainty+0.3 {
		t.Errorf("heights known: %v; to 8 mm: %v", sure, unsure)
	}
}

// The same clicks give the same plane, and many may read it at once.
func TestPlaneIsSteady(t *testing.T) {
	s := landmarks()
	p, err := Fit(s, mp24, nil)
	if err != nil {
		t.Fatal(err)
	}
	again, err := Fit(s, mp24, nil)
	if err != nil {
		t.Fatal(err)
	}
	if !reflect.DeepEqual(p, again) {
		t.Error("the same clicks give another plane")
	}
	line := []shape.Pt{{X: 2800, Y: 2500}, {X: 3000, Y: 2600}, {X: 3100, Y: 3000}}
	want := p.Length(line, nil)
	var wg sync.WaitGroup
	for range 4 {
		wg.Go(func() {
			for range 5 {
				if got := p.Length(line, nil); got != want {
					t.Errorf("%v, before %v", got, want)
				}
			}
		})
	}
	wg.Wait()
	s.Points[0].At.X += 500
	p.Residuals()[0].Px = 99
	if got := p.Length(line, nil); got != want || p.Residuals()[0].Px == 99 {
		t.Error("a plane changed with the clicks that it was made of")
	}
}

// The focal length that a file states for 24 x 36 mm: on a picture of 3:2 the
// long side is 36 mm.
func TestCameraOfPhoto(t *testing.T) {
	c := CameraOf(&record.Photo{Width: 6000, Height: 4000, Focal35: 36})
	near(t, "focal length", c.FocalPx, 6000, 1e-9)
	if c := CameraOf(&record.Photo{Width: 6000, Height: 4000}); c.FocalPx != 0 || c.Width != 6000 {
		t.Errorf("a file that states none: %+v", c)
	}
}

// heights asks inside of an outline's edge, where it is clear what is meant.
func TestHeightsAreAskedInside(t *testing.T) {
	d, err := outline.New(outline.Params{})
	if err != nil {
		t.Fatal(err)
	}
	s, err := FretScale(d, map[string]shape.Pt{"nut-bass": {X: 1000, Y: 500}, "nut-treble": {X: 1215, Y: 500}, "fret-12-bass": {X: 980, Y: 2120}, "fret-12-treble": {X: 1236, Y: 2120}})
	if err != nil {
		t.Fatal(err)
	}
	asked := 0
	_, err = Fit(s, mp24, func(mm shape.Pt) Height {
		asked++
		r, ok := d.RegionAt(outline.Front, mm)
		if !ok || r.Part != record.Fingerboard && r.Part != record.Frets {
			t.Errorf("the height was asked at %v, %q", mm, r.ID)
		}
		return Height{9, 1}
	})
	if err != nil || asked != 4 {
		t.Errorf("asked %d times: %v", asked, err)
	}
}
