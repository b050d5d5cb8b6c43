package shape

import (
	"math"
	"math/rand/v2"
	"testing"
)

func TestSegments(t *testing.T) {
	for _, c := range []struct {
		a, b, c, d     Pt
		meets, crosses bool
		at             Pt
	}{
		{Pt{}, Pt{X: 4, Y: 4}, Pt{X: 4}, Pt{Y: 4}, true, true, Pt{X: 2, Y: 2}},
		{Pt{}, Pt{X: 4}, Pt{X: 2}, Pt{X: 2, Y: 5}, true, false, Pt{X: 2}}, // an end on the other
		{Pt{}, Pt{X: 4}, Pt{Y: 1}, Pt{X: 4, Y: 1}, false, false, Pt{}},    // parallel
		{Pt{}, Pt{X: 4}, Pt{X: 5, Y: -1}, Pt{X: 5, Y: 1}, false, false, Pt{}},
		{Pt{}, Pt{X: math.NaN()}, Pt{X: 5, Y: -1}, Pt{X: 5, Y: 1}, false, false, Pt{}},
	} {
		p, meets := Meet(c.a, c.b, c.c, c.d)
		if meets != c.meets || (meets && Dist(p, c.at) > 1e-12) || Crosses(c.a, c.b, c.c, c.d) != c.crosses {
			t.Errorf("%+v: meets %v at %v, crosses %v", c, meets, p, Crosses(c.a, c.b, c.c, c.d))
		}
	}
}

// The sweep finds what looking at every pair of sides finds.
func TestMeetsItselfAgainstEveryPair(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 5))
	simple := 0
	for range 4000 {
		ring := make([]Pt, 3+r.IntN(9))
		for i := range ring {
			turn := 2 * math.Pi * (float64(i) + 0.9*r.Float64()) / float64(len(ring))
			ring[i] = Pt{X: (1 + r.Float64()) * math.Cos(turn), Y: (1 + r.Float64()) * math.Sin(turn)}
		}
		if r.IntN(2) == 0 { // two points change places
			i, j := r.IntN(len(ring)), r.IntN(len(ring))
			ring[i], ring[j] = ring[j], ring[i]
		}
		want := false
		for i := range ring {
			for j := i + 2; j < len(ring); j++ {
				if i > 0 || j < len(ring)-1 {
					_, ok := Meet(ring[i], ring[i+1], ring[j], ring[(j+1)%len(ring)])
					want = want || ok
				}
			}
		}
		if !want {
			simple++
		}
		if at, got := MeetsItself(ring); got != want || got && !at.Finite() {
			t.Fatalf("%v: %v at %v, want %v", ring, got, at, want)
		}
	}
	if simple < 500 || simple > 3500 {
		t.Errorf("%d of 4000 rings are simple: too one-sided to tell", simple)
	}
}

func TestSignedAreaIsClockwise(t *testing.T) {
	ring := []Pt{{}, {X: 3}, {X: 3, Y: 2}, {Y: 2}} // right, down, left: with Y down that is clockwise
	if a := SignedArea(ring); a != 6 {
		t.Errorf("clockwise: %v", a)
	}
	if a := SignedArea([]Pt{ring[3], ring[2], ring[1], ring[0]}); a != -6 {
		t.Errorf("the other way: %v", a)
	}
}
