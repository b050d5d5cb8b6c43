package markview

import (
	"wornwood/annotate/shape"
	"wornwood/capture/record"
)

// click is a press that did not wander, on ground or in a draft.
func (c *Controller) click(at shape.Pt) {
	p := c.toSheet(at)
	snapped := false
	if c.tool.sets() {
		p, snapped = c.point(at)
		c.snap = nil
	}
	if len(c.draft) > 0 {
		c.clickDraft(at, p)
		return
	}
	if !snapped && !c.sheet.holds(p) {
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
	case LineTool, AreaTool, MeasureTool:
		c.draft, c.moved = []shape.Pt{p}, false
	case PickTool:
		if c.OnPick != nil {
			c.OnPick(p)
		}
	}
}

// point is where a click at the place would set a point, and whether it snapped.
func (c *Controller) point(at shape.Pt) (shape.Pt, bool) { return c.snapped(c.toSheet(at)) }

// clickDraft adds a point, or ends the figure on its first or last one.
func (c *Controller) clickDraft(at, p shape.Pt) {
	n := len(c.draft)
	first, last := c.view.Apply(c.draft[0]), c.view.Apply(c.draft[n-1])
	switch {
	case c.tool == AreaTool && n > 2 && c.dist(at, first) <= reach*1.5:
		c.finish()
	case c.tool == MeasureTool && n > 2 && c.dist(at, first) <= reach*1.5:
		c.draft = append(c.draft, c.draft[0])
		c.finish()
	case n > 1 && c.dist(at, last) <= slop:
		c.finish()
	case c.dist(at, last) <= slop:
	case len(c.draft) < record.MaxPoints:
		c.draft, c.moved = append(c.draft, c.onSheet(p)), false
	}
}

// finish reports the figure when it has points enough.
func (c *Controller) finish() bool {
	need := c.tool.least()
	if need == 0 || len(c.draft) < need {
		return false
	}
	pts := c.draft
	c.draft = nil
	c.report(pts)
	return true
}

// report hands a finished figure over.
func (c *Controller) report(pts []shape.Pt) {
	switch {
	case c.tool == MeasureTool:
		if c.OnMeasure != nil {
			c.OnMeasure(pts)
		}
	case c.OnPin != nil:
		c.OnPin(c.tool.shape(), pts)
	}
}
