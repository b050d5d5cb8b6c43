package outline

import (
	"wornwood/annotate/shape"
	"wornwood/capture/record"
)

// neck is the table of a neck's back.
type neck struct {
	depth   figure `dim:"neck and fingerboard together, at the first fret"`
	heel    figure `dim:"heel, before the body"`
	closeUp figure `dim:"how far below the joint the picture of the neck reaches"`
}

// neckFront draws the neck where it is seen beyond the fingerboard.
type neckFront struct{}

func (neckFront) draw(pl *plan, s *sheet) {
	if pl.neckEnd > pl.boardEnd {
		s.add("neck", "neck front", record.Neck, 0, pl.neckPath(false, pl.neckEnd))
	}
}

// neckBack draws the back of the neck; the body lies over its end.
type neckBack struct{}

func (neckBack) draw(pl *plan, s *sheet) {
	s.add("neck", "neck back", record.Neck, 0, pl.neckPath(true, pl.neckEnd))
}

// heelPlate is the metal plate over the screws of a bolted neck. It counts
// with the guard and covers: rust on it says nothing about the neck, whose
// share is five times as large.
type heelPlate struct {
	below  figure `dim:"joint to the middle of the heel plate"`
	across figure `dim:"half the heel plate's width"`
	along  figure `dim:"half the heel plate's length"`
}

func (h heelPlate) draw(pl *plan, s *sheet) {
	k := pl.bulk
	c := pl.onBody(shape.Pt{Y: pl.joint.mm + h.below.mm})
	half := min(h.across.mm*k, pl.half(c.Y)-1.5*k)
	box := rectAt(c, half, h.along.mm*k)
	s.add("heel-plate", "heel plate", record.Guard, 0, shape.RoundRect(box, 7*k))
	for _, p := range corners(box.Grow(-7 * k)) {
		s.screw(p, 2.6*k)
	}
}

// ferrules hold the strings' ends in the back of a solid body.
type ferrules struct{}

func (ferrules) draw(pl *plan, s *sheet) {
	k := pl.size
	for i := range pl.p.Strings {
		_, at := pl.stringEnds(i)
		at.X = pl.stringX(i, pl.long)
		at.Y += 18 * k
		s.add(slugOf("ferrule", pl.p.Strings-i), nameOf("string ferrule", pl.p.Strings-i), record.Bridge, 0,
			shape.Circle(at, min(3.6*k, pl.saddleHalf())))
		s.dot(at, 1.1*k)
	}
}

// heelCap is the foot of a glued heel as it stands on the edge of the back,
// and the line where the neck swells into the heel.
type heelCap struct {
	width figure `dim:"heel at the back, across"`
	reach figure `dim:"heel cap, from the back's edge towards the head"`
	flush bool   // the heel does not taper: a glued neck of a solid body
}

func (h heelCap) draw(pl *plan, s *sheet) {
	k := pl.size
	y := pl.onBody(shape.Pt{Y: pl.joint.mm}).Y
	w := min(h.width.mm*k/2, pl.half(y)-2*k)
	tip := y - h.reach.mm*k
	// The heel runs out to the neck's full width in a long hollow curve.
	top := y - pl.neck.heel.mm*k
	for _, side := range []float64{-1, 1} {
		if h.flush {
			break
		}
		line := []node{
			{X: side * (pl.half(top) - 0.5*k), Y: top, Angle: 90, Out: 0.45 * (tip - top)},
			{X: side * w, Y: tip, Angle: 90 + side*12, In: 0.4 * (tip - top)},
		}
		s.stroke(thin, shape.FromCurves(throughNodes(line, false), false))
	}
	cap := []node{
		{X: -w, Y: y + 1.5*k, Angle: 270, Out: (y - tip) * 0.6},
		{X: 0, Y: tip, Angle: 0, In: w * 0.7, Out: w * 0.7},
		{X: w, Y: y + 1.5*k, Angle: 90, In: (y - tip) * 0.6},
	}
	s.stroke(thin, shape.FromCurves(throughNodes(cap, false), false))
}

// NeckLine gives half the neck's width in mm at a height of the front sheet, and
// the height at which the neck meets the body on the centre line: what a traced
// silhouette is cut by.
func (d *Drawing) NeckLine() (half func(y float64) float64, joint float64) {
	pl := d.plan
	return pl.half, pl.base(shape.Pt{Y: pl.joint.mm}).Y
}
