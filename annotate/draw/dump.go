package draw

import (
	"fmt"
	"strings"

	"wornwood/annotate/shape"
)

// String lists the operations one to a line, numbers to two decimals: what
// tests compare, because pixels with text differ from machine to machine.
func (l List) String() string {
	var b strings.Builder
	for _, op := range l {
		b.WriteString(op.String())
		b.WriteByte('\n')
	}
	return b.String()
}

// String is the operation in one line.
func (op Op) String() string {
	if op.Kind == TextOp {
		return fmt.Sprintf("text %q at %s size %.2f align %d %s ink %s", op.Text, pt(op.At), op.Size, op.Align, op.Face, op.Fill)
	}
	var b strings.Builder
	b.WriteString("path")
	if op.Fill.A > 0 {
		fmt.Fprintf(&b, " fill %s", op.Fill)
	}
	if op.NonZero {
		b.WriteString(" nonzero")
	}
	if op.Hatch.Ink.A > 0 {
		fmt.Fprintf(&b, " hatch %s angle %g gap %.2f cross %t", op.Hatch.Ink, op.Hatch.Angle, op.Hatch.Gap, op.Hatch.Cross)
	}
	if op.Stroke.A > 0 {
		fmt.Fprintf(&b, " stroke %s width %.2f", op.Stroke, op.Width)
		if len(op.Dash) > 0 {
			fmt.Fprintf(&b, " dash %.2f", op.Dash)
		}
	}
	for _, s := range op.Path.Segs {
		switch s.Op {
		case shape.Move:
			b.WriteString(" M" + pt(s.P[0]))
		case shape.Line:
			b.WriteString(" L" + pt(s.P[0]))
		case shape.Cubic:
			b.WriteString(" C" + pt(s.P[0]) + " " + pt(s.P[1]) + " " + pt(s.P[2]))
		case shape.Close:
			b.WriteString(" Z")
		}
	}
	return b.String()
}

func pt(p shape.Pt) string { return fmt.Sprintf("%.2f,%.2f", p.X+0, p.Y+0) }

// String is the ink as #rrggbbaa.
func (i Ink) String() string { return fmt.Sprintf("#%02x%02x%02x%02x", i.R, i.G, i.B, i.A) }
