// Package draw turns outlines, marks and pins into drawing operations that are
// the same for screen and paper, so that the two cannot disagree.
//
// Start with Outline and Shapes for what is in millimetres, Anchors, Layout and
// PinOps for the numbered pins, and Paint for pixels. A paper backend walks a
// List itself: after Transform and Plain only filled and stroked paths and
// short texts are left.
//
// Geometry is in the unit of its sheet (millimetres, or pixels of a photo)
// until Transform maps it to the view. Widths, dashes, hatches and text sizes
// are in units of the view from the beginning and no Transform changes them: a
// silhouette is as strong on a thumbnail as on a poster. The package decides
// nothing about marks; it draws what a record says.
package draw

import (
	"image/color"

	"wornwood/annotate/shape"
	"wornwood/icons"
)

// Ink is a colour with straight (not premultiplied) alpha. The zero Ink is
// invisible.
type Ink struct{ R, G, B, A uint8 }

// Hex is the opaque ink 0xRRGGBB.
func Hex(rgb uint32) Ink { return Ink{uint8(rgb >> 16), uint8(rgb >> 8), uint8(rgb), 255} }

// Alpha is the ink at an opacity from 0 to 1.
func (i Ink) Alpha(a float64) Ink {
	i.A = uint8(a*255 + 0.5)
	return i
}

// Color is the ink for Go's image packages.
func (i Ink) Color() color.NRGBA { return color.NRGBA(i) }

// OpKind says what an operation draws.
type OpKind uint8

// The kinds of operation.
const (
	PathOp OpKind = iota
	TextOp
)

// Align says which point of a text's baseline At is.
type Align uint8

// The alignments of a text.
const (
	Left Align = iota
	Centre
	Right
)

// Face names a typeface of package icons.
type Face string

// The faces used on drawings.
const (
	Sans      Face = "sans"
	SemiBold  Face = "sans-semibold"
	Condensed Face = "condensed"
)

// file is the TrueType file of the face.
func (f Face) file() []byte { return icons.Font(string(f)) }

// Hatch fills an area with parallel lines; the zero Hatch fills nothing.
// Angle is in degrees, clockwise from the X axis; Gap (between lines) and Width are in view units.
type Hatch struct {
	Angle, Gap, Width float64
	Cross             bool // a second set of lines at right angles
	Ink               Ink
}

// Op is one drawing operation. Path operations fill by the even-odd rule, then
// hatch, then stroke with round joins and round ends (dashes have flat ends).
type Op struct {
	Kind OpKind

	Path    shape.Path
	Fill    Ink
	NonZero bool // fill by the non-zero rule: the path may cross itself
	Hatch   Hatch
	Stroke  Ink
	Width   float64   // view units
	Dash    []float64 // on, off, on, off ... in view units; nil for a solid line

	Text  string
	At    shape.Pt // on the baseline
	Size  float64  // em in view units
	Align Align
	Face  Face
}

// List is drawn from first to last.
type List []Op

// Transform maps the geometry of every operation; widths and sizes stay.
func (l List) Transform(a shape.Affine) List {
	out := make(List, len(l))
	for i, op := range l {
		if op.Kind == PathOp {
			op.Path = op.Path.Transform(a)
		} else {
			op.At = a.Apply(op.At)
		}
		out[i] = op
	}
	return out
}

// Plain replaces every hatch by the stroked lines that it stands for. Call it
// in view units, after Transform.
func (l List) Plain() List {
	out := make(List, 0, len(l))
	for _, op := range l {
		h := op.Hatch
		if op.Kind != PathOp || h.Ink.A == 0 || !(h.Gap > 0) {
			out = append(out, op)
			continue
		}
		fill, edge := op, op
		fill.Hatch, fill.Stroke, edge.Hatch, edge.Fill = Hatch{}, Ink{}, Hatch{}, Ink{}
		if fill.Fill.A > 0 {
			out = append(out, fill)
		}
		if lines := h.Lines(op.Path); len(lines.Segs) > 0 {
			out = append(out, Op{Path: lines, Stroke: h.Ink, Width: h.Width})
		}
		if edge.Stroke.A > 0 {
			out = append(out, edge)
		}
	}
	return out
}

// Bounds is the smallest rectangle around the paths and text anchors, widths
// and the extent of texts left aside.
func (l List) Bounds() shape.Rect {
	var pts []shape.Pt
	for _, op := range l {
		if op.Kind == TextOp {
			pts = append(pts, op.At)
			continue
		}
		if len(op.Path.Segs) > 0 {
			b := op.Path.Bounds()
			pts = append(pts, b.Min, b.Max)
		}
	}
	return shape.RectAround(pts...)
}
