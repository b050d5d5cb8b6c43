package markview

import (
	"image"
	"math"

	"wornwood/annotate/draw"
	"wornwood/annotate/shape"
)

// glass paints the loupe into the frame: the ground at full resolution, what is
// drawn on it, and a fine cross about the exact spot.
func (p *Picture) glass(c *Controller, s Sheet, st draw.Style) {
	l, ok := c.Loupe()
	if !ok || l.Radius < 8 {
		return
	}
	r := int(l.Radius)
	// The loupe's own picture has the exact spot on the middle of its middle
	// pixel, where the cross is crisp.
	own := l
	own.At = shape.Pt{X: float64(r) + 0.5, Y: float64(r) + 0.5}
	p.lens = sized(p.lens, 2*r+1, 2*r+1)
	p.magnified(c, s, own, st)
	draw.Paint(p.lens, s.shapes(st), own.View())
	if p.Extra != nil {
		draw.Paint(p.lens, p.Extra(st), own.View())
	}
	room := shape.Rect{Max: shape.Pt{X: float64(2*r + 1), Y: float64(2*r + 1)}}
	draw.Paint(p.lens, overlay(c, s, own.View(), room, true, st), shape.Identity())
	left, top := int(math.Round(l.At.X))-r, int(math.Round(l.At.Y))-r
	copyRound(p.frame, p.lens, left, top, r)
	mid := shape.Pt{X: float64(left+r) + 0.5, Y: float64(top+r) + 0.5}
	draw.Paint(p.frame, draw.LoupeOps(mid, float64(r), st), shape.Identity())
}

// magnified paints the ground of the loupe.
func (p *Picture) magnified(c *Controller, s Sheet, l Loupe, st draw.Style) {
	switch {
	case s.Side != nil:
		fillRect(p.lens, p.lens.Rect, rgba(st.Ground))
		draw.Paint(p.lens, p.outlineIn(s, l, st), l.View())
	case p.Photo != nil && s.Photo != "":
		p.Photo.Nearest(p.lens, l.View().Mul(p.toSheet(s)))
	default:
		fillRect(p.lens, p.lens.Rect, Surround)
	}
}

// outlineIn is what of the outline can be seen in the loupe.
func (p *Picture) outlineIn(s Sheet, l Loupe, st draw.Style) draw.List {
	ops, boxes := p.outline(s, st)
	seen := shape.Rect{Min: l.Spot, Max: l.Spot}.Grow((l.Radius + 2*math.Max(st.Silhouette, st.Region)) / l.Zoom)
	var out draw.List
	for i, op := range ops {
		b := boxes[i]
		if b.Min.X <= seen.Max.X && b.Max.X >= seen.Min.X && b.Min.Y <= seen.Max.Y && b.Max.Y >= seen.Min.Y {
			out = append(out, op)
		}
	}
	return out
}

// outline is the side's operations with the boxes around them, kept from one
// frame to the next.
func (p *Picture) outline(s Sheet, st draw.Style) (draw.List, []shape.Rect) {
	if o := p.ops; o != nil && o.side == s.Side && o.dark == p.Dark && o.unit == st.Unit {
		return o.list, o.boxes
	}
	o := &outlineOps{side: s.Side, dark: p.Dark, unit: st.Unit, list: draw.Outline(s.Side, st)}
	for _, op := range o.list {
		o.boxes = append(o.boxes, op.Path.Bounds())
	}
	p.ops = o
	return o.list, o.boxes
}

// copyRound copies a round picture of the radius into the frame.
func copyRound(dst, src *image.RGBA, left, top, r int) {
	for y := range 2*r + 1 {
		dy := float64(y - r)
		half := int(math.Sqrt(math.Max(0, float64(r*r)-dy*dy)))
		row := image.Rect(left+r-half, top+y, left+r+half+1, top+y+1).Intersect(dst.Rect)
		if row.Empty() {
			continue
		}
		from := src.PixOffset(row.Min.X-left, y)
		copy(dst.Pix[dst.PixOffset(row.Min.X, row.Min.Y):][:4*row.Dx()], src.Pix[from:])
	}
}
