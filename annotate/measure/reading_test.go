package measure

import (
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"wornwood/annotate/shape"
	"wornwood/capture/record"
)

// square is a scale without tilt or distortion in it: k px to the millimetre,
// the card's first corner at (1000, 800) of 24 megapixels.
func square(t testing.TB, k float64) *Plane {
	t.Helper()
	var s record.Scale
	s.Kind = record.CardScale
	for _, p := range CardPoints() {
		s.Points = append(s.Points, record.ScalePoint{At: shape.Pt{X: 1000 + k*p.X, Y: 800 + k*p.Y}, MM: p, Noise: 0.05})
	}
	p, err := Fit(s, Camera{Width: 6000, Height: 4000}, nil)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

func near(t *testing.T, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s: %.6g, want %.6g within %.2g", what, got, want, tol)
	}
}

// By hand: figures of known size beside a card at 20 pixels to the millimetre.
func TestReadingsByHand(t *testing.T) {
	p := square(t, 20)
	at := func(x, y float64) shape.Pt { return shape.Pt{X: 1000 + 20*x, Y: 800 + 20*y} }
	q := p.Length([]shape.Pt{at(10, 10), at(13, 14), at(13, 34)}, nil)
	near(t, "length of 5 and 20 mm", q.Value, 25, 0.05)
	// Two ends of 1 pixel each, along the line: 1/20 mm times the root of two; the corner
	// between adds the part of its error that the bend does not take up: by the two unit
	// vectors (0.6, 0.8) and (0, -1), |(0.6, -0.2)| = 0.632.
	near(t, "its uncertainty", q.Uncertainty, 0.05*math.Sqrt(2+0.4), 0.015)
	if q.How != "by the card" {
		t.Errorf("how: %q", q.How)
	}
	near(t, "width", p.Width(at(0, 60), at(30, 60), nil).Value, 30, 0.06)
	ring := []shape.Pt{at(20, 20), at(50, 20), at(50, 40), at(20, 40)}
	q = p.Area(ring, nil)
	near(t, "area of 30 x 20 mm", q.Value, 600, 2)
	// Each corner moves the area by half the diagonal across it: four times |(30, 20)|/2/20.
	near(t, "its uncertainty", q.Uncertainty, math.Hypot(30, 20)/20, 0.45)
	slices.Reverse(ring)
	near(t, "area the other way round", p.Area(ring, nil).Value, 600, 2)
	near(t, "a right angle", p.Angle(at(10, 0), at(0, 0), at(0, 10), nil).Value, 90, 0.3)
	near(t, "half of it", p.Angle(at(10, 0), at(0, 0), at(10, 10), nil).Value, 45, 0.3)
	near(t, "a straight one", p.Angle(at(0, 0), at(10, 0), at(20, 0), nil).Value, 180, 1)
	near(t, "pixels to the millimetre", p.PxPerMM(), 20, 0.02)
}

// A thing nearer to the camera looks larger: h mm over the plane by the
// factor Z/(Z-h), with Z = f/k. With the focal length stated the reading is corrected by
// it; with a height that is not known it stays, and its interval is wider.
func TestHeightMovesTheReading(t *testing.T) {
	var s record.Scale
	s.Kind = record.CardScale
	for _, p := range CardPoints() {
		s.Points = append(s.Points, record.ScalePoint{At: shape.Pt{X: 2000 + 10*p.X, Y: 1500 + 10*p.Y}, MM: p, Noise: 0.05})
	}
	p, err := Fit(s, Camera{Width: 6000, Height: 4000, FocalPx: 6000}, nil)
	if err != nil {
		t.Fatal(err)
	}
	a, b := shape.Pt{X: 2100, Y: 1600}, shape.Pt{X: 2400, Y: 1600}
	read := func(h Height) record.Quantity { return p.Width(a, b, func(shape.Pt) Height { return h }) }
	flat, up, down, open := read(Height{}), read(Height{15, 0}), read(Height{-15, 1}), read(Height{0, 8})
	near(t, "15 mm nearer", up.Value/flat.Value, 1-15.0/600, 0.002)
	near(t, "15 mm behind", down.Value/flat.Value, 1+15.0/600, 0.002)
	near(t, "unknown", open.Value/flat.Value, 1, 0.002)
	if open.Uncertainty < flat.Uncertainty*1.5 || down.Uncertainty <= flat.Uncertainty {
		t.Errorf("uncertainties: %.3f in the plane, %.3f behind it ± 1, %.3f unknown ± 8", flat.Uncertainty, down.Uncertainty, open.Uncertainty)
	}
	for _, c := range []struct {
		q    record.Quantity
		want string
	}{{flat, "by the card"}, {up, "by the card, 15 mm above it"}, {down, "by the card, 15 ± 1 mm below it"}, {open, "by the card, 0 ± 8 mm above it"}} {
		if c.q.How != c.want {
			t.Errorf("how: %q, want %q", c.q.How, c.want)
		}
	}
}

func TestWhatCannotBeMeasured(t *testing.T) {
	p := square(t, 20)
	a, b, c := shape.Pt{X: 1000, Y: 1000}, shape.Pt{X: 1500, Y: 1000}, shape.Pt{X: 1500, Y: 1400}
	nan := math.NaN()
	for _, q := range []struct {
		got  record.Quantity
		want string
	}{
		{p.Length([]shape.Pt{a}, nil), "two points"},
		{p.Length(nil, nil), "two points"},
		{p.Area([]shape.Pt{a, b}, nil), "three points"},
		{p.Area([]shape.Pt{a, c, b, {X: 1000, Y: 1400}}, nil), "crosses itself"},
		{p.Angle(a, a, b, nil), "the same"},
		{p.Width(a, shape.Pt{X: nan}, nil), "ordinary place"},
		{p.Width(a, shape.Pt{X: 1e9}, nil), "ordinary place"},
		{p.Width(a, b, func(shape.Pt) Height { return Height{nan, 0} }), "height"},
		{p.Width(a, b, func(shape.Pt) Height { return Height{0, -1} }), "height"},
		{p.Width(a, b, func(shape.Pt) Height { return Height{1e5, 0} }), "beyond the plane"},
		{p.Length(make([]shape.Pt, MaxReadingPoints+1), nil), "at most"},
	} {
		if q.got.Value != 0 || q.got.Uncertainty != 0 || !strings.HasPrefix(q.got.How, "not measured: ") || !strings.Contains(q.got.How, q.want) {
			t.Errorf("%+v, want words with %q", q.got, q.want)
		}
	}
	if q := p.Width(a, a, nil); !finite(q.Value) || !finite(q.Uncertainty) {
		t.Errorf("a point's width: %+v", q)
	}
}

// ringAround is a ring with n corners about c, its radius between the limits: it
// never crosses itself.
func ringAround(r *rand.Rand, c shape.Pt, n int, lo, hi float64) []shape.Pt {
	out := make([]shape.Pt, n)
	for i := range out {
		s, co := math.Sincos(2 * math.Pi * (float64(i) + 0.6*r.Float64()) / float64(n))
		k := lo + (hi-lo)*r.Float64()
		out[i] = shape.Pt{X: c.X + k*co, Y: c.Y + k*s}
	}
	return out
}

// Source: Shapely's area of the polygon of the millimetres, and its verdict on whether
// a ring crosses itself, on 300 rings.
func TestAreaAgainstShapely(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 7))
	p := square(t, 12)
	var q question
	var rings [][]shape.Pt
	for i := range 300 {
		ring := ringAround(r, shape.Pt{X: 1500, Y: 1200}, 3+r.IntN(30), 60, 400)
		if i%3 == 0 { // any order of the corners: most cross themselves
			r.Shuffle(len(ring), func(a, b int) { ring[a], ring[b] = ring[b], ring[a] })
		}
		mm := make([]shape.Pt, len(ring))
		for k, px := range ring {
			mm[k] = p.ToMM(px, Height{})
		}
		rings, q.Rings = append(rings, ring), append(q.Rings, pairs(mm))
	}
	a := askPeers(t, q)
	crossing := 0
	for i, ring := range rings {
		got := p.Area(ring, nil)
		if !a.Valid[i] {
			crossing++
			if !strings.Contains(got.How, "crosses itself") {
				t.Errorf("ring %d crosses itself, and has the area %v", i, got)
			}
			continue
		}
		if d := math.Abs(got.Value-a.Areas[i]) / a.Areas[i]; d > 0.01 || got.Value == 0 {
			t.Errorf("ring %d: %v, Shapely %.2f", i, got, a.Areas[i])
		}
		mm := make([]shape.Pt, len(ring))
		for k, px := range ring {
			mm[k] = p.ToMM(px, Height{})
		}
		if d := math.Abs(shape.PolygonArea(mm) - a.Areas[i]); d > 1e-9*a.Areas[i] {
			t.Errorf("ring %d: the polygon's area is %g off Shapely's", i, d)
		}
	}
	if crossing < 30 {
		t.Errorf("only %d of the rings cross themselves", crossing)
	}
}

// Lines, areas and angles of many points: the truth lies in the interval as for a width.
func TestTruthOfOtherReadings(t *testing.T) {
	r := rand.New(rand.NewPCG(11, 11))
	card := CardPoints()
	g := ruling{name: "card", kind: record.CardScale, mm: card[:], height: flat}
	names := [3]string{"length of a line of 6 points", "area of 10 corners", "angle"}
	var out [3]tally
	for len(out[0].rel) < 600 {
		s := every.takePhoto(r, shape.Pt{X: 60, Y: 60}, 10)
		pts, ok := s.points(g)
		mm := ringAround(r, shape.Pt{X: 40, Y: 80}, 10, 8, 20)
		clicks := make([]shape.Pt, len(mm))
		for i, p := range mm {
			px := s.see(p, 0)
			ok = ok && s.shows(px)
			clicks[i] = s.click(px)
		}
		if !ok {
			continue
		}
		p, err := Fit(record.Scale{Kind: g.kind, Points: pts}, s.camera(every), nil)
		if err != nil {
			t.Fatal(err)
		}
		out[0].add(p.Length(clicks[:6], nil), shape.PolylineLength(mm[:6]))
		out[1].add(p.Area(clicks, nil), shape.PolygonArea(mm))
		u, v := shape.Sub(mm[0], mm[3]), shape.Sub(mm[6], mm[3])
		angle := math.Acos((u.X*v.X+u.Y*v.Y)/math.Hypot(u.X, u.Y)/math.Hypot(v.X, v.Y)) * 180 / math.Pi
		out[2].add(p.Angle(clicks[0], clicks[3], clicks[6], nil), angle)
	}
	for i := range out {
		t.Logf("%-30s half %.2f %%, 95 %% %.2f %%, inside %.1f %%", names[i], out[i].at(0.5), out[i].at(0.95), out[i].cover())
		if c := out[i].cover(); c < 92.5 || c > 97.5 {
			t.Errorf("%s: truth inside the interval in %.1f %%", names[i], c)
		}
	}
}
