package trace

import (
	"math"

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
	rings := shape.NodePath(nodes).Flatten(math.Max(box.Dx(), box.Dy()) / 5000)
	if len(rings) != 1 {
		return false, nodes[0].At
	}
	if len(rings[0]) < 3 {
		return false, shape.Pt{}
	}
	at, meets := shape.MeetsItself(rings[0])
	return !meets, at
}
