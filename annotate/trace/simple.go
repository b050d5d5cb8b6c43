package trace

import (
	"cmp"
	"math"
	"slices"

	"wornwood/annotate/shape"
	"wornwood/capture/record"
)

// IsSimple says whether the closed curve through the nodes does not cross
// itself, and where it does if not. It is checked on chords that stay within a five-thousandth of
// its size from the curve. Fewer than three nodes are no closed curve; one that is
// not finite is not simple.
func IsSimple(nodes []record.Node) (bool, shape.Pt) {
	if len(nodes) < 3 {
		return false, shape.Pt{}
	}
	var all []shape.Pt
	for _, n := range nodes {
		for _, p := range []shape.Pt{n.At, n.In, n.Out} {
			if !p.Finite() || math.Abs(p.X) > 1e9 || math.Abs(p.Y) > 1e9 {
				return false, shape.Pt{}
			}
			all = append(all, p)
		}
	}
	box := shape.RectAround(all...)
	rings := ToPath(nodes).Flatten(math.Max(box.Dx(), box.Dy()) / 5000)
	if len(rings) != 1 {
		return false, nodes[0].At
	}
	return simpleRing(rings[0])
}

// simpleRing sweeps over the chords from left to right.
func simpleRing(ring []shape.Pt) (bool, shape.Pt) {
	n := len(ring)
	if n < 3 {
		return false, shape.Pt{}
	}
	order := make([]int, n)
	for i := range order {
		order[i] = i
	}
	from := func(i int) float64 { return math.Min(ring[i].X, ring[(i+1)%n].X) }
	to := func(i int) float64 { return math.Max(ring[i].X, ring[(i+1)%n].X) }
	slices.SortFunc(order, func(a, b int) int { return cmp.Or(cmp.Compare(from(a), from(b)), cmp.Compare(a, b)) })
	var open []int
	for _, i := range order {
		kept := open[:0]
		for _, j := range open {
			if to(j) < from(i) {
				continue
			}
			kept = append(kept, j)
			if (i+1)%n == j || (j+1)%n == i {
				continue
			}
			if p, ok := crossing(ring[i], ring[(i+1)%n], ring[j], ring[(j+1)%n]); ok {
				return false, p
			}
		}
		open = append(kept, i)
	}
	return true, shape.Pt{}
}

// crossing is where the chords from a to b and from c to d meet, ends included.
func crossing(a, b, c, d shape.Pt) (shape.Pt, bool) {
	r, s, q := shape.Sub(b, a), shape.Sub(d, c), shape.Sub(c, a)
	det := cross(r, s)
	if det == 0 {
		return shape.Pt{}, false
	}
	t, u := cross(q, s)/det, cross(q, r)/det
	if t < 0 || t > 1 || u < 0 || u > 1 {
		return shape.Pt{}, false
	}
	return shape.Lerp(a, b, t), true
}
