package outline

import (
	"math"

	"wornwood/annotate/shape"
)

// bend is a corner of a straight-edged contour and how far before and behind
// it the rounding begins, in mm.
type bend struct{ X, Y, Round float64 }

// polygonNodes are the nodes of a closed contour of straight edges that are
// rounded at their corners, clockwise as seen: two to a corner. Along an edge
// the controls stay near their own nodes, so an edge that another scale length
// stretches unevenly still leaves its corners smoothly.
func polygonNodes(bends ...bend) []node {
	var out []node
	n := len(bends)
	for i, b := range bends {
		at := shape.Pt{X: b.X, Y: b.Y}
		before, after := bends[(i+n-1)%n], bends[(i+1)%n]
		in := shape.Sub(at, shape.Pt{X: before.X, Y: before.Y})
		off := shape.Sub(shape.Pt{X: after.X, Y: after.Y}, at)
		in, off = shape.Mul(in, 1/math.Hypot(in.X, in.Y)), shape.Mul(off, 1/math.Hypot(off.X, off.Y))
		a, z := shape.Sub(at, shape.Mul(in, b.Round)), shape.Add(at, shape.Mul(off, b.Round))
		// Near a circle's arc for corners of any angle.
		hold := b.Round * 4 / 3 * math.Tan(turn(in, off)/4) / math.Tan(turn(in, off)/2)
		out = append(out,
			node{X: a.X, Y: a.Y, Angle: degrees(in), In: b.Round * 0.4, Out: hold},
			node{X: z.X, Y: z.Y, Angle: degrees(off), In: hold, Out: b.Round * 0.4})
	}
	return out
}

// degrees is a direction as nodes give it.
func degrees(d shape.Pt) float64 { return math.Atan2(d.Y, d.X) * 180 / math.Pi }

// bevelledTip has straight sides that widen slowly from the shoulders and a
// straight tip cut slanting, with small corners.
func bevelledTip(h headSize) []node {
	straight := h.last - h.shoulder
	w, top := h.wide, h.last+h.tip
	return []node{
		{X: -h.nut, Y: -h.nutLength, Angle: 252, Out: 10},
		{X: -w, Y: -h.shoulder, Angle: 268, In: 12, Out: straight * 0.4},
		{X: -w - 4, Y: -h.last - 2, Angle: 268, In: straight * 0.4, Out: h.tip * 0.3},
		{X: -w + 10, Y: -top + 2, Angle: 10, In: 12, Out: w * 0.3},
		{X: w * 0.5, Y: -top + 8, Angle: 13, In: w * 0.4, Out: w * 0.2},
		{X: w + 3, Y: -h.last - 10, Angle: 92, In: 9, Out: straight * 0.4},
		{X: w, Y: -h.shoulder, Angle: 92, In: straight * 0.4, Out: 12},
		{X: h.nut, Y: -h.nutLength, Angle: 108, In: 10},
	}
}
