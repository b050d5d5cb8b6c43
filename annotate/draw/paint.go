package draw

import (
	"image"
	"image/draw"
	"math"

	"golang.org/x/image/vector"

	"wornwood/annotate/shape"
)

// flatness is how far, in pixels, a painted curve may stray from the true one.
const flatness = 0.08

// Paint draws the operations on dst after mapping them by view: one view unit
// is one pixel, and the pixel (0,0) covers the unit square at the origin. What
// lies outside dst costs next to nothing. Edges are smooth; texts are set in
// the embedded faces with grey-level smoothing and without hinting.
func Paint(dst *image.RGBA, ops List, view shape.Affine) {
	p := painter{dst: dst}
	for _, op := range ops.Transform(view) {
		if op.Kind == TextOp {
			p.text(op)
			continue
		}
		p.path(op)
	}
}

type painter struct {
	dst *image.RGBA
	z   vector.Rasterizer
}

func (p *painter) path(op Op) {
	if op.Fill.A > 0 {
		rings := op.Path.Flatten(flatness)
		if !op.NonZero {
			rings = evenOdd(rings)
		}
		p.fill(rings, op.Fill)
	}
	if op.Hatch.Ink.A > 0 && op.Hatch.Gap > 0 {
		p.hatch(op)
	}
	if op.Stroke.A == 0 || !(op.Width > 0) {
		return
	}
	// One fill for the whole stroke: where a see-through line meets itself it
	// must not turn darker.
	var rings [][]shape.Pt
	for _, line := range op.Path.FlattenOpen(flatness) {
		if len(op.Dash) == 0 {
			for _, part := range p.visible(line, op.Width) {
				rings = append(rings, StrokeRings(part, op.Width, false)...)
			}
			continue
		}
		for _, part := range p.visible(line, op.Width) {
			for _, d := range Dashes(part, op.Dash) {
				rings = append(rings, StrokeRings(d, op.Width, true)...)
			}
		}
	}
	p.fill(rings, op.Stroke)
}

// hatch draws the lines of an area's visible part only: a deep zoom makes the
// whole of any area enormous.
func (p *painter) hatch(op Op) {
	room := rectOf(p.dst.Bounds()).Grow(2)
	var rings [][]shape.Pt
	for _, r := range op.Path.Flatten(flatness) {
		if r = clipRing(r, room); len(r) > 2 {
			rings = append(rings, r)
		}
	}
	p.path(Op{Path: op.Hatch.linesIn(rings), Stroke: op.Hatch.Ink, Width: op.Hatch.Width})
}

// visible cuts a line that runs far outside the picture down to the parts that
// can touch it. A line that stays near is kept whole, so that joins and dashes
// are those of the whole line.
func (p *painter) visible(line []shape.Pt, width float64) [][]shape.Pt {
	room := rectOf(p.dst.Bounds()).Grow(width + 2)
	box := shape.RectAround(line...)
	if !overlaps(box, room) {
		return nil
	}
	if big := room.Grow(4 * (room.Dx() + room.Dy())); big.Contains(box.Min) && big.Contains(box.Max) {
		return [][]shape.Pt{line}
	}
	var out [][]shape.Pt
	var part []shape.Pt
	for i := 1; i < len(line); i++ {
		a, b, ok := clipSegment(line[i-1], line[i], room)
		if !ok {
			continue
		}
		if len(part) == 0 || part[len(part)-1] != a {
			if len(part) > 1 {
				out = append(out, part)
			}
			part = []shape.Pt{a}
		}
		part = append(part, b)
	}
	if len(part) > 1 {
		out = append(out, part)
	}
	return out
}

// fill paints the rings by the non-zero rule.
func (p *painter) fill(rings [][]shape.Pt, ink Ink) {
	room := rectOf(p.dst.Bounds()).Grow(2)
	var box shape.Rect
	kept := rings[:0:0]
	for _, r := range rings {
		b := shape.RectAround(r...)
		if !overlaps(b, room) {
			continue
		}
		if !room.Contains(b.Min) || !room.Contains(b.Max) {
			r = clipRing(r, room)
			b = shape.RectAround(r...)
		}
		if len(r) < 3 {
			continue
		}
		kept = append(kept, r)
		if len(kept) == 1 {
			box = b
		} else {
			box = shape.RectAround(box.Min, box.Max, b.Min, b.Max)
		}
	}
	if len(kept) == 0 {
		return
	}
	px := image.Rect(int(math.Floor(box.Min.X)), int(math.Floor(box.Min.Y)),
		int(math.Ceil(box.Max.X)), int(math.Ceil(box.Max.Y))).Intersect(p.dst.Bounds())
	if px.Empty() {
		return
	}
	p.z.Reset(px.Dx(), px.Dy())
	ox, oy := float64(px.Min.X), float64(px.Min.Y)
	for _, r := range kept {
		p.z.MoveTo(float32(r[0].X-ox), float32(r[0].Y-oy))
		for _, q := range r[1:] {
			p.z.LineTo(float32(q.X-ox), float32(q.Y-oy))
		}
		p.z.ClosePath()
	}
	p.z.DrawOp = draw.Over
	p.z.Draw(p.dst, px, image.NewUniform(ink.Color()), image.Point{})
}

// evenOdd turns rings so that the non-zero rule gives what the even-odd rule
// gives: a ring inside an odd number of others runs the other way.
func evenOdd(rings [][]shape.Pt) [][]shape.Pt {
	if len(rings) < 2 {
		return rings
	}
	out := make([][]shape.Pt, len(rings))
	for i, r := range rings {
		depth := 0
		for k, s := range rings {
			if k != i && shape.PointInPolygon(r[0], s) {
				depth++
			}
		}
		if (shape.SignedArea(r) > 0) != (depth%2 == 0) {
			r = reversed(r)
		}
		out[i] = r
	}
	return out
}

func rectOf(r image.Rectangle) shape.Rect {
	return shape.Rect{
		Min: shape.Pt{X: float64(r.Min.X), Y: float64(r.Min.Y)},
		Max: shape.Pt{X: float64(r.Max.X), Y: float64(r.Max.Y)},
	}
}

func overlaps(a, b shape.Rect) bool {
	return a.Min.X <= b.Max.X && a.Max.X >= b.Min.X && a.Min.Y <= b.Max.Y && a.Max.Y >= b.Min.Y
}
