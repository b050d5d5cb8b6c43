package shape

import (
	"math"
	"math/rand/v2"
	"testing"

	"pgregory.net/rapid"
)

// blob draws a closed smooth ring about the middle: radii drawn at even
// angles, joined by cubics with round tangents. It does not cross itself.
func blob(t *rapid.T, label string) Path {
	n := rapid.IntRange(3, 9).Draw(t, label+" nodes")
	c := Pt{X: rapid.Float64Range(-50, 50).Draw(t, label+" x"), Y: rapid.Float64Range(-50, 50).Draw(t, label+" y")}
	r := make([]float64, n)
	for i := range r {
		r[i] = rapid.Float64Range(20, 40).Draw(t, label+" radius")
	}
	return ringOf(c, r)
}

func ringOf(c Pt, r []float64) Path {
	n := len(r)
	at := func(i int) (p, tangent Pt) {
		s, k := math.Sincos(2 * math.Pi * float64(i%n) / float64(n))
		h := 4.0 / 3 * math.Tan(math.Pi/float64(2*n)) * r[i%n]
		return Pt{X: c.X + r[i%n]*k, Y: c.Y + r[i%n]*s}, Pt{X: -s * h, Y: k * h}
	}
	var a Path
	for i := range n {
		p, t0 := at(i)
		q, t1 := at(i + 1)
		if i == 0 {
			a.MoveTo(p)
		}
		a.CubicTo(Add(p, t0), Sub(q, t1), q)
	}
	a.Close()
	return a
}

func TestAreaAgainstShoelace(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a := blob(t, "blob")
		fine := PolygonArea(a.Flatten(1e-5)[0])
		if got := a.Area(); math.Abs(got-fine) > 1e-5*fine {
			t.Fatalf("Area %.6f, shoelace of the flattened ring %.6f", got, fine)
		}
	})
}

func TestAreaAgainstMonteCarlo(t *testing.T) {
	a := ringOf(Pt{X: 5, Y: -7}, []float64{20, 31, 40, 22, 35})
	box, rng, in := a.Bounds(), rand.New(rand.NewPCG(1, 2)), 0
	const n = 200_000
	for range n {
		if a.Contains(Pt{X: box.Min.X + rng.Float64()*box.Dx(), Y: box.Min.Y + rng.Float64()*box.Dy()}) {
			in++
		}
	}
	share := float64(in) / n
	got := share * box.Dx() * box.Dy()
	// Five standard errors of a binomial share.
	slack := 5 * math.Sqrt(share*(1-share)/n) * box.Dx() * box.Dy()
	if want := a.Area(); math.Abs(got-want) > slack {
		t.Errorf("Monte Carlo %.1f +- %.1f, Area %.1f", got, slack, want)
	}
}

// Areas of plane figures from school geometry.
func TestAreaKnown(t *testing.T) {
	ring := Circle(Pt{X: 300, Y: 300}, 10)
	ring.Append(Circle(Pt{X: 300, Y: 300}, 6))
	apart := Circle(Pt{}, 10)
	apart.Append(Circle(Pt{X: 50}, 6))
	for name, c := range map[string]struct {
		a         Path
		want, tol float64
	}{
		"triangle 3 4 5":   {Polygon(Pt{}, Pt{X: 4}, Pt{Y: 3}), 6, 1e-12},
		"circle":           {Circle(Pt{X: 7, Y: 9}, 10), math.Pi * 100, 0.1},
		"ellipse":          {Ellipse(Pt{}, 3, 8), math.Pi * 24, 0.03},
		"ring with a hole": {ring, math.Pi * (100 - 36), 0.1},
		"two apart":        {apart, math.Pi * (100 + 36), 0.13},
		"rounded square":   {RoundRect(Rect{Max: Pt{X: 10, Y: 10}}, 2), 100 - 4*(4-math.Pi), 0.01},
		"left open":        {Polyline(Pt{}, Pt{X: 4}, Pt{Y: 3}), 6, 1e-12},
		"empty":            {Path{}, 0, 0},
	} {
		if got := c.a.Area(); math.Abs(got-c.want) > c.tol {
			t.Errorf("%s: %.4f, want %.4f", name, got, c.want)
		}
	}
}

func TestContainsAgainstFlattened(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a := blob(t, "blob")
		ring := a.Flatten(1e-4)[0]
		p := Pt{X: rapid.Float64Range(-100, 100).Draw(t, "px"), Y: rapid.Float64Range(-100, 100).Draw(t, "py")}
		if DistToPolyline(p, append(ring, ring[0])) < 1e-3 {
			return // too near the edge for the flattened ring to tell
		}
		if got, want := a.Contains(p), PointInPolygon(p, ring); got != want {
			t.Fatalf("Contains(%v) = %v, the flattened ring says %v", p, got, want)
		}
		xs := a.CrossingsAt(p.Y)
		left := 0
		for _, x := range xs {
			if x <= p.X {
				left++
			}
		}
		if (left%2 == 1) != a.Contains(p) || len(xs)%2 != 0 {
			t.Fatalf("crossings %v do not agree with Contains(%v)", xs, p)
		}
	})
}

func TestFlattenStaysWithinTolerance(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a := blob(t, "blob")
		tol := rapid.SampledFrom([]float64{1, 0.1, 0.01}).Draw(t, "tolerance")
		ring := a.Flatten(tol)[0]
		line := append(ring, ring[0])
		for _, c := range a.Rings(true)[0] {
			for i := range 101 {
				if d := DistToPolyline(c.At(float64(i)/100), line); d > tol {
					t.Fatalf("flattened to %g but strays by %g", tol, d)
				}
			}
		}
	})
}

func TestBounds(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a := blob(t, "blob")
		got, want := a.Bounds(), RectAround(a.Flatten(1e-6)[0]...)
		if Dist(got.Min, want.Min) > 1e-4 || Dist(got.Max, want.Max) > 1e-4 {
			t.Fatalf("bounds %v, flattened %v", got, want)
		}
	})
}

func TestSplitKeepsTheCurve(t *testing.T) {
	c := Curve{P: [4]Pt{{}, {X: 10, Y: 40}, {X: 30, Y: -20}, {X: 50, Y: 5}}}
	left, right := c.Split(0.3)
	for i := range 11 {
		u := float64(i) / 10
		if d := Dist(left.At(u), c.At(0.3*u)); d > 1e-12 {
			t.Errorf("left half strays by %g", d)
		}
		if d := Dist(right.At(u), c.At(0.3+0.7*u)); d > 1e-12 {
			t.Errorf("right half strays by %g", d)
		}
		if d := Dist(c.Reversed().At(u), c.At(1-u)); d > 1e-12 {
			t.Errorf("reversed strays by %g", d)
		}
	}
}

func TestRingsOpenAndClosed(t *testing.T) {
	var a Path
	a.MoveTo(Pt{})
	a.LineTo(Pt{X: 1})
	a.LineTo(Pt{X: 1, Y: 1})
	a.MoveTo(Pt{X: 5})
	a.LineTo(Pt{X: 6})
	a.LineTo(Pt{X: 6, Y: 1})
	a.Close()
	if got := len(a.Rings(false)[0]); got != 2 {
		t.Errorf("open ring has %d pieces, want 2", got)
	}
	if got := len(a.Rings(true)[0]); got != 3 {
		t.Errorf("closed ring has %d pieces, want 3", got)
	}
	if got := a.FlattenOpen(1)[1]; len(got) != 4 || got[0] != got[3] {
		t.Errorf("closed ring flattened open is %v, want its start repeated", got)
	}
	if got := a.Flatten(1)[1]; len(got) != 3 {
		t.Errorf("closed ring flattened is %v, want three points", got)
	}
}
