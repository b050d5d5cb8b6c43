package shape

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

func TestRect(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a := RectAround(point(t, "a"), point(t, "b"))
		b := RectAround(point(t, "c"), point(t, "d"))
		u := a.Union(b)
		for _, r := range []Rect{a, b} {
			if !r.Empty() && !(u.Contains(r.Min) && u.Contains(r.Max)) {
				t.Fatalf("%v is not inside the union %v", r, u)
			}
		}
		d := rapid.Float64Range(0, 50).Draw(t, "by")
		g := a.Grow(d)
		if math.Abs(g.Dx()-a.Dx()-2*d) > 1e-9 || !g.Contains(a.Min) || !g.Contains(a.Max) {
			t.Fatalf("%v grown by %g is %v", a, d, g)
		}
		if s := a.Grow(-3000); !s.Empty() || s.Dx() < 0 || s.Dy() < 0 {
			t.Fatalf("shrunk past the middle: %v", s)
		}
	})
	if !(Rect{}).Empty() || (Rect{Max: Pt{X: 1, Y: 1}}).Empty() {
		t.Error("Empty is wrong about the zero or the unit rectangle")
	}
	if got := (Rect{}).Union(Rect{Max: Pt{X: 2, Y: 3}}); got.Max != (Pt{X: 2, Y: 3}) {
		t.Errorf("union with nothing is %v", got)
	}
}

func TestClosestPoint(t *testing.T) {
	line := []Pt{{}, {X: 10}, {X: 10, Y: 10}}
	for _, c := range []struct {
		p, want Pt
		at      float64
	}{
		{Pt{X: 4, Y: -3}, Pt{X: 4}, 4},
		{Pt{X: 13, Y: 6}, Pt{X: 10, Y: 6}, 16},
		{Pt{X: -5, Y: -5}, Pt{}, 0},
		{Pt{X: 11, Y: 20}, Pt{X: 10, Y: 10}, 20},
	} {
		got, at := ClosestPoint(c.p, line)
		if got != c.want || at != c.at {
			t.Errorf("nearest to %v is %v at %g, want %v at %g", c.p, got, at, c.want, c.at)
		}
	}
	if got := DistToPolyline(Pt{X: 3, Y: 4}, []Pt{{}}); got != 5 {
		t.Errorf("distance to a point %g, want 5", got)
	}
	if got := DistToPolyline(Pt{}, nil); !math.IsInf(got, 1) {
		t.Errorf("distance to nothing %g, want +Inf", got)
	}
	if got := PolylineLength(line); got != 20 {
		t.Errorf("length %g, want 20", got)
	}
}

// The nearest point is no farther than any point sampled along the line.
func TestClosestPointIsClosest(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		line, p := randomLine(t, 6), point(t, "p")
		best := DistToPolyline(p, line)
		for i := 1; i < len(line); i++ {
			for k := range 21 {
				if d := Dist(p, Lerp(line[i-1], line[i], float64(k)/20)); d < best-1e-9 {
					t.Fatalf("a sample is at %g, DistToPolyline says %g", d, best)
				}
			}
		}
	})
}

func TestCentroid(t *testing.T) {
	// The centre of gravity of a triangle is the mean of its corners, and a
	// semicircle's lies 4r/3pi from its middle (school geometry).
	if got := Centroid([]Pt{{}, {X: 9}, {Y: 6}}); Dist(got, Pt{X: 3, Y: 2}) > 1e-12 {
		t.Errorf("triangle: %v", got)
	}
	var half []Pt
	for i := range 2001 {
		s, c := math.Sincos(math.Pi * float64(i) / 2000)
		half = append(half, Pt{X: 100 + 10*c, Y: 50 + 10*s})
	}
	if got := Centroid(half); Dist(got, Pt{X: 100, Y: 50 + 40/(3*math.Pi)}) > 1e-4 {
		t.Errorf("semicircle: %v", got)
	}
	if got := Centroid([]Pt{{X: 1}, {X: 3}}); got != (Pt{X: 2}) {
		t.Errorf("line: %v", got)
	}
	if got := Centroid(nil); got != (Pt{}) {
		t.Errorf("nothing: %v", got)
	}
}
