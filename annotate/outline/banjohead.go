package outline

import (
	"wornwood/annotate/shape"
	"wornwood/capture/record"
)

// banjoHead is a head with pegs straight through it, and where there is a short
// string a peg in the neck's side for it.
type banjoHead struct {
	straightPegs
	reach  figure `dim:"short string's peg, from the neck's edge to its end"`
	before figure `dim:"short string's peg before its nut"`
}

func (h banjoHead) shape(pl *plan) headstock {
	if !pl.shorted() {
		return h.straightPegs.shape(pl)
	}
	rest := *pl // with one string fewer none is short
	rest.p.Strings--
	head := h.straightPegs.shape(&rest)
	head.tuners = append(head.tuners, h.sidePeg(pl))
	return head
}

// sidePeg stands out square from the neck's bass edge: its foot, the post that
// the string winds on, its case and its button.
func (h banjoHead) sidePeg(pl *plan) tuner {
	nut, _ := pl.stringEnds(0)
	k := pl.size
	y := nut.Y - h.before.mm*k
	x := 0.0
	for _, d := range []float64{-7, -3.5, 0, 3.5, 7} {
		x = max(x, pl.edgeHalf(-1, y+d*k))
	}
	long := h.reach.mm
	half := []node{
		{X: 0, Y: -5},
		{X: 3, Y: -5},
		{X: 3, Y: -2.8},
		{X: 9, Y: -2.8},
		{X: 9, Y: -6.4},
		{X: 20.5, Y: -6.4},
		{X: 21.5, Y: -5},
		{X: 21.5, Y: -2.2},
		{X: long - 13, Y: -2.2, Out: 2},
		{X: long - 6, Y: -8.4, Angle: 0, In: 4, Out: 3.6},
		{X: long, Y: 0, Angle: 90, In: 4.6},
	}
	ring := append([]node(nil), half...)
	ring[len(ring)-1].Out = half[len(half)-1].In
	for i := len(half) - 2; i >= 0; i-- {
		n := half[i]
		ring = append(ring, node{X: n.X, Y: -n.Y, Angle: 180 - n.Angle, In: n.Out, Out: n.In})
	}
	m := shape.Affine{-k, 0, -(x + 0.35*k), 0, k, y}
	button := shape.FromCurves(mapCurves(throughNodes(ring, true), m.Apply), true)
	return tuner{post: m.Apply(shape.Pt{X: 6}), side: -1, button: button}
}

func (h banjoHead) face(pl *plan, s *sheet) {
	s.add("headstock", "headstock front", record.Headstock, 0, pl.headed.path)
	for i, t := range pl.headed.tuners {
		if t.post.Y < 0 {
			h.drawPost(pl, s, i+1, t.post)
			continue
		}
		h.drawSidePeg(pl, s, i+1, t)
	}
}

func (h banjoHead) machines(pl *plan, s *sheet) {
	for i, t := range pl.headed.tuners {
		if t.post.Y < 0 {
			h.drawThumb(pl, s, i+1, t.post)
			continue
		}
		h.drawSidePeg(pl, s, i+1, t)
	}
}

func (h banjoHead) drawSidePeg(pl *plan, s *sheet, n int, t tuner) {
	s.add(slugOf("tuner", n), nameOf("tuner", n)+", in the neck's side", record.Tuners, n, t.button)
	k := pl.size
	x := t.post.X - 5*k
	s.stroke(hair, shape.Polyline(shape.Pt{X: x, Y: t.post.Y - 6*k}, shape.Pt{X: x, Y: t.post.Y + 6*k}))
}

// crestTip swells to the first pegs and ends in one sweep like a wave, highest
// on the treble side.
func crestTip(h headSize) []node {
	straight := h.last - h.shoulder
	w, top := h.wide, h.last+h.tip
	return []node{
		{X: -h.nut, Y: -h.nutLength, Angle: 262, Out: 10},
		{X: -w, Y: -h.shoulder, Angle: 268, In: 12, Out: straight * 0.4},
		{X: -w - 1, Y: -h.last - 6, Angle: 272, In: straight * 0.4, Out: h.tip * 0.26},
		{X: -w * 0.62, Y: -h.last - h.tip*0.56, Angle: 348, In: h.tip * 0.22, Out: w * 0.42},
		{X: w * 0.4, Y: -top, Angle: 2, In: w * 0.42, Out: w * 0.34},
		{X: w + 1, Y: -h.last - h.tip*0.34, Angle: 92, In: h.tip * 0.34, Out: straight * 0.4},
		{X: w, Y: -h.shoulder, Angle: 92, In: straight * 0.4, Out: 12},
		{X: h.nut, Y: -h.nutLength, Angle: 98, In: 10},
	}
}
