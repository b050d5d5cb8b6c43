package markview

import (
	"wornwood/annotate/draw"
	"wornwood/annotate/shape"
	"wornwood/capture/record"
)

// hit is the mark at a point of the view: a pin first, the selected one before
// others, then a drawn line or edge. Inside an area is ground: dings lie in
// worn patches, and a click there means the ding. Movable says that a drag may
// take it along: a pin moves its mark, an edge is easily brushed in passing.
func (c *Controller) hit(at shape.Pt) (number, index int, movable bool) {
	if p, ok := c.hitPin(at); ok {
		return p.Number, p.Place, !p.Projected
	}
	number, index, _ = c.hitEdge(at)
	return number, index, false
}

// hitPin is the pin at the point.
func (c *Controller) hitPin(at shape.Pt) (found draw.Pin, ok bool) {
	best := PinRadius + 2.0
	pins := c.Pins()
	for i := len(pins) - 1; i >= 0; i-- {
		p := pins[i]
		if d := c.dist(at, p.At); d <= PinRadius+2 && (d < best || p.Selected) {
			best, found, ok = d, p, true
			if p.Selected {
				break
			}
		}
	}
	return found, ok
}

// hitEdge is the drawn line or edge at the point, and the index of the point
// before the place on it.
func (c *Controller) hitEdge(at shape.Pt) (number, index, before int) {
	near := reach
	for _, p := range c.sheet.places() {
		if p.shape == record.PointShape {
			continue
		}
		line := c.view.ApplyAll(p.ring())
		for i := 1; i < len(line); i++ {
			if d := shape.DistToPolyline(at, line[i-1:i+1]) / c.scale; d < near || d == near && number == 0 {
				near, number, index, before = d, p.number, p.index, i-1
			}
		}
	}
	return number, index, before
}

// ring is the line of the figure, closed for an area.
func (p place) ring() []shape.Pt {
	if p.shape == record.AreaShape && len(p.pts) > 2 {
		return append(p.pts[:len(p.pts):len(p.pts)], p.pts[0])
	}
	return p.pts
}

// takeMark is a press on a pin, on the middle of an edge of the selected figure,
// or on an edge. Tools that draw start beside another mark as readily as
// anywhere, so they take no edges.
func (c *Controller) takeMark(at shape.Pt, twice bool) held {
	if p, ok := c.hitPin(at); ok {
		c.active = point{}
		var h held = pan{}
		if f := c.figure(p.Number, p.Place, -1); f != nil && !p.Projected {
			h = f
		}
		c.choose(p.Number)
		return h
	}
	if h := c.takeBetween(at); h != nil {
		return h
	}
	if c.tool.least() > 0 {
		return nil
	}
	n, index, before := c.hitEdge(at)
	if n == 0 {
		return nil
	}
	if twice && n == c.sheet.Selected {
		return c.insert(n, index, before, c.toSheet(at))
	}
	c.choose(n)
	return pan{}
}

// choose reports that another mark is to be selected.
func (c *Controller) choose(n int) {
	if n != c.sheet.Selected && c.OnSelect != nil {
		c.OnSelect(n)
	}
}
