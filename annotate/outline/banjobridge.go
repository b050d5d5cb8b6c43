package outline

import (
	"wornwood/annotate/shape"
	"wornwood/capture/record"
)

// banjoBridge is a thin bridge that stands on the skin on three feet, and a
// tailpiece that hangs from the end of the rim and reaches over the hoop.
type banjoBridge struct {
	width figure `dim:"bridge, across the strings"`
	foot  figure `dim:"bridge's feet, along the strings"`
	top   figure `dim:"bridge's top, along the strings"`
	tail  figure `dim:"tailpiece, across"`
	low   figure `dim:"nut to the end of the tailpiece"`
	high  figure `dim:"nut to the front of the tailpiece"`
}

func (b banjoBridge) front() float64 { return b.foot.mm / 2 }

// tailEnds are the heights of the tailpiece's front and end.
func (b banjoBridge) tailEnds(pl *plan) (high, low float64) {
	low = pl.onBody(shape.Pt{Y: b.low.mm}).Y
	return max(pl.onBody(shape.Pt{Y: b.high.mm}).Y, pl.long+12*pl.size), low
}

func (b banjoBridge) tailHalf(pl *plan) float64 { return b.tail.mm * pl.bulk / 2 }

func (b banjoBridge) stringEnd(pl *plan, i int) []shape.Pt {
	_, saddle := pl.stringEnds(i)
	high, _ := b.tailEnds(pl)
	span := pl.stringSpan(pl.long)
	x := pl.stringX(i, pl.long) * min(1, 2*(b.tailHalf(pl)-3*pl.bulk)/max(1, span))
	return []shape.Pt{saddle, {X: x, Y: high + 5*pl.bulk}}
}

func (b banjoBridge) draw(pl *plan, s *sheet) {
	b.drawTail(pl, s)
	k, y := pl.size, pl.long
	s.lean = pl.lean(y)
	w, h, t := max(b.width.mm*k/2, pl.stringSpan(y)/2+8*k), b.foot.mm*k/2, b.top.mm*k/2
	f := 5 * k // half a foot, across
	half := []node{
		{X: 0, Y: y + h, Angle: 180, Out: f * 0.5},
		{X: -f * 1.6, Y: y + t*1.5, Angle: 180, In: f * 0.6, Out: w * 0.1},
		{X: -w * 0.55, Y: y + t*1.5, Angle: 180, In: w * 0.12, Out: w * 0.1},
		{X: -w + f, Y: y + h, Angle: 180, In: f * 0.8, Out: f * 0.5},
		{X: -w, Y: y, Angle: 270, In: h * 0.55, Out: h * 0.55},
		{X: -w + f, Y: y - h, Angle: 0, In: f * 0.5, Out: f * 0.8},
		{X: -w * 0.55, Y: y - t*1.5, Angle: 0, In: w * 0.1, Out: w * 0.12},
		{X: -f * 1.6, Y: y - t*1.5, Angle: 0, In: w * 0.1, Out: f * 0.6},
		{X: 0, Y: y - h, Angle: 0, In: f * 0.5},
	}
	s.add("bridge", "bridge", record.Bridge, 0, shape.FromCurves(throughNodes(whole(half), true), true))
	across := w - 2.5*k
	s.stroke(thin, shape.RoundRect(rectAt(shape.Pt{Y: y}, across, t*0.8), t*0.8))
}

func (b banjoBridge) drawTail(pl *plan, s *sheet) {
	high, low := b.tailEnds(pl)
	w, long := b.tailHalf(pl), low-high
	half := []node{
		{X: 0, Y: low, Angle: 180, Out: w * 0.3},
		{X: -w * 0.5, Y: low - long*0.05, Angle: 270, In: w * 0.14, Out: long * 0.1},
		{X: -w * 0.62, Y: low - long*0.5, Angle: 274, In: long * 0.16, Out: long * 0.12},
		{X: -w, Y: high + long*0.22, Angle: 270, In: long * 0.14, Out: long * 0.1},
		{X: -w * 0.8, Y: high, Angle: 0, In: w * 0.22, Out: w * 0.2},
		{X: 0, Y: high, Angle: 0, In: w * 0.4},
	}
	s.add("tailpiece", "tailpiece", record.Bridge, 0, shape.FromCurves(throughNodes(whole(half), true), true))
	s.stroke(thin, shape.Polyline(shape.Pt{X: -w * 0.9, Y: high + long*0.16}, shape.Pt{X: w * 0.9, Y: high + long*0.16}))
	for i := range pl.p.Strings {
		s.dot(b.stringEnd(pl, i)[1], min(0.9*pl.bulk, pl.saddleHalf()*0.4))
	}
	s.screw(shape.Pt{Y: low - long*0.3}, 2.4*pl.bulk)
}
