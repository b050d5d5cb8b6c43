package trace

import (
	"errors"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"wornwood/annotate/outline"
	"wornwood/annotate/shape"
	"wornwood/capture/record"
)

// tracedCurve is how far the curve kept from a traced body may stray from it, mm.
const tracedCurve = 0.8

// cutAndKept goes the whole way of a traced outline, from the silhouette in mm to a
// drawing with the outline as its own.
func cutAndKept(d *outline.Drawing, class string, ring []shape.Pt) (*outline.Drawing, []record.Node, error) {
	half, joint := d.NeckLine()
	body, err := BodyOf(ring, half, joint)
	if err != nil {
		return nil, nil, err
	}
	nodes := FitCurve(body, tracedCurve)
	e, err := outline.New(outline.Params{Class: class, Own: &record.Own{Nodes: nodes}})
	return e, nodes, err
}

// roughened is the ring as a tracing has it: a point every millimetre, noise of half a millimetre,
// and a running mean with a deviation of a millimetre over it.
func roughened(ring []shape.Pt, seed uint64) []shape.Pt {
	rnd := rand.New(rand.NewPCG(seed, 11))
	pts := evenly(ring, 1)
	for i := range pts {
		pts[i] = shape.Add(pts[i], shape.Pt{X: 0.5 * rnd.NormFloat64(), Y: 0.5 * rnd.NormFloat64()})
	}
	n := len(pts)
	out := make([]shape.Pt, n)
	for i := range pts {
		sum := 0.0
		for k := -4; k <= 4; k++ {
			w := math.Exp(-float64(k*k) / 2)
			out[i] = shape.Add(out[i], shape.Mul(pts[((i+k)%n+n)%n], w))
			sum += w
		}
		out[i] = shape.Mul(out[i], 1/sum)
	}
	return out
}

// Every class's own silhouette, head and neck included, gives its body back.
func TestBodyOfEveryClassIsTakenAsItsOwn(t *testing.T) {
	for _, class := range outline.Classes() {
		d, err := outline.New(outline.Params{Class: class})
		if err != nil {
			t.Fatal(err)
		}
		whole := d.Side(outline.Front).Silhouette.Flatten(0.02)[0]
		for how, ring := range map[string][]shape.Pt{"exact": whole, "traced": roughened(whole, 3)} {
			e, nodes, err := cutAndKept(d, class, ring)
			if err != nil {
				t.Errorf("%s, %s: %v (%d nodes)", class, how, err, len(nodes))
				continue
			}
			got := e.Side(outline.Front).Silhouette.Flatten(0.02)[0]
			body := shape.PolygonArea(shape.NodePath(nodes).Flatten(0.02)[0])
			share := (shape.PolygonArea(got) - shape.PolygonArea(whole)) / body
			off := 0.0
			for _, p := range evenly(whole, 2) {
				off = max(off, shape.DistToPolyline(p, append(got, got[0])))
			}
			t.Logf("%-28s %-6s %3d nodes, area %+.2f %%, off by at most %.2f mm", class, how, len(nodes), 100*share, off)
			if math.Abs(share) > 0.015 {
				t.Errorf("%s, %s: the body's area is off by %.1f %%", class, how, 100*share)
			}
		}
	}
}

// A silhouette that is placed a little wrongly, as clicks and lenses leave it, still
// gives its body. How wrongly is common practice: clicks on nut and saddles to a millimetre
// or two, and a lens that is a metre or two away from a neck a few centimetres higher.
func TestBodyOfMisplacedSilhouettes(t *testing.T) {
	moves := map[string]shape.Affine{
		"aside":           shape.Translate(shape.Pt{X: 2.5}),
		"aside and down":  shape.Translate(shape.Pt{X: -1.5, Y: 3}),
		"turned":          shape.Rotate(0.005),
		"turned back":     shape.Rotate(-0.003),
		"larger":          shape.Scale(1.02, 1.02),
		"smaller":         shape.Scale(0.98, 0.98),
		"wider":           shape.Scale(1.06, 1),
		"wider and aside": shape.Scale(1.03, 1).Then(shape.Translate(shape.Pt{X: 1})),
	}
	for _, class := range outline.Classes() {
		d, err := outline.New(outline.Params{Class: class})
		if err != nil {
			t.Fatal(err)
		}
		half, joint := d.NeckLine()
		whole := d.Side(outline.Front).Silhouette.Flatten(0.02)[0]
		straight, err := BodyOf(whole, half, joint)
		if err != nil {
			t.Fatal(err)
		}
		for how, m := range moves {
			_, nodes, err := cutAndKept(d, class, roughened(m.ApplyAll(whole), 4))
			if err != nil {
				t.Errorf("%s, %s: %v (%d nodes)", class, how, err, len(nodes))
				continue
			}
			got, want := shape.PolygonArea(shape.NodePath(nodes).Flatten(0.05)[0]), shape.PolygonArea(straight)*m.Det()
			if math.Abs(got/want-1) > 0.015 {
				t.Errorf("%s, %s: the body's area is off by %+.1f %%", class, how, 100*(got/want-1))
			}
		}
	}
}

// A neck that is wider than the drawing's, by a margin that wood beyond the board may have,
// is cut off at the same height, give or take what the wider neck hides of the body's edge.
func TestBodyOfWiderNecks(t *testing.T) {
	for _, class := range outline.Classes() {
		d, err := outline.New(outline.Params{Class: class})
		if err != nil {
			t.Fatal(err)
		}
		half, joint := d.NeckLine()
		whole := d.Side(outline.Front).Silhouette.Flatten(0.02)[0]
		straight, err := BodyOf(whole, half, joint)
		if err != nil {
			t.Fatal(err)
		}
		for _, wider := range []float64{2, 4, 6} {
			var ring []shape.Pt
			for _, p := range whole {
				ring = append(ring, shape.Pt{X: p.X + math.Copysign(wider, p.X), Y: p.Y})
			}
			ring = roughened(ring, 5)
			if _, nodes, err := cutAndKept(d, class, ring); err != nil {
				t.Errorf("%s, %g mm wider: %v (%d nodes)", class, wider, err, len(nodes))
				continue
			}
			body, err := BodyOf(ring, half, joint)
			if err != nil {
				t.Fatal(err)
			}
			for _, ends := range [][2]shape.Pt{{body[0], straight[0]}, {body[len(body)-1], straight[len(straight)-1]}} {
				if off := ends[0].Y - ends[1].Y; math.Abs(off) > 12 {
					t.Errorf("%s, %g mm wider: cut %+.0f mm off", class, wider, off)
				}
			}
		}
	}
}

// The body runs clockwise, does not cross itself, whichever way round and wherever the
// silhouette starts, and no part of it lies on the neck above the cut.
func TestBodyOfIsARingOfTheBodyAlone(t *testing.T) {
	for _, class := range outline.Classes() {
		d, err := outline.New(outline.Params{Class: class})
		if err != nil {
			t.Fatal(err)
		}
		half, joint := d.NeckLine()
		whole := d.Side(outline.Front).Silhouette.Flatten(0.05)[0]
		first, err := BodyOf(whole, half, joint)
		if err != nil {
			t.Fatal(err)
		}
		if turnsLeft(first) {
			t.Errorf("%s: the body runs against the clock", class)
		}
		if p, meets := shape.MeetsItself(first); meets {
			t.Errorf("%s: the body crosses itself at %v", class, p)
		}
		top := min(first[0].Y, first[len(first)-1].Y) - 1
		for _, p := range first {
			if p.Y < top && math.Abs(p.X) < half(p.Y) {
				t.Errorf("%s: %v lies on the neck", class, p)
			}
		}
		k := len(whole) / 3
		turned := append(append([]shape.Pt(nil), whole[k:]...), whole[:k]...)
		slices.Reverse(turned)
		again, err := BodyOf(turned, half, joint)
		if err != nil || !slices.Equal(again, first) {
			t.Errorf("%s: another start and way round give another body (%v)", class, err)
		}
	}
}

// What is no instrument on its place is refused with the sentence.
func TestBodyOfRefusals(t *testing.T) {
	d, err := outline.New(outline.Params{})
	if err != nil {
		t.Fatal(err)
	}
	half, joint := d.NeckLine()
	whole := d.Side(outline.Front).Silhouette.Flatten(0.05)[0]
	nan := math.NaN()
	for what, ring := range map[string][]shape.Pt{
		"nothing":     nil,
		"two points":  {{X: 1, Y: 400}, {X: 9, Y: 500}},
		"not numbers": {{X: nan, Y: 400}, {X: 9, Y: nan}, {X: nan, Y: nan}},
		"far aside":   shape.Translate(shape.Pt{X: 400}).ApplyAll(whole),
		"head down":   shape.Rotate(math.Pi).ApplyAll(whole),
	} {
		if body, err := BodyOf(ring, half, joint); !errors.Is(err, ErrNoNeck) {
			t.Errorf("%s: %d points, %v", what, len(body), err)
		}
	}
}
