package outline

import (
	"wornwood/annotate/shape"
	"wornwood/capture/record"
)

// trapezeTail hangs from the end of the body: a hinge over the edge, two rods
// that spread, and a bar across them that holds the strings.
type trapezeTail struct {
	length figure `dim:"tailpiece, from the body's end"`
	bar    figure `dim:"tailpiece's bar, across"`
	deep   figure `dim:"tailpiece's bar, along the strings"`
	hinge  figure `dim:"tailpiece's hinge, across"`
	plate  figure `dim:"tailpiece's hinge, from the body's end"`
	rod    figure `dim:"tailpiece's rods, across"`
}

// top is the height of the bar's front edge. It keeps its share of the way
// from the bridge to the end of the body.
func (t trapezeTail) top(pl *plan) float64 {
	usual := shape.FromCurves(pl.class.body.curves(), true).Bounds().Max.Y - pl.scale.mm
	return pl.endY() - t.length.mm*(pl.endY()-pl.long)/usual
}

func (t trapezeTail) half(pl *plan) float64 {
	return max(t.bar.mm*pl.size/2, pl.stringSpan(pl.long)/2+7*pl.size)
}

func (t trapezeTail) hold(pl *plan, i int) shape.Pt {
	return shape.Pt{X: pl.stringX(i, pl.long), Y: t.top(pl) + t.deep.mm*pl.size*0.55}
}

func (t trapezeTail) draw(pl *plan, s *sheet) {
	k, end := pl.size, pl.endY()
	top, half, deep := t.top(pl), t.half(pl), t.deep.mm*k
	foot, low, r := t.hinge.mm*k/2, end-t.plate.mm*k, t.rod.mm*k/2
	for _, q := range []struct {
		word string
		side float64
	}{{"bass", -1}, {"treble", 1}} {
		x0, x1 := q.side*(half-7*k), q.side*(foot-4*k)
		s.add("tailpiece-rod-"+q.word, "tailpiece's "+q.word+" rod", record.Bridge, 0, shape.Polygon(
			shape.Pt{X: x0 - r, Y: top + deep*0.5}, shape.Pt{X: x0 + r, Y: top + deep*0.5},
			shape.Pt{X: x1 + r, Y: low + 4*k}, shape.Pt{X: x1 - r, Y: low + 4*k}))
	}
	bow := []node{
		{X: 0, Y: top + deep, Angle: 180, Out: half * 0.4},
		{X: -half + deep*0.4, Y: top + deep*0.86, Angle: 176, In: half * 0.3, Out: deep * 0.22},
		{X: -half, Y: top + deep*0.46, Angle: 270, In: deep * 0.24, Out: deep * 0.24},
		{X: -half + deep*0.4, Y: top + deep*0.06, Angle: 4, In: deep * 0.22, Out: half * 0.3},
		{X: 0, Y: top, Angle: 0, In: half * 0.4},
	}
	s.add("tailpiece", "tailpiece", record.Bridge, 0, shape.FromCurves(throughNodes(whole(bow), true), true))
	for i := range pl.p.Strings {
		s.dot(t.hold(pl, i), min(1.2*k, pl.saddleHalf()*0.5))
	}
	s.add("tailpiece-hinge", "tailpiece's hinge", record.Bridge, 0,
		shape.RoundRect(shape.Rect{Min: shape.Pt{X: -foot, Y: low}, Max: shape.Pt{X: foot, Y: end - 1.6*k}}, 4*k))
	for _, side := range []float64{-1, 1} {
		s.screw(shape.Pt{X: side * foot * 0.5, Y: end - t.plate.mm*k*0.36}, 1.8*k)
	}
}
