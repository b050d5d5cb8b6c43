package markview

import "wornwood/annotate/shape"

// snapMark is where a point snapped, for drawing.
type snapMark struct {
	at     shape.Pt // sheet unit
	corner bool
}

// SetSnap turns snapping on or off; it starts on.
func (c *Controller) SetSnap(on bool) {
	c.snapOff, c.snap = !on, nil
	c.changed()
}

// Snaps says whether points snap.
func (c *Controller) Snaps() bool { return !c.snapOff }

// snapped is the point itself, or the place near it to which it snaps.
func (c *Controller) snapped(p shape.Pt) (shape.Pt, bool) {
	c.snap = nil
	if c.snapOff || c.shift || c.sheet.empty() {
		return p, false
	}
	r := reach * c.scale / c.Zoom()
	if c.Snap != nil {
		q, ok := c.Snap(p, r)
		if !ok {
			return p, false
		}
		c.snap = &snapMark{q, false}
		return q, true
	}
	if c.sheet.Side == nil {
		return p, false
	}
	q, corner, ok := c.edgesOf(c.sheet.Side).near(p, r)
	if !ok {
		return p, false
	}
	c.snap = &snapMark{q, corner}
	return q, true
}
