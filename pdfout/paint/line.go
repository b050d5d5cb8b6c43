package paint

import (
	"fmt"
	"strings"

	"wornwood/annotate/shape"
)

// Pen says how a path is drawn. The zero value draws nothing.
type Pen struct {
	Fill, Stroke *Ink
	Width        float64   // points
	Dash         []float64 // mm, on and off
	Butt         bool      // ends cut off square instead of rounded
	EvenOdd      bool      // holes by crossing count instead of by direction
}

// Line draws a straight line; width in points.
func (d *Doc) Line(x1, y1, x2, y2, width float64, ink Ink) {
	var p shape.Path
	p.MoveTo(shape.Pt{X: x1, Y: y1})
	p.LineTo(shape.Pt{X: x2, Y: y2})
	d.Path(p, Pen{Stroke: &ink, Width: width, Butt: true})
}

// Fill fills a rectangle.
func (d *Doc) Fill(x, y, w, h float64, ink Ink) { d.Path(box(x, y, w, h), Pen{Fill: &ink}) }

// Box draws a rectangle's edge; width in points.
func (d *Doc) Box(x, y, w, h, width float64, ink Ink) {
	d.Path(box(x, y, w, h), Pen{Stroke: &ink, Width: width, Butt: true})
}

func box(x, y, w, h float64) shape.Path {
	var p shape.Path
	p.MoveTo(shape.Pt{X: x, Y: y})
	p.LineTo(shape.Pt{X: x + w, Y: y})
	p.LineTo(shape.Pt{X: x + w, Y: y + h})
	p.LineTo(shape.Pt{X: x, Y: y + h})
	p.Close()
	return p
}

// Disc is a circle as a path, by the usual four cubics, whose largest error is
// 0.03 % of the radius.
func Disc(x, y, r float64) shape.Path {
	const k = 0.5522847498
	at := func(dx, dy float64) shape.Pt { return shape.Pt{X: x + dx*r, Y: y + dy*r} }
	var p shape.Path
	p.MoveTo(at(1, 0))
	p.CubicTo(at(1, k), at(k, 1), at(0, 1))
	p.CubicTo(at(-k, 1), at(-1, k), at(-1, 0))
	p.CubicTo(at(-1, -k), at(-k, -1), at(0, -1))
	p.CubicTo(at(k, -1), at(1, -k), at(1, 0))
	p.Close()
	return p
}

// Path draws a path whose points are mm on the page. Drawn outside a tag it is
// decoration that a screen reader passes over.
func (d *Doc) Path(p shape.Path, pen Pen) {
	if d.err != nil || len(p.Segs) == 0 || (pen.Fill == nil && pen.Stroke == nil) {
		return
	}
	if !d.tags.inContent() {
		d.Artifact(func() { d.Path(p, pen) })
		return
	}
	d.notePath(p, pen)
	var b strings.Builder
	b.WriteString("q ")
	op := "n"
	if pen.Fill != nil {
		b.WriteString(pen.Fill.fill() + " ")
		op = "f"
		if pen.EvenOdd {
			op = "f*"
		}
	}
	if pen.Stroke != nil {
		fmt.Fprintf(&b, "%s %.3f w ", pen.Stroke.stroke(), pen.Width)
		if !pen.Butt {
			b.WriteString("1 J 1 j ")
		}
		if len(pen.Dash) > 0 {
			b.WriteString("[")
			for _, v := range pen.Dash {
				fmt.Fprintf(&b, "%.2f ", v/pt)
			}
			b.WriteString("] 0 d ")
		}
		op = map[string]string{"n": "S", "f": "B", "f*": "B*"}[op]
	}
	d.segments(&b, p)
	b.WriteString(op + " Q")
	d.raw("%s", b.String())
}

func (d *Doc) segments(b *strings.Builder, p shape.Path) {
	pair := func(q shape.Pt) { fmt.Fprintf(b, "%.2f %.2f ", q.X/pt, (d.opt.Height-q.Y)/pt) }
	for _, s := range p.Segs {
		switch s.Op {
		case shape.Move:
			pair(s.P[0])
			b.WriteString("m ")
		case shape.Line:
			pair(s.P[0])
			b.WriteString("l ")
		case shape.Cubic:
			pair(s.P[0])
			pair(s.P[1])
			pair(s.P[2])
			b.WriteString("c ")
		case shape.Close:
			b.WriteString("h ")
		}
	}
}

// Clip draws only inside the path while fn runs. It belongs inside one tag or
// one artifact: the two must not cross.
func (d *Doc) Clip(p shape.Path, fn func()) {
	if d.err != nil {
		return
	}
	if !d.tags.inContent() {
		d.Artifact(func() { d.Clip(p, fn) })
		return
	}
	var b strings.Builder
	b.WriteString("q ")
	d.segments(&b, p)
	b.WriteString("W n")
	d.raw("%s", b.String())
	d.forget() // what is set inside ends with the Q
	d.noteClip(p, fn)
	d.raw("Q")
	d.forget()
	// Outside the clip the letter spacing may be what it was before, so it is
	// set to a known value.
	d.raw("0 Tc")
}

// ClipBox is Clip with a rectangle.
func (d *Doc) ClipBox(x, y, w, h float64, fn func()) { d.Clip(box(x, y, w, h), fn) }
