package trace

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"wornwood/annotate/outline"
	"wornwood/annotate/shape"
)

// roundedBox is a box whose corners on the left are round and on the right sharp, a
// point every millimetre.
func roundedBox(w, h, r float64) []shape.Pt {
	var out []shape.Pt
	arc := func(cx, cy, from float64) {
		for a := from; a <= from+90; a += 2 {
			s, c := math.Sincos(a * math.Pi / 180)
			out = append(out, shape.Pt{X: cx + r*c, Y: cy + r*s})
		}
	}
	arc(r, h-r, 90)
	arc(r, r, 180)
	out = append(out, shape.Pt{X: w}, shape.Pt{X: w, Y: h})
	return evenly(out, 1)
}

// Sharp corners stay corners and round ones do not become any, turned and with noise.
func TestFitCurveTellsSharpCornersFromRound(t *testing.T) {
	rnd := rand.New(rand.NewPCG(8, 8))
	for _, noise := range []float64{0, 0.1} {
		for turn := range 12 {
			m := shape.Rotate(float64(turn) * 0.55)
			ring := m.ApplyAll(roundedBox(300, 200, 60))
			for i := range ring {
				ring[i] = shape.Add(ring[i], shape.Pt{X: noise * rnd.NormFloat64(), Y: noise * rnd.NormFloat64()})
			}
			nodes := FitCurve(ring, 1)
			how := fmt.Sprintf("noise %.1f, turn %d", noise, turn)
			if len(nodes) < 5 || len(nodes) > 14 {
				t.Errorf("%s: %d nodes", how, len(nodes))
			}
			sharp := 0
			for _, n := range nodes {
				if Smooth(n) {
					continue
				}
				sharp++
				near := min(shape.Dist(n.At, m.Apply(shape.Pt{X: 300})), shape.Dist(n.At, m.Apply(shape.Pt{X: 300, Y: 200})))
				if near > 1.5 {
					t.Errorf("%s: a corner at %v, %.1f mm from the nearest there is", how, n.At, near)
				}
			}
			if sharp != 2 {
				t.Errorf("%s: %d corners, want 2", how, sharp)
			}
		}
	}
}

// A body of some hundred points at a tolerance of 1 mm has as few nodes as a person can
// drag, and each point lies as near to the curve as was asked, by dense sampling.
func TestFitCurveOfCoarseBodies(t *testing.T) {
	const tolerance = 1.0
	for _, class := range outline.Classes() {
		d, err := outline.New(outline.Params{Class: class})
		if err != nil {
			t.Fatal(err)
		}
		half, joint := d.NeckLine()
		body, err := BodyOf(d.Side(outline.Front).Silhouette.Flatten(0.02)[0], half, joint)
		if err != nil {
			t.Fatal(err)
		}
		around := shape.PolylineLength(append(body, body[0]))
		ring := evenly(body, around/360)
		counts := map[int]bool{}
		for _, k := range []int{0, 7, 180, 301} {
			nodes := FitCurve(append(append([]shape.Pt(nil), ring[k:]...), ring[:k]...), tolerance)
			counts[len(nodes)] = true
			line := shape.NodePath(nodes).Flatten(0.002)[0]
			line = append(line, line[0])
			off := 0.0
			for _, p := range ring {
				off = max(off, shape.DistToPolyline(p, line))
			}
			if off > tolerance {
				t.Errorf("%s from point %d: a point lies %.3f mm off", class, k, off)
			}
			if len(nodes) < 3 || len(nodes) > 40 {
				t.Errorf("%s: %d nodes", class, len(nodes))
			}
		}
		if len(counts) != 1 {
			t.Errorf("%s: the start changes the number of nodes: %v", class, counts)
		}
	}
}
