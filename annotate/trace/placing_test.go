package trace

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"wornwood/annotate/shape"
	"wornwood/capture/record"
)

// Nut and saddles come to their places, all lengths grow by one factor, nothing is mirrored and the
// inverse leads back, however the photo is turned.
func TestPlaceByAxisIsASimilarity(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		pt := func(name string) shape.Pt {
			return shape.Pt{X: rapid.Float64Range(-500, 9000).Draw(t, name+" x"), Y: rapid.Float64Range(-500, 9000).Draw(t, name+" y")}
		}
		nut, saddle := pt("nut"), pt("saddle")
		if shape.Dist(nut, saddle) < 10 {
			saddle.X += 20
		}
		long := rapid.Float64Range(250, 1200).Draw(t, "scale length")
		m, err := PlaceByAxis(nut, saddle, long)
		if err != nil {
			t.Fatal(err)
		}
		if d := shape.Dist(m.Apply(nut), shape.Pt{}); d > 1e-6 {
			t.Fatalf("the nut lies %g mm off", d)
		}
		if d := shape.Dist(m.Apply(saddle), shape.Pt{Y: long}); d > 1e-6 {
			t.Fatalf("the saddle lies %g mm off", d)
		}
		p, q := pt("p"), pt("q")
		factor := long / shape.Dist(nut, saddle)
		if got, want := shape.Dist(m.Apply(p), m.Apply(q)), factor*shape.Dist(p, q); math.Abs(got-want) > 1e-6*(1+want) {
			t.Fatalf("a length of %g mm is %g", want, got)
		}
		if d := shape.Dist(m.Inverse().Apply(m.Apply(p)), p); d > 1e-5 {
			t.Fatalf("the way back misses by %g pixels", d)
		}
		// What is on the right hand on the way from nut to saddle stays there.
		side := cross(shape.Sub(saddle, nut), shape.Sub(p, nut))
		if x := m.Apply(p).X; math.Abs(x) > 1e-3 && (side > 0) != (x < 0) {
			t.Fatalf("mirrored: side %g, x %g", side, x)
		}
	})
}

// A photo with the head up keeps right and left; worked out by hand.
func TestPlaceByAxisByHand(t *testing.T) {
	m, err := PlaceByAxis(shape.Pt{X: 1000, Y: 500}, shape.Pt{X: 1000, Y: 1800}, 650)
	if err != nil {
		t.Fatal(err)
	}
	if got, want := m.Apply(shape.Pt{X: 1100, Y: 700}), (shape.Pt{X: 50, Y: 100}); shape.Dist(got, want) > 1e-9 {
		t.Errorf("head up: %v, want %v", got, want)
	}
	// The head to the left: what is lower in the photo is to the left of the head's view.
	m, err = PlaceByAxis(shape.Pt{X: 500, Y: 900}, shape.Pt{X: 1800, Y: 900}, 650)
	if err != nil {
		t.Fatal(err)
	}
	if got, want := m.Apply(shape.Pt{X: 700, Y: 1000}), (shape.Pt{X: -50, Y: 100}); shape.Dist(got, want) > 1e-9 {
		t.Errorf("head to the left: %v, want %v", got, want)
	}
}

func TestPlaceByAxisRefusals(t *testing.T) {
	p, q := shape.Pt{X: 100, Y: 100}, shape.Pt{X: 100, Y: 900}
	nan := shape.Pt{X: math.NaN()}
	for what, err := range map[string]error{
		"one point":      second(PlaceByAxis(p, p, 650)),
		"not a number":   second(PlaceByAxis(nan, q, 650)),
		"infinite":       second(PlaceByAxis(p, shape.Pt{Y: math.Inf(1)}, 650)),
		"no length":      second(PlaceByAxis(p, q, 0)),
		"length unknown": second(PlaceByAxis(p, q, math.NaN())),
	} {
		if err == nil {
			t.Errorf("%s is placed", what)
		}
	}
}

func second(_ shape.Affine, err error) error { return err }

// IsSimple agrees with shapely's LinearRing.is_simple on random closed curves.
func TestIsSimpleAgreesWithShapely(t *testing.T) {
	type problem struct {
		Simple []shape.Pt `json:"simple"`
	}
	var problems []problem
	var mine []bool
	for k := range 200 {
		var nodes []record.Node
		n := 3 + k%9
		wild := 0.2 + 1.6*float64(k)/200
		for i := range n {
			a := 2 * math.Pi * float64(i) / float64(n)
			// Waves that are not in step with the nodes stand for chance.
			r := 200 * (1 + 0.5*wild*math.Sin(float64(k*7+i*i*5)))
			at := shape.Pt{X: r * math.Cos(a), Y: r * math.Sin(a)}
			b := a + math.Pi/2 + 1.5*wild*math.Cos(float64(k*3+i*11))
			long := (200 + 1200*wild) / float64(n)
			h := shape.Pt{X: long * math.Cos(b), Y: long * math.Sin(b)}
			nodes = append(nodes, record.Node{At: at, In: shape.Sub(at, h), Out: shape.Add(at, h)})
		}
		ok, _ := IsSimple(nodes)
		mine = append(mine, ok)
		problems = append(problems, problem{ToPath(nodes).Flatten(0.02)[0]})
	}
	var answers []bool
	python(t, "curves.py", problems, &answers)
	simple := 0
	for k, want := range answers {
		if want {
			simple++
		}
		if mine[k] != want {
			t.Errorf("curve %d: simple is %v, shapely says %v", k, mine[k], want)
		}
	}
	if len(answers) != len(mine) || simple < 20 || simple > 180 {
		t.Errorf("%d answers, %d of them simple: too few of one kind to check anything", len(answers), simple)
	}
}
