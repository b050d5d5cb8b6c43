package outline

import (
	"wornwood/annotate/shape"
	"wornwood/capture/record"
)

// straightPegs is a solid head with pegs straight through it: from the front
// their posts are seen, from the back their collars and, end on, the thumb
// pieces behind.
type straightPegs struct {
	paddle
	post   figure `dim:"peg's post, diameter"`
	bush   figure `dim:"bushing around the post, diameter"`
	collar figure `dim:"peg's collar on the back, diameter"`
	thumb  figure `dim:"thumb piece, across, seen from its end"`
	thick  figure `dim:"thumb piece, thickness"`
}

func (h straightPegs) shape(pl *plan) headstock {
	head := h.paddle.shape(pl)
	for i := range head.tuners {
		head.tuners[i].button = shape.Path{} // nothing stands off the head's edge
	}
	return head
}

func (h straightPegs) face(pl *plan, s *sheet) {
	s.add("headstock", "headstock front", record.Headstock, 0, pl.headed.path)
	for i, t := range pl.headed.tuners {
		h.drawPost(pl, s, i+1, t.post)
	}
}

func (h straightPegs) drawPost(pl *plan, s *sheet, n int, at shape.Pt) {
	s.add(slugOf("tuner", n), nameOf("tuner", n), record.Tuners, n, shape.Circle(at, h.bush.mm*pl.size/2))
	s.stroke(thin, shape.Circle(at, h.post.mm*pl.size/2))
	s.dot(at, 0.8*pl.size)
}

func (h straightPegs) machines(pl *plan, s *sheet) {
	for i, t := range pl.headed.tuners {
		h.drawThumb(pl, s, i+1, t.post)
	}
}

// drawThumb draws the thumb piece over the collar, along the head.
func (h straightPegs) drawThumb(pl *plan, s *sheet, n int, at shape.Pt) {
	k := pl.size
	step := h.step.mm
	if pl.p.Strings > 8 {
		step = h.crowded.mm
	}
	long := min(h.thumb.mm, step-3) * k / 2
	s.add(slugOf("tuner", n), nameOf("tuner", n), record.Tuners, n, shape.Circle(at, min(h.collar.mm*k/2, long)))
	w := h.thick.mm * k / 2
	half := []node{
		{X: 0, Y: at.Y + long, Angle: 180, Out: w * 0.6},
		{X: -w, Y: at.Y + long*0.62, Angle: 270, In: long * 0.2, Out: long * 0.2},
		{X: -w * 0.72, Y: at.Y, Angle: 270, In: long * 0.2, Out: long * 0.2},
		{X: -w, Y: at.Y - long*0.62, Angle: 270, In: long * 0.2, Out: long * 0.2},
		{X: 0, Y: at.Y - long, Angle: 0, In: w * 0.6},
	}
	s.add(slugOf("tuner", n)+"-button", nameOf("tuner", n)+" button", record.Tuners, n,
		shape.FromCurves(throughNodes(whole(half), true), true).Transform(shape.Translate(shape.Pt{X: at.X})))
}
