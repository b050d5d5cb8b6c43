package shape

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

func point(t *rapid.T, label string) Pt {
	return Pt{X: rapid.Float64Range(-1000, 1000).Draw(t, label+" x"), Y: rapid.Float64Range(-1000, 1000).Draw(t, label+" y")}
}

// view draws a map that a view could have: a turn, a zoom, a move, perhaps a
// mirror.
func view(t *rapid.T) Affine {
	k := rapid.Float64Range(0.05, 40).Draw(t, "zoom")
	m := Rotate(rapid.Float64Range(-4, 4).Draw(t, "angle")).Then(Scale(k, k)).Then(Translate(point(t, "move")))
	if rapid.Bool().Draw(t, "mirror") {
		m = Scale(-1, 1).Then(m)
	}
	return m
}

func TestInverseUndoes(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m, p := view(t), point(t, "p")
		if q := m.Inverse().Apply(m.Apply(p)); Dist(p, q) > 1e-7 {
			t.Fatalf("%v came back as %v", p, q)
		}
	})
	if got := Scale(0, 1).Inverse(); got != (Affine{}) {
		t.Errorf("the inverse of a flat map is %v, want the zero Affine", got)
	}
}

func TestThenAndMul(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m, n, p := view(t), view(t), point(t, "p")
		want := n.Apply(m.Apply(p))
		size := 1 + math.Hypot(want.X, want.Y)
		if d := Dist(m.Then(n).Apply(p), want); d > 1e-9*size {
			t.Fatalf("Then strays by %g", d)
		}
		if d := Dist(n.Mul(m).Apply(p), want); d > 1e-9*size {
			t.Fatalf("Mul strays by %g", d)
		}
	})
}

// The order of the six numbers is part of the contract.
func TestAffineOrder(t *testing.T) {
	m := Affine{2, 3, 5, 7, 11, 13}
	if got := m.Apply(Pt{X: 1, Y: 10}); got != (Pt{X: 2 + 30 + 5, Y: 7 + 110 + 13}) {
		t.Errorf("got %v", got)
	}
}

func TestZoomAboutKeepsThePoint(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m, at := view(t), point(t, "cursor")
		f := rapid.Float64Range(0.1, 10).Draw(t, "factor")
		z := m.ZoomAbout(at, f)
		under := m.Inverse().Apply(at)
		if d := Dist(z.Apply(under), at); d > 1e-6 {
			t.Fatalf("what was under the cursor moved by %g", d)
		}
		if got := z.Factor() / m.Factor(); math.Abs(got-f) > 1e-9*f {
			t.Fatalf("zoomed by %g, want %g", got, f)
		}
	})
}

func TestFit(t *testing.T) {
	from := Rect{Min: Pt{X: -50, Y: 0}, Max: Pt{X: 50, Y: 400}}
	into := Rect{Max: Pt{X: 300, Y: 220}}
	m := Fit(from, into, 10)
	if got, want := m.Factor(), 0.5; math.Abs(got-want) > 1e-12 {
		t.Errorf("factor %g, want %g", got, want)
	}
	if got, want := m.Apply(Pt{X: 0, Y: 0}), (Pt{X: 150, Y: 10}); Dist(got, want) > 1e-9 {
		t.Errorf("top middle at %v, want %v", got, want)
	}
	if got := Fit(Rect{}, into, 0); got != Identity() {
		t.Errorf("an empty rectangle gives %v", got)
	}
}

func TestTransformMapsAreaAndContents(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, m := blob(t, "blob"), view(t)
		b := a.Transform(m)
		if want := a.Area() * math.Abs(m.Det()); math.Abs(b.Area()-want) > 1e-6*want {
			t.Fatalf("area %g, want %g", b.Area(), want)
		}
		ring := a.Flatten(1e-4)[0]
		p := Pt{X: rapid.Float64Range(-90, 90).Draw(t, "px"), Y: rapid.Float64Range(-90, 90).Draw(t, "py")}
		if DistToPolyline(p, append(ring, ring[0])) > 1e-3 && a.Contains(p) != b.Contains(m.Apply(p)) {
			t.Fatalf("%v changed sides", p)
		}
	})
}
