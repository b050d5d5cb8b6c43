package markview

import (
	"math"

	"wornwood/annotate/shape"
	"wornwood/capture/record"
)

// pointKind says what the active point belongs to.
type pointKind uint8

const (
	noPoint pointKind = iota
	cornerPoint
	scalePoint
	nodePoint
)

// point is the single point that keys act on.
type point struct {
	kind          pointKind
	number, place int // of a corner: the mark and its place
	at            int // index into the figure, the scale or the curve
	count         int // how many points there are: after an undo that changed it nothing is active
}

// on says whether the sheet still has the point.
func (p point) on(s Sheet) bool {
	switch p.kind {
	case scalePoint:
		return p.at < len(s.Scale) && p.count == len(s.Scale)
	case nodePoint:
		return p.at < len(s.Curve) && p.count == len(s.Curve)
	case cornerPoint:
		for _, q := range s.places() {
			if q.number == p.number && q.index == p.place {
				return s.Selected == p.number && p.count == len(q.pts)
			}
		}
	}
	return false
}

// points are all that can be active, in order: nodes of the curve, scale points,
// corners of the selected mark.
func (c *Controller) points() []point {
	var out []point
	for i := range c.sheet.Curve {
		out = append(out, point{kind: nodePoint, at: i, count: len(c.sheet.Curve)})
	}
	for i := range c.sheet.Scale {
		out = append(out, point{kind: scalePoint, at: i, count: len(c.sheet.Scale)})
	}
	for _, p := range c.sheet.places() {
		if p.number != c.sheet.Selected || len(p.pts) < 2 {
			continue
		}
		for i := range p.pts {
			out = append(out, point{cornerPoint, p.number, p.index, i, len(p.pts)})
		}
	}
	return out
}

// stepPoint makes the next or the previous point active.
func (c *Controller) stepPoint(by int) bool {
	all := c.points()
	if len(all) == 0 {
		return false
	}
	at := -1
	if by < 0 {
		at = 0
	}
	for i, p := range all {
		if p == c.active {
			at = i
		}
	}
	c.active = all[(at+by+len(all))%len(all)]
	c.keyed = false
	if g := c.grip(); g != nil {
		if p, ok := g.spot(c); ok {
			c.reveal(p)
		}
	}
	c.changed()
	return true
}

// shifter is something that arrow keys move.
type shifter interface {
	held
	shift(c *Controller, d shape.Pt)
}

// grip takes hold of the active point, else of the selected mark.
func (c *Controller) grip() shifter {
	if a := c.active; a.on(c.sheet) {
		switch a.kind {
		case scalePoint:
			return &scaleGrip{at: a.at, p: c.sheet.Scale[a.at].At, index: c.sheet.Scale[a.at].Index}
		case nodePoint:
			return c.node(a.at, wholeNode)
		}
		if f := c.figure(a.number, a.place, a.at); f != nil {
			return f
		}
	}
	for _, p := range c.sheet.places() {
		if p.number != c.sheet.Selected {
			continue
		}
		if f := c.figure(p.number, p.index, -1); f != nil {
			return f
		}
	}
	return nil
}

// nudges says that arrow keys move a point or a mark rather than the key cursor.
func (c *Controller) nudges() bool {
	if c.keyed || len(c.draft) > 0 || c.press.down {
		return false
	}
	if c.active.on(c.Sheet()) {
		return true
	}
	return (c.tool == PinTool || c.tool == HandTool) && c.grip() != nil
}

// Steps of an arrow key: a photo's pixel, two tenths of a millimetre.
const (
	nudgePhoto = 1.0
	nudgeSide  = 0.2
	nudgeFar   = 10.0 // times, with shift
)

// nudge moves what keys act on. While a key is held down it is reported once, in
// the end, so that it is one step to undo.
func (c *Controller) nudge(dx, dy float64) {
	if c.pending == nil {
		g := c.grip()
		if g == nil {
			return
		}
		c.pending = g
	}
	k := nudgePhoto
	if c.sheet.Side != nil {
		k = nudgeSide
	}
	if c.shift {
		k *= nudgeFar
	}
	g := c.pending.(shifter)
	g.shift(c, shape.Pt{X: dx * k, Y: dy * k})
	if p, ok := g.spot(c); ok {
		c.reveal(p)
	}
	if !c.holding {
		c.Settle()
	}
	c.changed()
}

// Hold tells that an arrow key went down and may repeat.
func (c *Controller) Hold() { c.holding = true }

// Settle tells that the key came up: what it moved is reported.
func (c *Controller) Settle() {
	h := c.pending
	c.pending, c.holding = nil, false
	if h != nil {
		c.pinsFor = nil
		h.drop(c, c.cursor, true)
		c.changed()
	}
}

// reveal moves the view so that the point of the sheet is well inside.
func (c *Controller) reveal(p shape.Pt) {
	at := c.view.Apply(p)
	in := c.room().Grow(-math.Min(28*c.scale, math.Min(c.w, c.h)/4))
	if !in.Contains(at) {
		mid := c.room().Center()
		c.Pan(mid.X-at.X, mid.Y-at.Y)
	}
}

// remove takes the active point out; false when none is active.
func (c *Controller) remove() bool {
	if !c.active.on(c.Sheet()) {
		return false
	}
	switch c.active.kind {
	case cornerPoint:
		c.removeCorner()
	case nodePoint:
		c.removeNode()
	case scalePoint:
		if c.OnScaleRemove != nil {
			index := c.sheet.Scale[c.active.at].Index
			c.active = point{}
			c.OnScaleRemove(index)
		}
	}
	c.changed()
	return true
}

// add puts a new point behind the active one, halfway to the next.
func (c *Controller) add() bool {
	a := c.active
	if !a.on(c.Sheet()) {
		return false
	}
	var h held
	switch a.kind {
	case nodePoint:
		h = c.split(a.at, 0.5)
	case cornerPoint:
		f := c.figure(a.number, a.place, -1)
		before := a.at
		if before == len(f.pts)-1 && f.shape != record.AreaShape {
			before-- // behind the last point of a line is nothing
		}
		h = c.insert(a.number, a.place, before, shape.Lerp(f.pts[before], f.pts[(before+1)%len(f.pts)], 0.5))
	}
	if h == nil {
		return false
	}
	h.drop(c, c.cursor, false)
	c.pinsFor = nil
	c.changed()
	return true
}
