package outline

import "wornwood/annotate/shape"

// tracery is a carved line on the body that follows no edge: the ridge of a
// scroll, the hollow around an arch.
type tracery struct {
	nodes  []node
	weight float64
	closed bool
	dashed bool
}

func (c tracery) draw(pl *plan, s *sheet) {
	path := shape.FromCurves(pl.onBodyAll(throughNodes(c.nodes, c.closed)), c.closed)
	if c.dashed {
		s.dashed(c.weight, path)
		return
	}
	s.stroke(c.weight, path)
}
