package outline

import (
	"math"

	"wornwood/annotate/shape"
)

// node is a point of a smooth curve: a place in mm, the direction of travel
// through it in degrees (0 to the right, 90 down, clockwise as seen) and the
// lengths in mm of the controls before and after it. Both controls lie on one
// line, so a curve through nodes has no corner by construction, except where
// Turn says by how many degrees it turns clockwise on leaving.
type node struct{ X, Y, Angle, In, Out, Turn float64 }

// whole is the closed run of nodes of a shape of which the left half is given,
// clockwise from its lowest point on the centre line to its highest.
func whole(half []node) []node {
	n := len(half)
	out := append([]node(nil), half...)
	out[0].In, out[n-1].Out = half[0].Out, half[n-1].In
	for i := n - 2; i > 0; i-- {
		h := half[i]
		out = append(out, node{X: -h.X, Y: h.Y, Angle: -h.Angle - h.Turn, In: h.Out, Out: h.In, Turn: h.Turn})
	}
	return out
}

func (n node) at() shape.Pt { return shape.Pt{X: n.X, Y: n.Y} }

// handle is the point d mm ahead of the node, behind it for a negative d.
func (n node) handle(d float64) shape.Pt {
	s, c := math.Sincos(n.Angle * math.Pi / 180)
	return shape.Pt{X: n.X + d*c, Y: n.Y + d*s}
}

// between is the cubic from n to m.
func between(n, m node) shape.Curve {
	leave := n
	leave.Angle += n.Turn
	return shape.Curve{P: [4]shape.Pt{n.at(), leave.handle(n.Out), m.handle(-m.In), m.at()}}
}

// throughNodes are the cubics through the nodes; closed adds the one back to
// the first.
func throughNodes(nodes []node, closed bool) []shape.Curve {
	var curves []shape.Curve
	for i := 1; i < len(nodes); i++ {
		curves = append(curves, between(nodes[i-1], nodes[i]))
	}
	if closed && len(nodes) > 1 {
		curves = append(curves, between(nodes[len(nodes)-1], nodes[0]))
	}
	return curves
}

// mapCurves moves every curve by its controls.
func mapCurves(curves []shape.Curve, move func(shape.Pt) shape.Pt) []shape.Curve {
	out := make([]shape.Curve, len(curves))
	for i, c := range curves {
		for j, p := range c.P {
			c.P[j] = move(p)
		}
		out[i] = c
	}
	return out
}

// cutAt is a place on a run of curves: the curve's index and its parameter.
type cutAt struct {
	curve int
	t     float64
}

// cuts finds every place where f changes sign along the curves. Each curve is
// looked at in 64 steps, far finer than an outline turns, and the change is
// then closed in to the last bit.
func cuts(curves []shape.Curve, f func(shape.Pt) float64) []cutAt {
	const steps = 64
	var found []cutAt
	for i, c := range curves {
		last := f(c.P[0])
		for k := 1; k <= steps; k++ {
			hi := float64(k) / steps
			next := f(c.At(hi))
			if (last > 0) != (next > 0) {
				found = append(found, cutAt{i, closeIn(c, f, hi-1.0/steps, hi, next > 0)})
			}
			last = next
		}
	}
	return found
}

func closeIn(c shape.Curve, f func(shape.Pt) float64, lo, hi float64, rising bool) float64 {
	for range 60 {
		mid := (lo + hi) / 2
		if (f(c.At(mid)) > 0) == rising {
			hi = mid
		} else {
			lo = mid
		}
	}
	return (lo + hi) / 2
}

// piece is the run of the closed ring of curves from one cut forward to the
// other.
func piece(ring []shape.Curve, from, to cutAt) []shape.Curve {
	first, last := from.curve, to.curve
	if first == last && from.t < to.t {
		_, rest := ring[first].Split(from.t)
		part, _ := rest.Split((to.t - from.t) / (1 - from.t))
		return []shape.Curve{part}
	}
	_, head := ring[first].Split(from.t)
	run := []shape.Curve{head}
	for i := (first + 1) % len(ring); i != last; i = (i + 1) % len(ring) {
		run = append(run, ring[i])
	}
	tail, _ := ring[last].Split(to.t)
	return append(run, tail)
}

// turn is the angle in radians between two directions, 0 to pi.
func turn(a, b shape.Pt) float64 {
	return math.Abs(math.Atan2(a.X*b.Y-a.Y*b.X, a.X*b.X+a.Y*b.Y))
}
