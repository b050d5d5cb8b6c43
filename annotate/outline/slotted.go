package outline

import (
	"math"

	"wornwood/annotate/shape"
	"wornwood/capture/record"
)

// slotted is a head with two slots through it. The strings wind on rollers
// that cross the slots; the machines sit on the head's edges, their buttons
// pointing backwards.
type slotted struct {
	reach    figure `dim:"headstock beyond the nut's end, at its widest"`
	least    figure `dim:"half the headstock's width at the least"`
	shoulder figure `dim:"nut to the headstock's widest"`
	tip      figure `dim:"headstock beyond its last roller"`
	first    figure `dim:"nut to the first roller"`
	step     figure `dim:"from roller to roller"`
	crowded  figure `dim:"the same from five a side"`
	slot     figure `dim:"slot, across"`
	web      figure `dim:"wood between the slots"`
	ramp     figure `dim:"slot before its first roller"`
	roller   figure `dim:"roller, diameter"`

	contour func(headSize) []node
}

func (h slotted) bassCount(pl *plan) int { return (pl.p.Strings + 1) / 2 }

func (h slotted) pitch(pl *plan) float64 {
	if h.bassCount(pl) > 4 {
		return h.crowded.mm
	}
	return h.step.mm
}

func (h slotted) wide(pl *plan) float64 {
	return max(pl.nutHalf/pl.size+h.reach.mm, h.least.mm)
}

func (h slotted) shape(pl *plan) headstock {
	n, step := h.bassCount(pl), h.pitch(pl)
	head := pl.newHeadstock(h.contour(headSize{nut: pl.nutHalf / pl.size, nutLength: pl.nutLength.mm, wide: h.wide(pl),
		shoulder: h.shoulder.mm, last: h.first.mm + step*float64(n-1), tip: h.tip.mm}))
	for s := 1; s <= pl.p.Strings; s++ {
		head.tuners = append(head.tuners, h.tuner(pl, head.path, s))
	}
	return head
}

// tuner is the roller of string s: on each side the outermost string winds on
// the roller next to the nut, so that no string crosses another.
func (h slotted) tuner(pl *plan, head shape.Path, s int) tuner {
	k := pl.size
	treble := pl.p.Strings - h.bassCount(pl)
	side, place := 1.0, s-1
	if s > treble {
		side, place = -1, pl.p.Strings-s
	}
	y := -k * (h.first.mm + h.pitch(pl)*float64(place))
	in, out := h.slotX(pl)
	// The string winds as near to its straight way as the slot allows.
	x := math.Abs(pl.stringX(pl.p.Strings-s, 0))
	post := shape.Pt{X: side * min(max(x, in+2.5*k), out-2.5*k), Y: y}
	edge := headEdgeAt(head, side, y-8*k, y, y+8*k)
	r := h.roller.mm * k / 2
	return tuner{post: post, side: side, button: sideKnob(side, edge.far+0.3*k, y, k),
		box: shape.RectAround(shape.Pt{X: side * in, Y: y - r}, shape.Pt{X: side * out, Y: y + r})}
}

// slotX are the distances of a slot's edges from the centre line, in mm.
func (h slotted) slotX(pl *plan) (in, out float64) {
	k := pl.size * h.wide(pl) / h.least.mm
	return h.web.mm / 2 * k, (h.web.mm/2 + h.slot.mm) * k
}

// slots draws the openings of the sides that have rollers, with the lines where
// the slot's floor ramps down from the nut.
func (h slotted) slots(pl *plan, s *sheet) {
	k := pl.size
	for _, q := range []struct {
		word string
		side float64
		n    int
	}{{"bass", -1, h.bassCount(pl)}, {"treble", 1, pl.p.Strings - h.bassCount(pl)}} {
		if q.n == 0 {
			continue
		}
		in, out := h.slotX(pl)
		low, high := -k*(h.first.mm-h.ramp.mm), -k*(h.first.mm+h.pitch(pl)*float64(q.n-1)+h.roller.mm*0.5+7)
		box := shape.RectAround(shape.Pt{X: q.side * in, Y: low}, shape.Pt{X: q.side * out, Y: high})
		s.hole("slot-"+q.word, q.word+" slot", record.Headstock, shape.RoundRect(box, box.Dx()*0.48))
		if s.Side == Front {
			y := low - h.ramp.mm*0.52*k
			s.stroke(thin, shape.Polyline(shape.Pt{X: box.Min.X + 0.4*k, Y: y}, shape.Pt{X: box.Max.X - 0.4*k, Y: y}))
		}
	}
}

func (h slotted) face(pl *plan, s *sheet) {
	s.add("headstock", "headstock front", record.Headstock, 0, pl.headed.path)
	h.slots(pl, s)
	h.rollers(pl, s)
}

func (h slotted) back(pl *plan, s *sheet) {
	s.add("headstock", "headstock back", record.Headstock, 0, pl.headed.path)
	h.slots(pl, s)
}

func (h slotted) machines(pl *plan, s *sheet) { h.rollers(pl, s) }

// rollers draws every machine: its roller in the slot and its button.
func (h slotted) rollers(pl *plan, s *sheet) {
	k := pl.size
	for i, t := range pl.headed.tuners {
		n := i + 1
		s.add(slugOf("tuner", n)+"-button", nameOf("tuner", n)+" button", record.Tuners, n, t.button)
		s.add(slugOf("tuner", n), nameOf("tuner", n)+" roller", record.Tuners, n, shape.RoundRect(t.box, 0.6*k))
		if s.Side != Front {
			continue
		}
		// The turns of the string.
		for j := -1.0; j <= 1; j++ {
			x := t.post.X + j*1.1*k
			s.stroke(hair, shape.Polyline(shape.Pt{X: x, Y: t.box.Min.Y}, shape.Pt{X: x, Y: t.box.Max.Y}))
		}
	}
}

// sideKnob is a button that points backwards, as seen from the front beyond
// the head's edge: the worm's shaft and the button's round.
func sideKnob(side, x, y, k float64) shape.Path {
	nodes := []node{
		{X: 3.2, Y: -2.4, Angle: 275, Out: 2},
		{X: 8.6, Y: -8, Angle: 0, In: 3.6, Out: 3.6},
		{X: 13.8, Y: 0, Angle: 90, In: 5, Out: 5},
		{X: 8.6, Y: 8, Angle: 180, In: 3.6, Out: 3.6},
		{X: 3.2, Y: 2.4, Angle: 265, In: 2},
	}
	m := shape.Affine{side * k, 0, side * x, 0, k, y}
	foot := [2]shape.Pt{{X: 0, Y: -2.4}, {X: 0, Y: 2.4}}
	ring := append([]shape.Curve{shape.LineCurve(foot[0], nodes[0].at())}, throughNodes(nodes, false)...)
	ring = append(ring, shape.LineCurve(nodes[4].at(), foot[1]))
	return shape.FromCurves(mapCurves(ring, m.Apply), true)
}
