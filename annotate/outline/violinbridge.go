package outline

import (
	"wornwood/annotate/shape"
	"wornwood/capture/record"
)

// violinBridge is a thin bridge that stands on two feet, a tailpiece on its
// gut over the saddle in the lower edge.
type violinBridge struct {
	width   figure `dim:"bridge, across its feet"`
	thick   figure `dim:"bridge, along the strings at its feet"`
	after   figure `dim:"bridge to the tailpiece's fret"`
	tail    figure `dim:"tailpiece, length"`
	tailTop figure `dim:"tailpiece, width at its fret"`
	tailEnd figure `dim:"tailpiece, width at the gut"`
	saddle  figure `dim:"saddle in the lower edge, across"`
	sill    figure `dim:"saddle in the lower edge, along the strings"`
}

// unit is its size against a violin's: small details keep their share.
func (b violinBridge) unit() float64 { return b.tail.mm / 108 }

func (b violinBridge) front() float64 { return b.thick.mm / 2 }

func (b violinBridge) stringEnd(pl *plan, i int) []shape.Pt {
	_, saddle := pl.stringEnds(i)
	y := pl.long + (b.after.mm+7*b.unit())*pl.size
	x := saddle.X * min(1, 0.72*b.tailTop.mm*pl.size/max(1, pl.stringSpan(pl.long)))
	return []shape.Pt{saddle, {X: x, Y: y}}
}

func (b violinBridge) draw(pl *plan, s *sheet) {
	b.drawTail(pl, s)
	k, y, u := pl.size, pl.long, pl.size*b.unit()
	w, h := max(b.width.mm*k/2, pl.stringSpan(y)/2+3*u), b.thick.mm*k/2
	half := []node{
		{X: 0, Y: y + h*0.8, Angle: 180, Out: w * 0.35},
		{X: -w * 0.72, Y: y + h, Angle: 180, In: w * 0.2, Out: w * 0.15},
		{X: -w, Y: y, Angle: 270, In: h * 0.6, Out: h * 0.6},
		{X: -w * 0.72, Y: y - h, Angle: 0, In: w * 0.15, Out: w * 0.2},
		{X: 0, Y: y - h*0.8, Angle: 0, In: w * 0.35},
	}
	s.add("bridge", "bridge", record.Bridge, 0, shape.FromCurves(throughNodes(whole(half), true), true))
	top := pl.stringSpan(y)/2 + 2*u
	s.stroke(thin, shape.Polyline(shape.Pt{X: -top, Y: y}, shape.Pt{X: top, Y: y}))
}

func (b violinBridge) drawTail(pl *plan, s *sheet) {
	k, end, u := pl.size, pl.endY(), pl.size*b.unit()
	sill, wide := b.sill.mm*k, b.saddle.mm*k/2
	s.add("saddle", "saddle", record.Bridge, 0, pl.sillPath(wide, end-sill))
	top := pl.long + b.after.mm*k
	low := min(top+b.tail.mm*k, end-sill-3*u)
	w, v := b.tailTop.mm*k/2, b.tailEnd.mm*k/2
	// The gut, from the tailpiece over the saddle to the end button.
	for _, side := range []float64{-1, 1} {
		s.stroke(medium, shape.Polyline(shape.Pt{X: side * v * 0.45, Y: low - 2*u}, shape.Pt{X: side * 2.2 * u, Y: end - 0.5*u}))
	}
	half := []node{
		{X: 0, Y: low, Angle: 180, Out: v * 0.5},
		{X: -v, Y: low - v*0.7, Angle: 268, In: v * 0.45, Out: (low - top) * 0.3},
		{X: -w, Y: top + w*0.42, Angle: 270, In: (low - top) * 0.35, Out: w * 0.24},
		{X: -w * 0.8, Y: top + w*0.06, Angle: 330, In: w * 0.1, Out: w * 0.3},
		{X: 0, Y: top - w*0.12, Angle: 0, In: w * 0.4},
	}
	s.add("tailpiece", "tailpiece", record.Bridge, 0, shape.FromCurves(throughNodes(whole(half), true), true))
	fret := []node{
		{X: -w * 0.96, Y: top + w*0.3, Angle: 340, Out: w * 0.5},
		{X: w * 0.96, Y: top + w*0.3, Angle: 20, In: w * 0.5},
	}
	s.stroke(medium, shape.FromCurves(throughNodes(fret, false), false))
	for i := range pl.p.Strings {
		at := b.stringEnd(pl, i)[1]
		s.stroke(thin, shape.Circle(at, 1.3*u))
		s.stroke(thin, shape.Polyline(shape.Pt{X: at.X, Y: at.Y + 1.3*u}, shape.Pt{X: at.X, Y: at.Y + 7*u}))
	}
}

// sillPath is the block let into the lower edge, down to the body's own curve.
func (pl *plan) sillPath(wide, top float64) shape.Path {
	pts := []shape.Pt{{X: -wide, Y: top}, {X: wide, Y: top}}
	st := pl.strips[TrebleSide]
	bottom := func(line []shape.Pt, sign float64) []shape.Pt {
		var out []shape.Pt
		for i := len(line) - 1; i >= 0 && sign*line[i].X < wide; i-- {
			if i%4 == 0 || i == len(line)-1 {
				out = append(out, line[i])
			}
		}
		return out
	}
	right := bottom(st.line, 1)
	for i := len(right) - 1; i >= 0; i-- {
		pts = append(pts, right[i])
	}
	return shape.Polygon(append(pts, bottom(pl.strips[BassSide].line, -1)[1:]...)...)
}
