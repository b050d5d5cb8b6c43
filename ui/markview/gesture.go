package markview

import (
	"math"
	"slices"

	"wornwood/annotate/shape"
	"wornwood/capture/record"
)

// Button is a button of the pointer.
type Button uint8

// The buttons.
const (
	Primary Button = iota
	Other          // pans
)

// press is what goes on between a button's going down and up.
type press struct {
	down    bool
	button  Button
	at      shape.Pt // where it went down, device pixels
	last    shape.Pt
	dragged bool // it wandered farther than a click may

	// The figure that was hit, and how it moves.
	number, index int
	shape         record.Shape
	handle        int // point of the figure that moves; -1 for all of them
	from, pts     []shape.Pt
}

// moving says that a figure is being dragged.
func (p press) moving() bool { return p.down && p.dragged && p.number > 0 && p.from != nil }

// Press is a button going down. What is hit is decided here, not when the
// button comes up: the pin under the finger must not slip away.
func (c *Controller) Press(at shape.Pt, b Button) {
	c.cursor, c.keyed, c.inside = at, false, true
	c.press = press{down: true, button: b, at: at, last: at, handle: -1}
	if b != Primary || len(c.draft) > 0 || c.tool == PatchTool || c.tool == PickTool {
		return
	}
	if c.hitHandle(at) {
		return
	}
	n, index, movable := c.hit(at)
	if n == 0 {
		return
	}
	c.grab(n, index)
	if !movable {
		c.press.from = nil
	}
	if n != c.sheet.Selected && c.OnSelect != nil {
		c.OnSelect(n)
	}
}

// grab notes the figure that a drag would move.
func (c *Controller) grab(number, index int) {
	for _, p := range c.sheet.places() {
		if p.number == number && p.index == index {
			c.press.number, c.press.index, c.press.shape = number, index, p.shape
			c.press.from, c.press.pts = slices.Clone(p.pts), slices.Clone(p.pts)
		}
	}
}

// Move is the pointer moving, with or without a button.
func (c *Controller) Move(at shape.Pt) {
	step := shape.Sub(at, c.press.last)
	c.cursor, c.inside, c.keyed = at, true, false
	p := &c.press
	p.last = at
	if !p.down {
		c.hover(at)
		if len(c.draft) > 0 {
			c.moved = true
			c.changed()
		}
		return
	}
	if !p.dragged {
		if c.dist(at, p.at) <= slop {
			return
		}
		p.dragged = true
		step = shape.Sub(at, p.at)
	}
	switch {
	case p.from != nil:
		c.drag(at)
	case p.button == Primary && c.tool == PatchTool:
		c.changed()
	default:
		c.Pan(step.X, step.Y)
	}
}

// drag moves the figure, or the one point of it, by what the pointer moved. A
// point that would leave the sheet stays on it.
func (c *Controller) drag(at shape.Pt) {
	p := &c.press
	d := shape.Sub(c.toSheet(at), c.toSheet(p.at))
	for i, q := range p.from {
		if p.handle < 0 || i == p.handle {
			q = shape.Add(q, d)
		}
		p.pts[i] = q
	}
	if c.sheet.Side == nil {
		keepInside(p.pts, c.sheet.bounds(), p.handle)
	}
	c.pinsFor = nil
	c.changed()
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

// Release is the button coming up. It may be told twice.
func (c *Controller) Release(at shape.Pt) {
	p := c.press
	if !p.down {
		return
	}
	c.press = press{last: at, handle: -1}
	c.cursor = at
	switch {
	case p.button != Primary:
	case p.moving():
		c.pinsFor = nil
		if c.OnMove != nil {
			c.OnMove(p.number, p.index, p.shape, p.pts)
		}
	case p.number > 0:
	case c.tool == PatchTool && p.dragged:
		c.patch(p.at, at)
	case !p.dragged:
		c.click(p.at)
	}
	c.changed()
}

// patch reports the dragged rectangle, as far as it lies on the sheet.
func (c *Controller) patch(a, b shape.Pt) {
	r, on := shape.RectAround(c.toSheet(a), c.toSheet(b)), c.sheet.bounds()
	r.Min.X, r.Min.Y = math.Max(r.Min.X, on.Min.X), math.Max(r.Min.Y, on.Min.Y)
	r.Max.X, r.Max.Y = math.Min(r.Max.X, on.Max.X), math.Min(r.Max.Y, on.Max.Y)
	if !r.Empty() && c.OnPatch != nil {
		c.OnPatch(r)
	}
}

// PatchSoFar is the rectangle being dragged, in device pixels.
func (c *Controller) PatchSoFar() (shape.Rect, bool) {
	if !c.press.down || !c.press.dragged || c.tool != PatchTool || c.press.button != Primary {
		return shape.Rect{}, false
	}
	return shape.RectAround(c.press.at, c.cursor), true
}

// click is a press that did not wander, on ground or in a draft.
func (c *Controller) click(at shape.Pt) {
	p := c.toSheet(at)
	if len(c.draft) > 0 {
		c.clickDraft(at, p)
		return
	}
	if !c.sheet.holds(p) {
		if c.sheet.Selected != 0 && c.OnSelect != nil {
			c.OnSelect(0)
		}
		return
	}
	switch c.tool {
	case PinTool:
		if c.OnPin != nil {
			c.OnPin(record.PointShape, []shape.Pt{p})
		}
	case LineTool, AreaTool:
		c.draft, c.moved = []shape.Pt{p}, false
	case PickTool:
		if c.OnPick != nil {
			c.OnPick(p)
		}
	}
}

// clickDraft adds a point, or ends the figure on its first or last one.
func (c *Controller) clickDraft(at, p shape.Pt) {
	n := len(c.draft)
	first, last := c.view.Apply(c.draft[0]), c.view.Apply(c.draft[n-1])
	switch {
	case c.tool == AreaTool && n > 2 && c.dist(at, first) <= reach*1.5:
		c.finish()
	case n > 1 && c.dist(at, last) <= slop:
		c.finish()
	case c.dist(at, last) <= slop:
	case len(c.draft) < record.MaxPoints:
		if c.sheet.Side == nil {
			q := []shape.Pt{p}
			keepInside(q, c.sheet.bounds(), 0)
			p = q[0]
		}
		c.draft, c.moved = append(c.draft, p), false
	}
}

// finish reports the figure when it has points enough.
func (c *Controller) finish() bool {
	s := c.tool.shape()
	need := map[record.Shape]int{record.LineShape: 2, record.AreaShape: 3}[s]
	if need == 0 || len(c.draft) < need {
		return false
	}
	pts := c.draft
	c.draft = nil
	if c.OnPin != nil {
		c.OnPin(s, pts)
	}
	return true
}

// Leave is the pointer leaving the canvas.
func (c *Controller) Leave() {
	c.inside = false
	c.setHovered(0)
}

func (c *Controller) hover(at shape.Pt) {
	n := 0
	if len(c.draft) == 0 {
		n, _, _ = c.hit(at)
	}
	c.setHovered(n)
}

func (c *Controller) setHovered(n int) {
	if n == c.hovered {
		return
	}
	c.hovered = n
	if c.OnHover != nil {
		c.OnHover(n)
	}
	c.changed()
}
