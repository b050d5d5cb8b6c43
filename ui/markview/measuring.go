package markview

import (
	"wornwood/annotate/draw"
	"wornwood/annotate/shape"
)

// Measure is a measured line or ring on the sheet. Its label is words and
// figures that the caller made of it.
type Measure struct {
	Points []shape.Pt
	Closed bool
	Label  string
	Warn   bool // the figure is doubtful
}

// takeRuler is a press with the measuring tool: a drag measures straight from
// there to here, a click sets the first of several points.
func (c *Controller) takeRuler(at shape.Pt) held {
	p, snapped := c.point(at)
	if !snapped && !c.sheet.holds(p) {
		return ground{}
	}
	return &ruler{from: p, to: p}
}

type ruler struct {
	idle
	from, to shape.Pt
}

func (r *ruler) move(c *Controller, at shape.Pt) {
	r.to, _ = c.point(at)
	r.to = c.onSheet(r.to)
	c.changed()
}

func (r *ruler) drop(c *Controller, at shape.Pt, dragged bool) {
	if !dragged {
		c.click(at)
		return
	}
	r.move(c, at)
	c.snap = nil
	if r.from != r.to {
		c.report([]shape.Pt{r.from, r.to})
	}
}

func (r *ruler) spot(*Controller) (shape.Pt, bool) { return r.to, true }

// measuring is the line being measured with the cursor as its last point, in
// the unit of the sheet; nil when none is.
func (c *Controller) measuring() []shape.Pt {
	if c.tool != MeasureTool {
		return nil
	}
	if r, ok := c.press.held.(*ruler); ok && c.press.down && c.press.dragged {
		return []shape.Pt{r.from, r.to}
	}
	if len(c.draft) == 0 {
		return nil
	}
	return append(c.draft[:len(c.draft):len(c.draft)], c.next())
}

// next is where the next point of the draft would be set.
func (c *Controller) next() shape.Pt {
	if c.snap != nil {
		return c.snap.at
	}
	return c.onSheet(c.toSheet(c.cursor))
}

// dimensions are the measures on the sheet and the one being made, in device
// pixels.
func (c *Controller) dimensions(s Sheet, view shape.Affine) []draw.Dimension {
	var out []draw.Dimension
	for _, m := range s.Measures {
		out = append(out, draw.Dimension{Points: view.ApplyAll(m.Points), Closed: m.Closed, Label: m.Label, Warn: m.Warn})
	}
	if pts := c.measuring(); len(pts) > 0 {
		d := draw.Dimension{Points: view.ApplyAll(pts), Live: true}
		if c.MeasureLabel != nil {
			d.Label = c.MeasureLabel(pts)
		}
		out = append(out, d)
	}
	return out
}
