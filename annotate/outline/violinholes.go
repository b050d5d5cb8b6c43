package outline

import (
	"math"

	"wornwood/annotate/shape"
)

// violinHoles are the two f-holes of a belly. One form serves every size: two
// round eyes, a stem that is widest at the nicks, and a wing of wood at either
// end that is cut off straight beside its eye.
type violinHoles struct {
	length figure  `dim:"f-hole, length"`
	tops   figure  `dim:"f-holes, between the upper eyes"`
	nick   float64 // Y of the nicks, at the bridge
	slant  float64 // degrees by which the form leans, its lower eye outwards
}

// The form is drawn 76.5 mm long, the middle of its stem at the origin, as the
// hole on the bass side.
const holeLength = 76.5

// holeEye is one eye of the form.
type holeEye struct {
	at shape.Pt
	r  float64
}

var (
	upperEye = holeEye{shape.Pt{X: 23.5, Y: -30}, 3.2}
	lowerEye = holeEye{shape.Pt{X: -20.5, Y: 24.5}, 4.3}
)

// holeEnd is one end of the form, from the nick of the stem's outer edge round
// its eye to the nick of its inner edge, both edges as on the upper end: out
// over the bow, down the eye's far side, round the eye, along the wing's cut
// and down the stem.
func holeEnd(e holeEye, bow shape.Pt, wide float64) []node {
	const quarter = 0.5523 // of the radius: a cubic's control for a quarter circle
	q, x, y := e.r*quarter, e.at.X, e.at.Y
	return []node{
		{X: -wide * 0.5, Y: -1.2, Angle: 279, Out: 9},
		{X: -wide*0.5 + 3.4, Y: bow.Y * 0.56, Angle: 282, In: 7, Out: 9},
		{X: bow.X, Y: bow.Y, Angle: 0, In: 7.4, Out: 6},
		{X: x + e.r, Y: y, Angle: 90, In: 4.6, Out: q},
		{X: x, Y: y + e.r, Angle: 180, In: q, Out: q},
		{X: x - e.r, Y: y, Angle: 270, In: q, Out: q * 0.8},
		{X: x - e.r*0.5, Y: y - e.r*0.87, Angle: 330, In: q * 0.6, Out: 1.2, Turn: -110},
		{X: x - e.r*0.5 - 3.2, Y: y - e.r*0.87 - 2.2, Angle: 212, In: 1.2, Out: 3, Turn: -50},
		{X: bow.X - 4.9, Y: bow.Y + 8.6, Angle: 156, In: 3, Out: 4, Turn: -42},
		{X: wide*0.5 + (bow.X-8)*0.22, Y: bow.Y * 0.42, Angle: 98, In: 6, Out: 6},
		{X: wide * 0.5, Y: -1.2, Angle: 96, In: 5},
	}
}

// holeForm is the whole ring, clockwise from the upper nick of the outer edge.
func holeForm() []shape.Curve {
	const wide, deep = 6.6, 1.5
	upper := holeEnd(upperEye, shape.Pt{X: 14.2, Y: -40.3}, wide)
	lower := holeEnd(holeEye{shape.Mul(lowerEye.at, -1), lowerEye.r}, shape.Pt{X: 11.6, Y: -36.2}, wide)
	half := func(n []node, turn float64) []shape.Curve {
		return mapCurves(throughNodes(n, false), shape.Scale(turn, turn).Apply)
	}
	nick := func(from, to shape.Pt, side float64) []shape.Curve {
		tip := shape.Pt{X: side * (wide/2 + deep)}
		return []shape.Curve{shape.LineCurve(from, tip), shape.LineCurve(tip, to)}
	}
	a, b := half(upper, 1), half(lower, -1)
	ring := append([]shape.Curve(nil), a...)
	ring = append(ring, nick(a[len(a)-1].P[3], b[0].P[0], 1)...)
	ring = append(ring, b...)
	return append(ring, nick(b[len(b)-1].P[3], a[0].P[0], -1)...)
}

// place moves the form to the bass side of the class's belly.
func (h violinHoles) place() shape.Affine {
	k := h.length.mm / holeLength
	lean := shape.Rotate(h.slant * math.Pi / 180)
	inner := k * (lean.Apply(upperEye.at).X + upperEye.r)
	return shape.Scale(k, k).Then(lean).Then(shape.Translate(shape.Pt{X: -h.tops.mm/2 - inner, Y: h.nick}))
}

func (h violinHoles) draw(pl *plan, s *sheet) {
	ring := mapCurves(holeForm(), h.place().Apply)
	for _, q := range []struct {
		word string
		side float64
	}{{"bass", 1}, {"treble", -1}} {
		path := shape.FromCurves(pl.onBodyAll(mapCurves(ring, shape.Scale(q.side, 1).Apply)), true)
		s.hole("f-hole-"+q.word, q.word+" f-hole", pl.class.body.front.part, path)
	}
}
