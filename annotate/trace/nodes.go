package trace

import (
	"math"

	"wornwood/annotate/shape"
	"wornwood/capture/record"
)

// cubicsOf are the cubics from each node to the next.
func cubicsOf(nodes []record.Node) []cubic {
	out := make([]cubic, len(nodes))
	for i, c := range shape.NodeCurves(nodes) {
		out[i] = c.P
	}
	return out
}

// MoveNode is the curve with a node dragged to a place, its handles going with
// it. A node that there is not leaves the curve as it is; so do the other functions here.
func MoveNode(nodes []record.Node, i int, to shape.Pt) []record.Node {
	out := append([]record.Node(nil), nodes...)
	if i < 0 || i >= len(nodes) || !to.Finite() {
		return out
	}
	d := shape.Sub(to, out[i].At)
	out[i] = record.Node{At: to, In: shape.Add(out[i].In, d), Out: shape.Add(out[i].Out, d)}
	return out
}

// MoveHandle is the curve with the end of a handle, the one towards the next node or
// else the one from the last, dragged to a place. With turn, as at a smooth node, the other
// handle turns with it and keeps its length; otherwise, as at a corner, it stays.
func MoveHandle(nodes []record.Node, i int, towardsNext bool, to shape.Pt, turn bool) []record.Node {
	out := append([]record.Node(nil), nodes...)
	if i < 0 || i >= len(nodes) || !to.Finite() {
		return out
	}
	n := &out[i]
	moved, other := &n.Out, &n.In
	if !towardsNext {
		moved, other = other, moved
	}
	*moved = to
	d := shape.Sub(to, n.At)
	if l := math.Hypot(d.X, d.Y); turn && l > 0 {
		*other = shape.Sub(n.At, shape.Mul(d, shape.Dist(*other, n.At)/l))
	}
	return out
}

// Smooth says whether the curve passes a node without a corner: both handles lie on one
// line, to a thousandth of a radian.
func Smooth(n record.Node) bool {
	a, b := shape.Sub(n.At, n.In), shape.Sub(n.Out, n.At)
	return shape.Dot(a, b) > 0 && math.Abs(shape.Cross(a, b)) <= 1e-3*shape.Dot(a, b)
}

// AddNode puts a node on the piece that starts with node i, at the parameter t
// between 0 and 1; the curve keeps its shape (de Casteljau). Nearest finds i and t of a click.
func AddNode(nodes []record.Node, i int, t float64) []record.Node {
	if i < 0 || i >= len(nodes) || !(t > 0 && t < 1) || len(nodes) >= record.MaxNodes {
		return append([]record.Node(nil), nodes...)
	}
	j := (i + 1) % len(nodes)
	a, b := shape.NodeCurves(nodes)[i].Split(t)
	out := append([]record.Node(nil), nodes[:i+1]...)
	out = append(out, record.Node{At: a.P[3], In: a.P[2], Out: b.P[1]})
	out = append(out, nodes[i+1:]...)
	out[i].Out = a.P[1]
	if j == 0 {
		out[0].In = b.P[2]
	} else {
		out[i+2].In = b.P[2]
	}
	return out
}

// RemoveNode takes a node away; the handles beside it are lengthened so that the curve stays as
// near to where it was as it can. Three nodes are the least.
func RemoveNode(nodes []record.Node, i int) []record.Node {
	n := len(nodes)
	if i < 0 || i >= n || n <= 3 {
		return append([]record.Node(nil), nodes...)
	}
	all := cubicsOf(nodes)
	before, after := (i+n-1)%n, (i+1)%n
	c := merged(all[before], all[i])
	left := append([]record.Node(nil), nodes...)
	left[before].Out, left[after].In = c[1], c[2]
	return append(left[:i], left[i+1:]...)
}

// merged is one cubic in place of two, with their outer directions.
func merged(a, b cubic) cubic {
	const steps = 24
	pts := make([]shape.Pt, 0, 2*steps+1)
	for k := range steps {
		pts = append(pts, a.at(float64(k)/steps))
	}
	for k := range steps + 1 {
		pts = append(pts, b.at(float64(k)/steps))
	}
	// Undoing de Casteljau's construction, exact if the two came from it.
	in, out := shape.Dist(a[2], a[3]), shape.Dist(b[0], b[1])
	c := cubic{a[0], a[1], b[2], b[3]}
	if t := in / (in + out); t > 0.01 && t < 0.99 {
		c[1], c[2] = shape.Lerp(a[0], a[1], 1/t), shape.Lerp(b[3], b[2], 1/(1-t))
	}
	best, off := c, c.strays(pts)
	d0, ok0 := unit(shape.Sub(a[1], a[0]), shape.Sub(b[3], a[0]))
	d1, ok1 := unit(shape.Sub(b[2], b[3]), shape.Sub(a[0], b[3]))
	if ok0 && ok1 {
		t := chordLengths(pts)
		for range 12 {
			c = leastSquares(pts, t, d0, d1)
			for k, p := range pts {
				t[k] = nearer(&c, p, t[k])
			}
		}
		if c.strays(pts) < off {
			best = c
		}
	}
	return best
}

// strays is how far the points lie from the curve at most.
func (c *cubic) strays(pts []shape.Pt) float64 {
	most := 0.0
	for _, p := range pts {
		_, d := c.nearest(p)
		most = max(most, d)
	}
	return most
}

// unit is the direction of d, or of the other when d has none.
func unit(d, other shape.Pt) (shape.Pt, bool) {
	for _, v := range []shape.Pt{d, other} {
		if l := math.Hypot(v.X, v.Y); l > 0 && !math.IsInf(l, 0) {
			return shape.Mul(v, 1/l), true
		}
	}
	return shape.Pt{}, false
}

// Nearest is the place on the curve that is nearest to p: the piece's first node, the parameter on
// it, and the distance. It is -1, 0, +Inf for a curve without nodes.
func Nearest(nodes []record.Node, p shape.Pt) (i int, t, distance float64) {
	i, distance = -1, math.Inf(1)
	for k, c := range cubicsOf(nodes) {
		if u, d := c.nearest(p); d < distance {
			i, t, distance = k, u, d
		}
	}
	return i, t, distance
}

// nearest is the parameter of the point nearest to p and its distance: the best of
// even steps, closed in by thirds.
func (c *cubic) nearest(p shape.Pt) (t, distance float64) {
	const steps = 48
	best, distance := 0, math.Inf(1)
	for s := range steps + 1 {
		if d := shape.Dist(p, c.at(float64(s)/steps)); d < distance {
			best, distance = s, d
		}
	}
	lo, hi := math.Max(0, float64(best-1)/steps), math.Min(1, float64(best+1)/steps)
	for range 48 {
		a, b := lo+(hi-lo)/3, hi-(hi-lo)/3
		if shape.Dist(p, c.at(a)) < shape.Dist(p, c.at(b)) {
			hi = b
		} else {
			lo = a
		}
	}
	if d := shape.Dist(p, c.at((lo+hi)/2)); d < distance {
		return (lo + hi) / 2, d
	}
	return float64(best) / steps, distance
}
