package outline

import (
	"wornwood/annotate/shape"
	"wornwood/capture/record"
)

// scroll is a pegbox with friction pegs that ends in a scroll. Its details keep
// their share of the head's length.
type scroll struct {
	length figure `dim:"nut to the top of the scroll"`
	box    figure `dim:"nut to the end of the pegbox"`
	wide   figure `dim:"pegbox, across at the nut"`
	narrow figure `dim:"pegbox, across at its end"`
	eyes   figure `dim:"scroll, across its eyes"`
	collar figure `dim:"peg, from the pegbox to its end"`
}

func (h scroll) shape(pl *plan) headstock {
	nut := pl.nutHalf / pl.size
	n, w, v, e := h.narrow.mm/2, h.cheeks(pl), h.box.mm, h.eyes.mm/2
	top, turn, k := h.length.mm, h.eyeAt(), h.unit()
	body := h.turnHalf()
	half := []node{
		{X: -nut, Y: -pl.nutLength.mm, Angle: 250, Out: 3 * k},
		{X: -w, Y: -pl.nutLength.mm - 9*k, Angle: 272, In: 4 * k, Out: v * 0.3},
		{X: -n, Y: -v + 3*k, Angle: 274, In: v * 0.3, Out: 4 * k},
		{X: -body, Y: -turn + 9*k, Angle: 270, In: 7 * k, Out: 1.5 * k},
		{X: -body, Y: -turn + 5.6*k, Angle: 275, In: 1.5 * k, Out: (e - body) * 0.45, Turn: -62},
		{X: -e + 0.9*k, Y: -turn + 3.7*k, Angle: 184, In: (e - body) * 0.4, Out: 0.5 * k},
		{X: -e, Y: -turn + 2.7*k, Angle: 270, In: 0.6 * k, Out: 1.6 * k},
		{X: -e, Y: -turn - 2.7*k, Angle: 270, In: 1.6 * k, Out: 0.6 * k},
		{X: -e + 0.9*k, Y: -turn - 3.7*k, Angle: 356, In: 0.5 * k, Out: (e - body) * 0.4},
		{X: -body + 0.6*k, Y: -turn - 5.6*k, Angle: 322, In: (e - body) * 0.45, Out: 3.4 * k, Turn: -50},
		{X: -body * 0.64, Y: -top + 6*k, Angle: 285, In: 5 * k, Out: 3.6 * k},
		{X: 0, Y: -top, Angle: 0, In: body * 0.45},
	}
	head := pl.newHeadstock(mirroredOpen(half))
	for s := 1; s <= pl.p.Strings; s++ {
		head.tuners = append(head.tuners, h.peg(pl, head.path, s))
	}
	return head
}

// unit is the head's size against a violin's.
func (h scroll) unit() float64 { return h.length.mm / 107 }

// cheeks is half the pegbox's width at the nut.
func (h scroll) cheeks(pl *plan) float64 { return max(h.wide.mm/2, pl.nutHalf/pl.size+1) }

// turnHalf is half the width of the turns behind the eyes.
func (h scroll) turnHalf() float64 { return h.narrow.mm/2 + (h.eyes.mm-h.narrow.mm)/2*0.48 }

// eyeAt is the height of the eyes above the nut.
func (h scroll) eyeAt() float64 { return h.box.mm + (h.length.mm-h.box.mm)*0.44 }

// peg is the peg of string s: the bass half's on the bass side.
func (h scroll) peg(pl *plan, head shape.Path, s int) tuner {
	n := pl.p.Strings
	k := pl.size * h.unit() * h.fit(n)
	side := 1.0
	if s > n/2 {
		side = -1
	}
	y := -pl.size * (pl.nutLength.mm + h.box.mm*h.place(n-s, n))
	edge := headEdgeAt(head, side, y-3.5*k, y, y+3.5*k)
	// A string winds on its own share of the roller, so that none crosses another.
	room := pl.troughHalf(h, y) - k
	x := max(-room, min(room, 0.55*pl.stringX(n-s, 0)))
	return tuner{post: shape.Pt{X: x, Y: y}, side: side, button: pegHead(side, edge.far+0.3*k, y, k, h.collar.mm/h.unit()/h.fit(n))}
}

// fit is how large the heads of n pegs may be so that neighbours on one side
// keep apart.
func (h scroll) fit(n int) float64 {
	step := 2 * 0.66 * h.box.mm / float64(max(1, n-1))
	return min(1, (step-0.5)/(11*h.unit()))
}

// place is where the peg of the string with the index from the bass side
// stands, as a share of the pegbox. Pegs of the two sides alternate from the
// nut on, the lowest string's first, then the highest's.
func (scroll) place(i, n int) float64 {
	rank := 2 * i
	if i >= n-n/2 {
		rank = 2*(n-1-i) + 1
	}
	return 0.17 + 0.66*float64(rank)/float64(max(1, n-1))
}

// trough is the pegbox's opening.
func (h scroll) trough(pl *plan) shape.Path {
	v, n, u := h.box.mm, h.narrow.mm/2, h.unit()
	wide := max(h.cheeks(pl)-4.8*u, n-3.4*u)
	half := []node{
		{X: 0, Y: -pl.nutLength.mm - 2.5*u, Angle: 180, Out: wide * 0.6},
		{X: -wide, Y: -pl.nutLength.mm - 6.5*u, Angle: 272, In: 3 * u, Out: v * 0.3},
		{X: -n + 3.4*u, Y: -v + 2*u, Angle: 274, In: v * 0.3, Out: 3 * u},
		{X: 0, Y: -v - 2*u, Angle: 0, In: n * 0.4},
	}
	return shape.FromCurves(mapCurves(throughNodes(whole(half), true), shape.Scale(pl.size, pl.size).Apply), true)
}

func (h scroll) face(pl *plan, s *sheet) {
	k := pl.size * h.unit() * h.fit(pl.p.Strings)
	s.add("headstock", "pegbox and scroll, front", record.Scroll, 0, pl.headed.path)
	s.hole("pegbox", "pegbox, inside", record.Scroll, h.trough(pl))
	for i, t := range pl.headed.tuners {
		n := i + 1
		s.add(slugOf("peg", n)+"-head", nameOf("peg", n)+", head", record.Pegs, n, t.button)
		inner := pl.troughHalf(h, t.post.Y)
		s.add(slugOf("peg", n), nameOf("peg", n), record.Pegs, n, shape.RoundRect(shape.RectAround(
			shape.Pt{X: -inner, Y: t.post.Y - 2.9*k}, shape.Pt{X: inner, Y: t.post.Y + 2.9*k}), 0.5*k))
	}
	h.strokeTurns(pl, s, false)
}

// troughHalf is half the trough's width at the height y.
func (pl *plan) troughHalf(h scroll, y float64) float64 {
	xs := h.trough(pl).CrossingsAt(y)
	if len(xs) < 2 {
		return 3 * pl.size * h.unit()
	}
	return (xs[len(xs)-1] - xs[0]) / 2
}

func (h scroll) back(pl *plan, s *sheet) {
	s.add("headstock", "pegbox and scroll, back", record.Scroll, 0, pl.headed.path)
	h.strokeTurns(pl, s, true)
}

func (scroll) machines(pl *plan, s *sheet) {
	for i, t := range pl.headed.tuners {
		s.add(slugOf("peg", i+1)+"-head", nameOf("peg", i+1)+", head", record.Pegs, i+1, t.button)
	}
}

// strokeTurns draws the turns of the scroll: from the front the band that winds
// up between the eyes, from the back the two flutes that run down the pegbox.
func (h scroll) strokeTurns(pl *plan, s *sheet, back bool) {
	v, top, n, turn, u := h.box.mm, h.length.mm, h.narrow.mm/2, h.eyeAt(), h.unit()
	body, e := h.turnHalf(), h.eyes.mm/2
	lines := [][]node{
		{{X: body, Y: turn - 5.6*u, Angle: 280, Out: 3 * u}, {X: body - 0.6*u, Y: turn + 5.6*u, Angle: 262, In: 3 * u}},
		{{X: e - 2*u, Y: turn - 3.7*u, Angle: 270, Out: 2 * u}, {X: e - 2*u, Y: turn + 3.7*u, Angle: 270, In: 2 * u}},
		{{X: n * 0.75, Y: v + 3*u, Angle: 285, Out: 5 * u}, {X: n * 0.95, Y: turn, Angle: 268, In: 5 * u, Out: 7 * u},
			{X: n * 0.5, Y: top - 4*u, Angle: 255, In: 5 * u}},
	}
	if back {
		lines[2] = []node{{X: h.wide.mm/2 - 3*u, Y: 12 * u, Angle: 266, Out: v * 0.3}, {X: n * 0.62, Y: v, Angle: 270, In: v * 0.3, Out: 6 * u},
			{X: n * 0.7, Y: turn, Angle: 270, In: 6 * u, Out: 8 * u}, {X: n * 0.45, Y: top - 3*u, Angle: 252, In: 5 * u}}
		s.stroke(hair, shape.Polyline(shape.Pt{Y: -14 * u * pl.size}, shape.Pt{Y: -(top - 2*u) * pl.size}))
	}
	// The lines are given upwards, on the treble side.
	for _, l := range lines {
		for _, side := range []float64{1, -1} {
			a := shape.FromCurves(throughNodes(risen(l), false), false)
			s.stroke(thin, a.Transform(shape.Scale(side*pl.size, pl.size)))
		}
	}
}

// risen turns nodes given by their height above the nut to the sheet's Y.
func risen(l []node) []node {
	out := append([]node(nil), l...)
	for i := range out {
		out[i].Y = -out[i].Y
	}
	return out
}

// pegHead is the collar and the thumb-piece of a peg outside the pegbox.
func pegHead(side, x, y, k, long float64) shape.Path {
	nodes := []node{
		{X: 0, Y: -3.3, Angle: 0, Out: 1},
		{X: 5, Y: -2.7, Angle: 10, In: 2, Out: 2},
		{X: 9, Y: -2.2, Angle: 0, In: 1.5, Out: 2},
		{X: long - 6.5, Y: -5.2, Angle: 350, In: 3, Out: 3},
		{X: long, Y: 0, Angle: 90, In: 3.5, Out: 3.5},
		{X: long - 6.5, Y: 5.2, Angle: 190, In: 3, Out: 3},
		{X: 9, Y: 2.2, Angle: 180, In: 2, Out: 1.5},
		{X: 5, Y: 2.7, Angle: 170, In: 2, Out: 2},
		{X: 0, Y: 3.3, Angle: 180, In: 1},
	}
	m := shape.Affine{side * k, 0, side * x, 0, k, y}
	ring := throughNodes(nodes, false)
	ring = append(ring, shape.LineCurve(shape.Pt{Y: 3.3}, shape.Pt{Y: -3.3}))
	return shape.FromCurves(mapCurves(ring, m.Apply), true)
}
