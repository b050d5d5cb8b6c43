package markview

import (
	"math"

	"wornwood/annotate/shape"
)

// brush is a stroke being brushed.
type brush struct {
	idle
	pts []shape.Pt // sheet unit
}

func (c *Controller) takeBrush(at shape.Pt) held {
	if c.sheet.empty() {
		return ground{}
	}
	return &brush{pts: []shape.Pt{c.toSheet(at)}}
}

func (b *brush) move(c *Controller, at shape.Pt) {
	p := c.toSheet(at)
	far := math.Max(c.Brush()/4, c.scale/c.Zoom())
	if shape.Dist(p, b.pts[len(b.pts)-1]) >= far {
		b.pts = append(b.pts, p)
	}
	c.changed()
}

func (b *brush) drop(c *Controller, at shape.Pt, dragged bool) {
	if dragged {
		b.move(c, at)
	}
	if c.OnStroke != nil {
		c.OnStroke(shape.Thin(b.pts, c.Brush()/20), c.Brush(), c.tool == AddBrush)
	}
}

// Brush is the radius of the brush in the unit of the sheet.
func (c *Controller) Brush() float64 {
	if c.brushed > 0 {
		return c.brushed
	}
	b := c.sheet.bounds()
	return math.Max(1e-3, math.Min(b.Dx(), b.Dy())/40)
}

// SetBrush sets the radius, in the unit of the sheet, within what makes sense
// there; 0 for the usual one.
func (c *Controller) SetBrush(radius float64) {
	c.brushed = 0
	if radius > 0 {
		b := c.sheet.bounds()
		short := math.Min(b.Dx(), b.Dy())
		c.brushed = math.Max(short/1000, math.Min(short/4, radius))
	}
	c.changed()
}

// brushStep is what the keys for a larger or a smaller brush make of it.
const brushStep = 1.25

// stroke is what was brushed so far, in the unit of the sheet.
func (c *Controller) stroke() []shape.Pt {
	if b, ok := c.press.held.(*brush); ok && c.press.down {
		return b.pts
	}
	return nil
}
