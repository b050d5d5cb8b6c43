package outline

import (
	"wornwood/annotate/shape"
	"wornwood/capture/record"
)

// back is the whole instrument from the back. The heel plate counts with the
// guard and covers: it is a metal cover over the neck's screws, and rust on it
// says nothing about the neck, whose share is five times as large.
func (pl *plan) back() SideDrawing {
	s := newSheet(Back, !pl.p.LeftHanded)
	k := pl.size
	top := -pl.nutLength.mm * k
	s.add("neck", "neck back", record.Neck, 0, pl.neckPath(top, pl.neckEnd))
	s.add("headstock", "headstock back", record.Headstock, 0, pl.head.path)
	s.add("body", "body back", record.BackFinish, 0, shape.FromCurves(pl.body, true))
	pl.addHeelPlate(s)
	pl.addCavityCover(s)
	for i := range pl.p.Strings {
		at := shape.Pt{X: pl.stringX(i, pl.p.ScaleLength), Y: pl.p.ScaleLength + 18*k}
		s.add(slugOf("ferrule", pl.p.Strings-i), nameOf("string ferrule", pl.p.Strings-i), record.Bridge, 0,
			shape.Circle(at, min(3.6*k, pl.saddleHalf())))
		s.dot(at, 1.1*k)
	}
	for i, t := range pl.head.tuners {
		n := i + 1
		s.add(slugOf("tuner", n)+"-button", nameOf("tuner", n)+" button", record.Tuners, n, t.button)
		s.add(slugOf("tuner", n), nameOf("tuner", n), record.Tuners, n, shape.RoundRect(t.box, 4*k))
		c := t.box.Center()
		s.stroke(thin, shape.Circle(c, 3.2*k))
		s.screw(shape.Pt{X: c.X - t.side*5.2*k, Y: c.Y + t.box.Dy()/2 - 3*k}, 1.2*k)
	}
	s.dashed(thin, shape.Polygon(inset(pl.body, pl.roundover.mm*pl.bulk)...))
	return s.done(pl.silhouette())
}

func (pl *plan) addHeelPlate(s *sheet) {
	k := pl.bulk
	c := pl.onBody(shape.Pt{Y: pl.joint.mm + 46})
	half := min(26*k, pl.half(c.Y)-1.5*k)
	box := rectAt(c, half, 30*k)
	s.add("heel-plate", "heel plate", record.Guard, 0, shape.RoundRect(box, 7*k))
	for _, p := range corners(box.Grow(-7 * k)) {
		s.screw(p, 2.6*k)
	}
}

func (pl *plan) addCavityCover(s *sheet) {
	ring := pl.onBodyAll(throughNodes(pl.cover, true))
	s.add("cover", "cavity cover", record.Guard, 0, shape.FromCurves(ring, true))
	line := inset(ring, 5*pl.bulk)
	for i := range 4 {
		s.screw(line[i*len(line)/4], 1.8*pl.bulk)
	}
}

func corners(r shape.Rect) [4]shape.Pt {
	return [4]shape.Pt{r.Min, {X: r.Max.X, Y: r.Min.Y}, r.Max, {X: r.Min.X, Y: r.Max.Y}}
}
