package outline

import (
	"wornwood/annotate/shape"
	"wornwood/capture/record"
)

// gearedScroll is a scroll whose strings wind on rollers turned by worm gears:
// a wheel stands against the pegbox's cheek at each roller's end, and a key
// turns it.
type gearedScroll struct {
	scroll
	roller figure `dim:"roller, diameter"`
	wheel  figure `dim:"gear wheel, diameter"`
	thick  figure `dim:"gear wheel and its plate, off the pegbox"`
	key    figure `dim:"key, across"`
}

func (h gearedScroll) shape(pl *plan) headstock {
	head := h.scroll.shape(pl)
	for i := range head.tuners {
		head.tuners[i].button = h.gear(pl, head.path, head.tuners[i])
	}
	return head
}

// fit is how large wheels and keys may be so that neighbours on one side keep
// apart.
func (h gearedScroll) fit(pl *plan) float64 {
	step := 2 * 0.66 * h.box.mm / float64(max(1, pl.p.Strings-1))
	return pl.size * min(1, (step-4)/max(h.wheel.mm, h.key.mm))
}

// gear is the ring of a wheel, seen on its edge, and of the key on its shaft.
func (h gearedScroll) gear(pl *plan, head shape.Path, t tuner) shape.Path {
	k := h.fit(pl)
	w, far, key := h.wheel.mm/2, h.collar.mm, h.key.mm/2
	y := t.post.Y
	x := headEdgeAt(head, t.side, y-w*k, y-w*k/2, y, y+w*k/2, y+w*k).far + 0.4*pl.size
	neck := h.thick.mm + (far-h.thick.mm)*0.3
	half := []node{
		{X: 0, Y: -w, Angle: 0, Out: h.thick.mm * 0.4},
		{X: h.thick.mm, Y: -w + 3, Angle: 90, In: 2.4, Out: w * 0.3},
		{X: h.thick.mm, Y: -5.5, Angle: 90, In: 4, Out: 0.5, Turn: -80},
		{X: neck, Y: -4.4, Angle: 356, In: 4, Out: 5},
		{X: far - 13, Y: -key, Angle: 0, In: 9, Out: 8},
		{X: far, Y: -key * 0.42, Angle: 96, In: key * 0.4, Out: key * 0.14},
		{X: far - 2.5, Y: 0, Angle: 90, In: key * 0.2, Out: key * 0.2},
	}
	ring := append([]node(nil), half...)
	for i := len(half) - 2; i >= 0; i-- {
		n := half[i]
		ring = append(ring, node{X: n.X, Y: -n.Y, Angle: 180 - n.Angle - n.Turn, In: n.Out, Out: n.In, Turn: n.Turn})
	}
	curves := append(throughNodes(ring, false), shape.LineCurve(shape.Pt{Y: w}, shape.Pt{Y: -w}))
	return shape.FromCurves(mapCurves(curves, shape.Affine{t.side * k, 0, t.side * x, 0, k, y}.Apply), true)
}

func (h gearedScroll) face(pl *plan, s *sheet) {
	k := h.fit(pl)
	s.add("headstock", "pegbox and scroll, front", record.Scroll, 0, pl.headed.path)
	s.hole("pegbox", "pegbox, inside", record.Scroll, h.trough(pl))
	h.machines(pl, s)
	for i, t := range pl.headed.tuners {
		inner, r := pl.troughHalf(h.scroll, t.post.Y), h.roller.mm*k/2
		s.add(slugOf("roller", i+1), nameOf("machine", i+1)+", roller", record.Pegs, i+1, shape.RoundRect(shape.RectAround(
			shape.Pt{X: -inner, Y: t.post.Y - r}, shape.Pt{X: inner, Y: t.post.Y + r}), k))
		s.dot(shape.Pt{X: t.post.X, Y: t.post.Y}, 1.2*k)
	}
	h.strokeTurns(pl, s, false)
}

func (h gearedScroll) machines(pl *plan, s *sheet) {
	k := h.fit(pl)
	for i, t := range pl.headed.tuners {
		s.add(slugOf("machine", i+1), nameOf("machine", i+1), record.Pegs, i+1, t.button)
		b := t.button.Bounds()
		x := b.Min.X + h.thick.mm*k
		if t.side < 0 {
			x = b.Max.X - h.thick.mm*k
		}
		w := h.wheel.mm * k / 2
		for _, d := range []float64{-0.75, -0.5, -0.25, 0, 0.25, 0.5, 0.75} {
			y := t.post.Y + d*w
			s.stroke(hair, shape.Polyline(shape.Pt{X: x, Y: y}, shape.Pt{X: x - t.side*h.thick.mm*k*0.45, Y: y}))
		}
	}
}
