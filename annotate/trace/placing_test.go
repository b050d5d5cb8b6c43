package trace

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"wornwood/annotate/shape"
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
		side := shape.Cross(shape.Sub(saddle, nut), shape.Sub(p, nut))
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
