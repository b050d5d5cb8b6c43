package markview

import (
	"image/color"
	"math"

	"wornwood/annotate/draw"
	"wornwood/annotate/shape"
)

// Patch is an area of a photo that a colour is read from.
type Patch struct {
	Ring   []shape.Pt
	Word   string     // "reference", "faded", "grey": with what was read, "faded, L* 44.0"
	Colour color.RGBA // the mean that was read, shown beside the word; none when invisible
	Joined bool       // a fine broken line joins it to the patch before it
}

// patches are the patches for drawing, in device pixels.
func (s Sheet) patches(view shape.Affine) []draw.Patch {
	out := make([]draw.Patch, len(s.Patches))
	for i, p := range s.Patches {
		n := color.NRGBAModel.Convert(p.Colour).(color.NRGBA)
		out[i] = draw.Patch{Ring: view.ApplyAll(p.Ring), Joined: p.Joined, Tag: draw.Tag{Text: p.Word, Swatch: draw.Ink(n)}}
	}
	return out
}

// frame is a rectangle being dragged, in the unit of the sheet.
type frame struct {
	idle
	from, to shape.Pt
}

func (f *frame) move(c *Controller, at shape.Pt) {
	f.to = c.toSheet(at)
	c.changed()
}

func (f *frame) drop(c *Controller, at shape.Pt, dragged bool) {
	if dragged {
		c.patch(f.from, c.toSheet(at))
	}
}

func (f *frame) spot(*Controller) (shape.Pt, bool) { return f.to, true }

// patch reports the rectangle, as far as it lies on the sheet.
func (c *Controller) patch(a, b shape.Pt) {
	r, on := shape.RectAround(a, b), c.sheet.bounds()
	r.Min.X, r.Min.Y = math.Max(r.Min.X, on.Min.X), math.Max(r.Min.Y, on.Min.Y)
	r.Max.X, r.Max.Y = math.Min(r.Max.X, on.Max.X), math.Min(r.Max.Y, on.Max.Y)
	if !r.Empty() && c.OnPatch != nil {
		c.OnPatch(r)
	}
}

// keyPatch sets a corner at the key cursor, and with the second one reports the
// rectangle.
func (c *Controller) keyPatch() {
	p := c.toSheet(c.cursor)
	if c.corner == nil {
		c.corner = &p
		return
	}
	from := *c.corner
	c.corner = nil
	c.patch(from, p)
}

// PatchSoFar is the rectangle being drawn, in device pixels.
func (c *Controller) PatchSoFar() (shape.Rect, bool) {
	if f, ok := c.press.held.(*frame); ok && c.press.down && c.press.dragged {
		return shape.RectAround(c.view.Apply(f.from), c.view.Apply(f.to)), true
	}
	if c.corner != nil && c.tool == PatchTool {
		return shape.RectAround(c.view.Apply(*c.corner), c.cursor), true
	}
	return shape.Rect{}, false
}
