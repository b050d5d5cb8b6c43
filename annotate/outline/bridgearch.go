package outline

import (
	"wornwood/annotate/shape"
	"wornwood/capture/record"
)

// postBridge is a bar with saddles on two posts, and behind it a bar that
// holds the strings' ends.
type postBridge struct {
	half  figure `dim:"half the bridge's width along the strings"`
	reach figure `dim:"bridge beyond the outer strings"`
	tail  figure `dim:"bridge to tailpiece"`
	bar   figure `dim:"half the tailpiece's width along the strings"`
}

func (b postBridge) front() float64 { return b.half.mm }

func (b postBridge) stringEnd(pl *plan, i int) []shape.Pt {
	_, saddle := pl.stringEnds(i)
	return []shape.Pt{saddle, {X: saddle.X, Y: saddle.Y + b.tail.mm*pl.size}}
}

func (b postBridge) draw(pl *plan, s *sheet) {
	k, y := pl.size, pl.long
	s.lean = pl.lean(y)
	half := pl.stringSpan(y)/2 + b.reach.mm*k
	bar := func(slug, name string, y, hy float64) {
		s.add(slug, name, record.Bridge, 0, shape.RoundRect(rectAt(shape.Pt{Y: y}, half, hy), hy))
		for _, side := range []float64{-1, 1} {
			c := shape.Pt{X: side * (half - hy), Y: y}
			s.stroke(thin, shape.Circle(c, hy*0.62))
			s.screw(c, hy*0.3)
		}
	}
	bar("bridge", "bridge", y, b.half.mm*k)
	for i := range pl.p.Strings {
		x, hx := pl.stringX(i, y), min(pl.saddleHalf(), 3.4*k)
		s.stroke(thin, shape.Polygon(shape.Pt{X: x - hx, Y: y - 4*k}, shape.Pt{X: x + hx, Y: y - 4*k}, shape.Pt{X: x + hx, Y: y + 4*k}, shape.Pt{X: x - hx, Y: y + 4*k}))
	}
	bar("tailpiece", "tailpiece", y+b.tail.mm*k, b.bar.mm*k)
}

// pinBridge is the glued bridge of a flat-top: a saddle in a slot, and a pin
// for each string behind it.
type pinBridge struct {
	width  figure `dim:"bridge, across the strings"`
	middle figure `dim:"bridge along the strings, in its middle"`
	wing   figure `dim:"bridge along the strings, at its ends"`
	before figure `dim:"bridge before the scale length"`
	pins   figure `dim:"saddle to the pins"`
}

func (b pinBridge) front() float64 { return b.before.mm }

func (b pinBridge) stringEnd(pl *plan, i int) []shape.Pt {
	_, saddle := pl.stringEnds(i)
	return []shape.Pt{saddle, b.pin(pl, i)}
}

func (b pinBridge) pin(pl *plan, i int) shape.Pt {
	_, saddle := pl.stringEnds(i)
	saddle.Y += b.pins.mm * pl.size
	return saddle
}

func (b pinBridge) draw(pl *plan, s *sheet) {
	k, y := pl.size, pl.long
	s.lean = pl.lean(y)
	w := max(b.width.mm*k/2, pl.stringSpan(y)/2+22*k)
	top, deep, wing := y-b.before.mm*k, b.middle.mm*k, b.wing.mm*k
	mid := top + deep*0.5
	inner := pl.stringSpan(y)/2 + 7*k
	// Thick under the strings, swept to lower wings with round ends.
	half := []node{
		{X: 0, Y: top + deep, Angle: 180, Out: inner * 0.6},
		{X: -w + wing*0.7, Y: mid + wing/2, Angle: 180, In: (w - inner) * 0.75, Out: wing * 0.35},
		{X: -w, Y: mid, Angle: 270, In: wing * 0.28, Out: wing * 0.28},
		{X: -w + wing*0.7, Y: mid - wing/2, Angle: 0, In: wing * 0.35, Out: (w - inner) * 0.5},
		{X: -inner, Y: top, Angle: 0, In: (w - inner) * 0.4, Out: inner * 0.4},
		{X: 0, Y: top, Angle: 0, In: inner * 0.4},
	}
	s.add("bridge", "bridge", record.Bridge, 0, shape.FromCurves(throughNodes(whole(half), true), true))
	// The saddle leans for the thicker strings, which sound sharp when pressed.
	sx := pl.stringSpan(y)/2 + 6*k
	s.stroke(medium, shape.Polygon(
		shape.Pt{X: -sx, Y: y + 0.6*k}, shape.Pt{X: sx, Y: y - 1.6*k}, shape.Pt{X: sx, Y: y + 1.2*k}, shape.Pt{X: -sx, Y: y + 3.4*k}))
	for i := range pl.p.Strings {
		at := shape.Pt{X: pl.stringX(i, y), Y: y + b.pins.mm*k}
		r := min(3.2*k, pl.saddleHalf())
		s.stroke(thin, shape.Circle(at, r))
		s.dot(at, r*0.4)
	}
}

// floatingBridge stands on an arched top; a tailpiece at the body's end holds
// the strings.
type floatingBridge struct {
	width  figure `dim:"bridge's foot, across the strings"`
	foot   figure `dim:"half the bridge's foot along the strings"`
	height figure `dim:"half the bridge's top along the strings"`
	tail   tailKind
}

// tailKind is a kind of tailpiece that hangs from the end of the body.
type tailKind interface {
	part
	hold(pl *plan, i int) shape.Pt // where the string is hooked
}

func (b floatingBridge) front() float64 { return b.foot.mm }

func (b floatingBridge) stringEnd(pl *plan, i int) []shape.Pt {
	_, saddle := pl.stringEnds(i)
	return []shape.Pt{saddle, b.tail.hold(pl, i)}
}

func (b floatingBridge) draw(pl *plan, s *sheet) {
	k, y := pl.size, pl.long
	b.tail.draw(pl, s)
	s.lean = pl.lean(y)
	w, h := max(b.width.mm*k/2, pl.stringSpan(y)/2+9*k), b.foot.mm*k
	half := []node{
		{X: 0, Y: y + h, Angle: 180, Out: w * 0.5},
		{X: -w + h, Y: y + h*0.8, Angle: 182, In: w * 0.3, Out: h * 0.5},
		{X: -w, Y: y, Angle: 270, In: h * 0.45, Out: h * 0.45},
		{X: -w + h, Y: y - h*0.8, Angle: 358, In: h * 0.5, Out: w * 0.3},
		{X: 0, Y: y - h, Angle: 0, In: w * 0.5},
	}
	s.add("bridge", "bridge", record.Bridge, 0, shape.FromCurves(throughNodes(whole(half), true), true))
	top := pl.stringSpan(y)/2 + 5*k
	s.stroke(thin, shape.RoundRect(rectAt(shape.Pt{Y: y}, top, b.height.mm*k), b.height.mm*k))
	for _, side := range []float64{-1, 1} {
		s.stroke(thin, shape.Circle(shape.Pt{X: side * (top + 5*k), Y: y}, 2.6*k))
	}
}

// plateTail is a stamped tailpiece over the body's end, its hooks under a
// cover.
type plateTail struct {
	width  figure `dim:"tailpiece, across"`
	length figure `dim:"tailpiece, from the body's end"`
}

func (t plateTail) top(pl *plan) float64 {
	return pl.endY() - t.length.mm*pl.bulk
}

func (t plateTail) hold(pl *plan, i int) shape.Pt {
	y := t.top(pl) + 3*pl.bulk
	half := t.width.mm*pl.bulk/2 - 6*pl.bulk
	x := pl.stringX(i, pl.long)
	return shape.Pt{X: x * min(1, 2*half/max(1, pl.stringSpan(pl.long))), Y: y}
}

func (t plateTail) draw(pl *plan, s *sheet) {
	k := pl.bulk
	top, end, w := t.top(pl), pl.endY(), t.width.mm*k/2
	long := end - top
	half := []node{
		{X: 0, Y: end - 0.6*k, Angle: 180, Out: w * 0.4},
		{X: -w * 0.72, Y: end - 3*k, Angle: 186, In: w * 0.2, Out: w * 0.1, Turn: 70},
		{X: -w * 0.8, Y: end - long*0.3, Angle: 268, In: long * 0.1, Out: long * 0.16},
		{X: -w, Y: top + long*0.28, Angle: 270, In: long * 0.16, Out: long * 0.16},
		{X: -w * 0.7, Y: top + 2*k, Angle: 330, In: w * 0.3, Out: w * 0.3},
		{X: 0, Y: top, Angle: 0, In: w * 0.35},
	}
	s.add("tailpiece", "tailpiece", record.Bridge, 0, shape.FromCurves(throughNodes(whole(half), true), true))
	arc := []node{
		{X: -w * 0.93, Y: top + long*0.42, Angle: 20, Out: w * 0.5},
		{X: w * 0.93, Y: top + long*0.42, Angle: 340, In: w * 0.5},
	}
	s.stroke(thin, shape.FromCurves(throughNodes(arc, false), false))
	s.screw(shape.Pt{Y: end - 9*k}, 1.8*k)
}

// endY is the height of the body's end on the centre line.
func (pl *plan) endY() float64 {
	l := pl.strips[BassSide].line
	return l[len(l)-1].Y
}
