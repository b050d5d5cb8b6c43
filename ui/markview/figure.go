package markview

import (
	"fmt"
	"math"
	"slices"

	"wornwood/annotate/draw"
	"wornwood/annotate/shape"
	"wornwood/capture/record"
)

// figure is a mark's place that is being moved, as a whole or at one corner.
type figure struct {
	number, index int
	shape         record.Shape
	corner        int // the point that moves; -1 for all of them
	from, pts     []shape.Pt
	fresh         bool // the corner was added by this press
}

// figure takes hold of a place, nil when the sheet has none such.
func (c *Controller) figure(number, index, corner int) *figure {
	for _, p := range c.sheet.places() {
		if p.number == number && p.index == index && corner < len(p.pts) {
			return &figure{number, index, p.shape, corner, slices.Clone(p.pts), slices.Clone(p.pts), false}
		}
	}
	return nil
}

func (f *figure) move(c *Controller, at shape.Pt) {
	c.snap = nil
	f.set(c, shape.Sub(c.toSheet(at), c.toSheet(c.press.at)), true)
}

// set moves the figure, or the one corner of it, by a step from where it was. A
// corner snaps; a point that would leave the sheet stays on it.
func (f *figure) set(c *Controller, d shape.Pt, snap bool) {
	for i, q := range f.from {
		if f.corner < 0 || i == f.corner {
			q = shape.Add(q, d)
		}
		if i == f.corner && snap {
			q, _ = c.snapped(q)
		}
		f.pts[i] = q
	}
	if c.sheet.Side == nil {
		keepInside(f.pts, c.sheet.bounds(), f.corner)
	}
	c.pinsFor = nil
	c.changed()
}

// shift moves it by a step from where it is, for arrow keys.
func (f *figure) shift(c *Controller, d shape.Pt) {
	f.from = slices.Clone(f.pts)
	f.set(c, d, false)
}

func (f *figure) drop(c *Controller, _ shape.Pt, dragged bool) {
	if dragged || f.fresh {
		c.reportMove(f)
	}
}

// reportMove counts the mark's places on this sheet up to the one that changed.
func (c *Controller) reportMove(f *figure) {
	k := 0
	for _, p := range c.sheet.places() {
		if p.number == f.number && p.index < f.index {
			k++
		}
	}
	if c.OnMove != nil {
		c.OnMove(f.number, k, f.shape, f.pts)
	}
}

func (f *figure) shown(s Sheet) Sheet { return s.with(f.number, f.index, f.pts) }

func (f *figure) spot(*Controller) (shape.Pt, bool) {
	if f.corner >= 0 {
		return f.pts[f.corner], true
	}
	return draw.AnchorOf(f.shape, f.pts), true
}

// keepInside moves the points, or the one, back into the rectangle.
func keepInside(pts []shape.Pt, r shape.Rect, only int) {
	box := shape.RectAround(pts...)
	if only >= 0 {
		box = shape.Rect{Min: pts[only], Max: pts[only]}
	}
	d := shape.Pt{
		X: math.Max(0, r.Min.X-box.Min.X) - math.Max(0, box.Max.X-r.Max.X),
		Y: math.Max(0, r.Min.Y-box.Min.Y) - math.Max(0, box.Max.Y-r.Max.Y),
	}
	for i := range pts {
		if only < 0 || i == only {
			pts[i] = shape.Add(pts[i], d)
		}
	}
}

// Room that handles need, in units: corners nearer than that to the last one
// shown have none, and an edge needs the second for a handle on its middle.
const (
	cornerRoom  = 9.0
	betweenRoom = 30.0
)

// vertex is a handle of the selected figure.
type vertex struct {
	number, index int
	at            int      // the corner, or the one before the edge
	p             shape.Pt // device pixels
	between       bool     // on the middle of an edge
}

// vertices are the handles of the selected figures.
func (c *Controller) vertices() []vertex {
	var out []vertex
	for _, p := range c.Sheet().places() {
		if p.number != c.sheet.Selected || p.shape == record.PointShape {
			continue
		}
		pts := c.view.ApplyAll(p.pts)
		keep := -1
		if a := c.active; a.kind == cornerPoint && a.number == p.number && a.place == p.index {
			keep = a.at
		}
		show := spaced(pts, cornerRoom*c.scale, keep)
		for i, q := range pts {
			if show[i] {
				out = append(out, vertex{p.number, p.index, i, q, false})
			}
		}
		for i := range pts {
			k := (i + 1) % len(pts)
			if k == 0 && (p.shape != record.AreaShape || len(pts) < 3) {
				continue
			}
			if c.dist(pts[i], pts[k]) >= betweenRoom {
				out = append(out, vertex{p.number, p.index, i, shape.Lerp(pts[i], pts[k], 0.5), true})
			}
		}
	}
	return out
}

// spaced chooses the points that are shown: those a little apart from the last
// one shown, and the one to keep.
func spaced(pts []shape.Pt, gap float64, keep int) []bool {
	out := make([]bool, len(pts))
	last := -1
	for i, p := range pts {
		if i == keep || last < 0 || shape.Dist(p, pts[last]) >= gap && (i == len(pts)-1 || shape.Dist(p, pts[0]) >= gap) {
			out[i], last = true, i
		}
	}
	return out
}

// Handles are the corners of the selected figures that can be dragged, in
// device pixels.
func (c *Controller) Handles() []shape.Pt {
	var out []shape.Pt
	for _, v := range c.vertices() {
		if !v.between {
			out = append(out, v.p)
		}
	}
	return out
}

// nearVertex is the handle at the point.
func (c *Controller) nearVertex(at shape.Pt, between bool) (found vertex, ok bool) {
	near := reach
	for _, v := range c.vertices() {
		if d := c.dist(at, v.p); v.between == between && d <= near {
			near, found, ok = d, v, true
		}
	}
	return found, ok
}

// takeVertex grabs the corner of the selected figure under the press; keys act
// on it from now on.
func (c *Controller) takeVertex(at shape.Pt, _ bool) held {
	v, ok := c.nearVertex(at, false)
	if !ok {
		return nil
	}
	f := c.figure(v.number, v.index, v.at)
	if f == nil {
		return nil
	}
	c.active = point{kind: cornerPoint, number: v.number, place: v.index, at: v.at, count: len(f.pts)}
	return f
}

// takeBetween adds a corner on the middle of an edge and grabs it.
func (c *Controller) takeBetween(at shape.Pt) held {
	if v, ok := c.nearVertex(at, true); ok {
		return c.insert(v.number, v.index, v.at, c.toSheet(v.p))
	}
	return nil
}

// insert adds a corner on the edge behind the corner before, at the place
// nearest to p, and takes hold of it.
func (c *Controller) insert(number, index, before int, p shape.Pt) held {
	f := c.figure(number, index, -1)
	if f == nil {
		return nil
	}
	if len(f.pts) >= record.MaxPoints {
		c.say(fmt.Sprintf("A figure has at most %d points.", record.MaxPoints))
		return pan{}
	}
	a, b := f.pts[before], f.pts[(before+1)%len(f.pts)]
	p, _ = shape.ClosestPoint(p, []shape.Pt{a, b})
	f.from = slices.Insert(f.from, before+1, p)
	f.pts = slices.Clone(f.from)
	f.corner, f.fresh = before+1, true
	c.active = point{kind: cornerPoint, number: number, place: index, at: before + 1, count: len(f.pts)}
	return f
}

// removeCorner takes the active corner out, as long as a figure is left.
func (c *Controller) removeCorner() {
	a := c.active
	f := c.figure(a.number, a.place, a.at)
	if f == nil {
		return
	}
	least, what := 2, "A line keeps at least two points."
	if f.shape == record.AreaShape {
		least, what = 3, "An area keeps at least three corners."
	}
	if len(f.pts) <= least {
		c.say(what)
		return
	}
	f.pts = slices.Delete(f.pts, a.at, a.at+1)
	c.active.count = len(f.pts)
	c.active.at = min(a.at, len(f.pts)-1)
	c.pinsFor = nil
	c.reportMove(f)
}
