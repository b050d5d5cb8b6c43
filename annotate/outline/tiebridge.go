package outline

import (
	"wornwood/annotate/shape"
	"wornwood/capture/record"
)

// tieBridge is the glued bridge of a nylon-string guitar: a saddle in a slot,
// and behind it a block to which the strings are tied.
type tieBridge struct {
	width  figure `dim:"bridge, across the strings"`
	middle figure `dim:"bridge along the strings, in its middle"`
	wing   figure `dim:"bridge along the strings, at its ends"`
	before figure `dim:"bridge before the scale length"`
	tie    figure `dim:"saddle to the front of the tie block"`
	block  figure `dim:"tie block, along the strings"`
}

func (b tieBridge) front() float64 { return b.before.mm }

func (b tieBridge) stringEnd(pl *plan, i int) []shape.Pt {
	_, saddle := pl.stringEnds(i)
	return []shape.Pt{saddle, {X: saddle.X, Y: saddle.Y + (b.tie.mm+b.block.mm)*pl.size}}
}

func (b tieBridge) draw(pl *plan, s *sheet) {
	k, y := pl.size, pl.long
	s.lean = pl.lean(y)
	inner := pl.stringSpan(y)/2 + 11*k
	w := max(b.width.mm*k/2, inner+22*k)
	top, deep, wing := y-b.before.mm*k, b.middle.mm*k, b.wing.mm*k
	mid := top + deep/2
	half := []node{
		{X: 0, Y: top + deep, Angle: 180, Out: inner * 0.6},
		{X: -inner + 5*k, Y: top + deep, Angle: 180, In: inner * 0.2, Out: 4 * k},
		{X: -inner - 6*k, Y: mid + wing/2, Angle: 180, In: 4 * k, Out: 8 * k},
		{X: -w + 7*k, Y: mid + wing*0.46, Angle: 180, In: 10 * k, Out: 4.5 * k},
		{X: -w, Y: mid, Angle: 270, In: wing * 0.3, Out: wing * 0.3},
		{X: -w + 7*k, Y: mid - wing*0.46, Angle: 0, In: 4.5 * k, Out: 10 * k},
		{X: -inner - 6*k, Y: mid - wing/2, Angle: 0, In: 8 * k, Out: 4 * k},
		{X: -inner + 5*k, Y: top, Angle: 0, In: 4 * k, Out: inner * 0.2},
		{X: 0, Y: top, Angle: 0, In: inner * 0.6},
	}
	s.add("bridge", "bridge", record.Bridge, 0, shape.FromCurves(throughNodes(whole(half), true), true))
	across := func(weight, x0, x1, y0, y1 float64) {
		s.stroke(weight, shape.Polygon(shape.Pt{X: x0, Y: y0}, shape.Pt{X: x1, Y: y0}, shape.Pt{X: x1, Y: y1}, shape.Pt{X: x0, Y: y1}))
	}
	sx := inner - 4*k
	across(medium, -sx, sx, y-1.2*k, y+1.4*k)
	near, far := y+b.tie.mm*k, y+(b.tie.mm+b.block.mm)*k
	across(thin, -inner, inner, near, far)
	for _, e := range []float64{near + 2.6*k, far - 2.6*k} {
		s.stroke(hair, shape.Polyline(shape.Pt{X: -inner, Y: e}, shape.Pt{X: inner, Y: e}))
	}
	b.strokeKnots(pl, s, near, far)
}

// strokeKnots draws how each string comes back over the block and is caught
// under itself.
func (b tieBridge) strokeKnots(pl *plan, s *sheet, near, far float64) {
	d := min(2.4*pl.size, 0.3*pl.saddleHalf())
	for i := range pl.p.Strings {
		_, saddle := pl.stringEnds(i)
		x := saddle.X
		s.stroke(hair, shape.Polyline(shape.Pt{X: x, Y: near}, shape.Pt{X: x + d, Y: near + 2*pl.size}, shape.Pt{X: x + d, Y: far}))
		s.dot(shape.Pt{X: x, Y: far}, min(0.9*pl.size, d*0.5))
	}
}
