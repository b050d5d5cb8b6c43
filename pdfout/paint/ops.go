package paint

import (
	"wornwood/annotate/draw"
	"wornwood/annotate/shape"
)

// Ops draws a list of operations, the same that the screen shows. view takes
// the list's unit to mm on the page; line widths, dashes, hatches and text
// sizes of the list are points. Inks with an alpha are mixed with the paper, so
// that no transparency is needed.
func (d *Doc) Ops(list draw.List, view shape.Affine) {
	if d.err != nil {
		return
	}
	if !d.tags.inContent() {
		d.Artifact(func() { d.Ops(list, view) })
		return
	}
	// A hatch is drawn in the unit of its gaps, so it is resolved in points.
	plain := list.Transform(view.Then(shape.Scale(1/pt, 1/pt))).Plain().Transform(shape.Scale(pt, pt))
	for _, op := range plain {
		if op.Kind == draw.TextOp {
			d.opText(op)
			continue
		}
		d.Path(op.Path, Pen{Fill: onPaper(op.Fill), Stroke: onPaper(op.Stroke), Width: op.Width,
			Dash: inMM(op.Dash), Butt: len(op.Dash) > 0, EvenOdd: true})
	}
}

func (d *Doc) opText(op draw.Op) {
	ink := onPaper(op.Fill)
	if ink == nil {
		return
	}
	f := Font{Face: Face(op.Face), Size: op.Size}
	switch op.Align {
	case draw.Centre:
		d.Centre(op.At.X, op.At.Y, op.Text, f, *ink)
	case draw.Right:
		d.Right(op.At.X, op.At.Y, op.Text, f, *ink)
	default:
		d.Text(op.At.X, op.At.Y, op.Text, f, *ink)
	}
}

// onPaper is an ink of the drawing as it looks on white paper, nil for none.
func onPaper(i draw.Ink) *Ink {
	if i.A == 0 {
		return nil
	}
	mix := func(v uint8) uint8 { return uint8((int(v)*int(i.A) + 255*(255-int(i.A)) + 127) / 255) }
	return &Ink{mix(i.R), mix(i.G), mix(i.B)}
}

func inMM(points []float64) []float64 {
	out := make([]float64, len(points))
	for i, v := range points {
		out[i] = v * pt
	}
	return out
}
