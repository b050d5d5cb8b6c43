package markview

import (
	"wornwood/annotate/shape"
	"wornwood/capture/record"
)

// hit is the mark at a point of the view: a pin first, the selected one before
// others, then a drawn line or edge. Inside an area is ground: dings lie in
// worn patches, and a click there means the ding. Movable says that a drag may
// take it along: a pin moves its mark, an edge is easily brushed in passing.
func (c *Controller) hit(at shape.Pt) (number, index int, movable bool) {
	best := PinRadius + 2.0
	pins := c.Pins()
	for i := len(pins) - 1; i >= 0; i-- {
		p := pins[i]
		if d := c.dist(at, p.At); d <= PinRadius+2 && (d < best || p.Selected) {
			best, number, index = d, p.Number, p.Place
			if p.Selected {
				break
			}
		}
	}
	if number > 0 {
		return number, index, true
	}
	near := reach
	for _, p := range c.sheet.places() {
		if p.shape == record.PointShape {
			continue
		}
		line := c.view.ApplyAll(p.pts)
		if p.shape == record.AreaShape {
			line = append(line, line[0])
		}
		if d := shape.DistToPolyline(at, line) / c.scale; d <= near {
			near, number, index = d, p.number, p.index
		}
	}
	return number, index, false
}

// maxHandles is how many points a figure may have to show a handle at each: a
// traced ring of hundreds is not edited point by point.
const maxHandles = 60

// Handles are the points of the selected figures that can be dragged, in
// device pixels.
func (c *Controller) Handles() []shape.Pt {
	var out []shape.Pt
	for _, p := range c.Sheet().places() {
		if p.number == c.sheet.Selected && p.shape != record.PointShape && len(p.pts) <= maxHandles {
			out = append(out, c.view.ApplyAll(p.pts)...)
		}
	}
	return out
}

// hitHandle grabs the point of the selected figure under the press.
func (c *Controller) hitHandle(at shape.Pt) bool {
	near, found := reach, false
	for _, p := range c.sheet.places() {
		if p.number != c.sheet.Selected || p.shape == record.PointShape || len(p.pts) > maxHandles {
			continue
		}
		for i, q := range p.pts {
			if d := c.dist(at, c.view.Apply(q)); d <= near {
				near, found = d, true
				c.grab(p.number, p.index)
				c.press.handle = i
			}
		}
	}
	return found
}
