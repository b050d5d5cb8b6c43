package outline

import (
	"math"

	"wornwood/annotate/shape"
)

// headKind is a kind of head: its form and what is drawn on its two faces.
type headKind interface {
	// shape gives the head's edge from the nut's bass end round to its treble
	// end, and its tuners.
	shape(pl *plan) headstock
	face(pl *plan, s *sheet)     // the front with what stands on it
	back(pl *plan, s *sheet)     // the back's surface
	machines(pl *plan, s *sheet) // what stands on the back
}

// headstock is the head of one instrument and its tuners.
type headstock struct {
	edge   []shape.Curve // from the nut's bass end round to its treble end
	path   shape.Path    // the same, closed along the nut
	tuners []tuner       // by string, the first is the treble-most
}

// tuner is one machine or peg: the place the string winds on, and the button
// that stands off the head's edge; its case on the back.
type tuner struct {
	post   shape.Pt
	side   float64 // -1 on the bass side, 1 on the treble side
	button shape.Path
	box    shape.Rect // of the case
}

// The parts that put a class's head on a sheet.
type (
	headFront    struct{}
	headBack     struct{}
	headMachines struct{}
)

func (headFront) draw(pl *plan, s *sheet)    { pl.head.face(pl, s) }
func (headBack) draw(pl *plan, s *sheet)     { pl.head.back(pl, s) }
func (headMachines) draw(pl *plan, s *sheet) { pl.head.machines(pl, s) }

// newHeadstock takes the nodes of a head's edge in the class's millimetres.
func (pl *plan) newHeadstock(nodes []node) headstock {
	var h headstock
	h.edge = mapCurves(throughNodes(nodes, false), shape.Scale(pl.size, pl.size).Apply)
	// The ends must be the nut's own corners to the last bit, so that the
	// silhouette closes without a sliver.
	h.edge[0].P[0] = pl.nut[0].head
	h.edge[len(h.edge)-1].P[3] = pl.nut[1].head
	h.path = shape.FromCurves(h.edge, true)
	return h
}

// edgeReach is how far the head's edge stands off the centre line, at the
// least and at the most of the heights asked for.
type edgeReach struct{ near, far float64 }

func headEdgeAt(head shape.Path, side float64, ys ...float64) edgeReach {
	e := edgeReach{near: math.Inf(1), far: math.Inf(-1)}
	for _, y := range ys {
		xs := head.CrossingsAt(y)
		x := -xs[0]
		if side > 0 {
			x = xs[len(xs)-1]
		}
		e.near, e.far = math.Min(e.near, x), math.Max(e.far, x)
	}
	return e
}

// headBounds are the bounds of head and tuners in the plan's coordinates.
func (pl *plan) headBounds() shape.Rect {
	r := pl.headed.path.Bounds()
	for _, t := range pl.headed.tuners {
		if t.post.Y > 0 {
			continue // a peg on the neck
		}
		r = r.Union(t.button.Bounds())
	}
	return r
}
