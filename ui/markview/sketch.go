package markview

import (
	"math"

	"wornwood/annotate/shape"
	"wornwood/capture/record"
)

// sketchStep is how far apart the points of a freehand line are taken, in
// units; sketchThin is how far the thinned line may stray from them.
const (
	sketchStep = 1.5
	sketchThin = 1.0
)

// sketch is a line or an area being drawn freehand; a press that does not
// wander sets a corner instead.
type sketch struct {
	idle
	pts []shape.Pt // sheet unit
}

func (s *sketch) move(c *Controller, at shape.Pt) {
	p := c.onSheet(c.toSheet(at))
	if last := s.pts[len(s.pts)-1]; c.dist(c.view.Apply(last), c.view.Apply(p)) >= sketchStep {
		s.pts = append(s.pts, p)
	}
	c.changed()
}

func (s *sketch) drop(c *Controller, at shape.Pt, dragged bool) {
	if !dragged {
		c.click(at)
		return
	}
	s.move(c, at)
	pts := s.thinned(c)
	if len(pts) < c.tool.least() {
		c.say("That is too small to be an area: drag round the flaw, or click its corners.")
		return
	}
	c.report(pts)
}

func (s *sketch) spot(*Controller) (shape.Pt, bool) { return s.pts[len(s.pts)-1], true }

// thinned is the line with no more points than its form needs.
func (s *sketch) thinned(c *Controller) []shape.Pt {
	for tol := sketchThin * c.scale / c.Zoom(); ; tol *= 1.5 {
		pts := shape.Thin(s.pts, tol)
		if c.tool == AreaTool {
			pts = thinRing(s.pts, tol, 2*reach*c.scale/c.Zoom())
		}
		if len(pts) <= record.MaxPoints {
			return pts
		}
	}
}

// thinRing thins a ring in two halves, between its first point and the one
// farthest from it. An end that came back to the start, nearer than shut, is
// left out.
func thinRing(ring []shape.Pt, tol, shut float64) []shape.Pt {
	for len(ring) > 3 && shape.Dist(ring[0], ring[len(ring)-1]) < shut {
		ring = ring[:len(ring)-1]
	}
	far, at := 0.0, 0
	for i, p := range ring {
		if d := shape.Dist(ring[0], p); d > far {
			far, at = d, i
		}
	}
	if at == 0 {
		return nil
	}
	there := shape.Thin(ring[:at+1], tol)
	back := shape.Thin(append(ring[at:len(ring):len(ring)], ring[0]), tol)
	out := append(there, back[1:len(back)-1]...)
	if len(out) == 3 && shape.PolygonArea(out) < tol*tol || math.IsNaN(far) {
		return nil
	}
	return out
}
