package outline

import (
	"math"

	"wornwood/annotate/shape"
)

// headstock is the head of one instrument and its tuners.
type headstock struct {
	edge   []shape.Curve // from the nut's bass end round to its treble end
	path   shape.Path    // the same, closed along the nut
	tuners []tuner       // by string, the first is the treble-most
}

// tuner is one machine: its post and button as seen, its case on the back.
type tuner struct {
	post   shape.Pt
	side   float64 // -1 on the bass side, 1 on the treble side
	button shape.Path
	box    shape.Rect // of the case
}

// newHeadstock draws the head: shoulders out from the nut, sides that draw in
// a little towards the tip, and a tip that leans to the bass side.
func (pl *plan) newHeadstock() headstock {
	bassCount := (pl.p.Strings + 1) / 2
	step := pl.tunerStep.mm
	if bassCount > 4 {
		step = pl.tunerCrowded.mm
	}
	k := pl.size
	nut := pl.nutHalf / k
	wide := max(nut+pl.headReach.mm, pl.headLeast.mm)
	lastTuner := pl.firstTuner.mm + step*float64(bassCount-1)
	nodes := headNodes(nut, wide, pl.nutLength.mm, pl.headShoulder.mm, lastTuner, pl.headTip.mm)
	var h headstock
	h.edge = mapCurves(throughNodes(nodes, false), shape.Scale(k, k).Apply)
	// The ends must be the nut's own corners to the last bit, so that the
	// silhouette closes without a sliver.
	h.edge[0].P[0] = shape.Pt{X: -pl.nutHalf, Y: -pl.nutLength.mm * k}
	h.edge[len(h.edge)-1].P[3] = shape.Pt{X: pl.nutHalf, Y: -pl.nutLength.mm * k}
	h.path = shape.FromCurves(h.edge, true)
	for s := 1; s <= pl.p.Strings; s++ {
		h.tuners = append(h.tuners, pl.newTuner(h.path, s, bassCount, step))
	}
	return h
}

// headNodes are the nodes of the head's edge in the class's own millimetres.
func headNodes(nut, wide, nutLength, shoulder, last, tip float64) []node {
	straight := last - shoulder
	w := wide / 37 // the tip's curves keep their form on a wider head
	return []node{
		{X: -nut, Y: -nutLength, Angle: 262, Out: 13},
		{X: -wide, Y: -shoulder, Angle: 270, In: 12, Out: straight * 0.4},
		{X: -wide + 5, Y: -last - 14, Angle: 272, In: straight * 0.4, Out: 16},
		{X: -18 * w, Y: -last - tip, Angle: 6, In: 9 * w, Out: 15 * w},
		{X: 15 * w, Y: -last - tip + 14, Angle: 2, In: 21 * w, Out: 9 * w},
		{X: wide - 6, Y: -last - 10, Angle: 88, In: 16, Out: straight * 0.4},
		{X: wide, Y: -shoulder, Angle: 90, In: straight * 0.4, Out: 12},
		{X: nut, Y: -nutLength, Angle: 98, In: 13},
	}
}

// newTuner places the machine of string s: treble strings from the nut
// outwards on their side, bass strings from the tip back to the nut on theirs,
// so that no string crosses another.
func (pl *plan) newTuner(head shape.Path, s, bassCount int, step float64) tuner {
	k := pl.size
	trebleCount := pl.p.Strings - bassCount
	side, place := 1.0, s-1
	if s > trebleCount {
		side, place = -1, pl.p.Strings-s
	}
	y := -k * (pl.firstTuner.mm + step*float64(place))
	edge := headEdgeAt(head, side, y-3*k, y, y+3*k)
	post := shape.Pt{X: side * (edge.near - pl.tunerInset.mm*k), Y: y}
	half := min(11, step/2-3)
	t := tuner{post: post, side: side, button: tunerButton(side, edge.far+0.3*k, y, k)}
	x0, x1 := side*(edge.near-2*k), side*(edge.near-19*k)
	t.box = shape.RectAround(shape.Pt{X: x0, Y: y - half*k}, shape.Pt{X: x1, Y: y + half*k})
	return t
}

// edgeReach is how far the head's edge stands off the centre line, at the
// least and at the most of the heights asked for.
type edgeReach struct{ near, far float64 }

func headEdgeAt(head shape.Path, side float64, ys ...float64) edgeReach {
	e := edgeReach{near: math.Inf(1)}
	for _, y := range ys {
		xs := head.CrossingsAt(y)
		x := math.Abs(xs[0])
		if side > 0 {
			x = xs[len(xs)-1]
		}
		e.near, e.far = math.Min(e.near, x), math.Max(e.far, x)
	}
	return e
}

// tunerButton is the shaft and the button beyond the head's edge.
func tunerButton(side, x, y, k float64) shape.Path {
	nodes := []node{
		{X: 5.5, Y: -2, Angle: 270, Out: 3},
		{X: 12, Y: -8.5, Angle: 0, In: 4.5, Out: 4.5},
		{X: 19, Y: 0, Angle: 90, In: 5, Out: 5},
		{X: 12, Y: 8.5, Angle: 180, In: 4.5, Out: 4.5},
		{X: 5.5, Y: 2, Angle: 270, In: 3},
	}
	m := shape.Affine{side * k, 0, side * x, 0, k, y}
	ring := throughNodes(nodes, false)
	foot := [2]shape.Pt{{X: 0, Y: -2}, {X: 0, Y: 2}}
	ring = append([]shape.Curve{shape.LineCurve(foot[0], nodes[0].at())}, ring...)
	ring = append(ring, shape.LineCurve(nodes[4].at(), foot[1]))
	return shape.FromCurves(mapCurves(ring, m.Apply), true)
}
