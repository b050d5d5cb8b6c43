package annotate

import (
	"errors"
	"fmt"
	"math"

	"wornwood/annotate/measure"
	"wornwood/annotate/shape"
	"wornwood/capture/record"
)

// sizes are the sizes of one drawn figure; nil ones it has not.
type sizes struct{ length, width, area *record.Quantity }

// sizeOn measures a figure drawn on a scaled photo: a line by its length; an
// area by its surface, its longest extent and the extent across that.
func sizeOn(pl *measure.Plane, at record.PhotoPlace, h func(shape.Pt) measure.Height) sizes {
	switch at.Shape {
	case record.LineShape:
		return sizes{length: onPhoto(pl.Length(at.Points, h))}
	case record.AreaShape:
		a, b, c, d := extents(pl, at.Points, h)
		return sizes{length: onPhoto(pl.Length([]shape.Pt{a, b}, h)), width: onPhoto(pl.Width(c, d, h)), area: onPhoto(pl.Area(at.Points, h))}
	}
	return sizes{}
}

func onPhoto(q record.Quantity) *record.Quantity {
	if !(q.Value > 0) {
		return nil // what cannot be measured has the value 0
	}
	q.How = OnPhoto + ", " + q.How
	return &q
}

// extents are the ends, in pixels, of a ring's longest extent (a to b) and of
// its extent across that (c to d), both as they are in millimetres.
func extents(pl *measure.Plane, ring []shape.Pt, h func(shape.Pt) measure.Height) (a, b, c, d shape.Pt) {
	hh := h(pl.ToMM(centre(ring), measure.Height{}))
	mm := make([]shape.Pt, len(ring))
	for i, p := range ring {
		mm[i] = pl.ToMM(p, hh)
	}
	i, j := farthest(mm)
	a, b = ring[i], ring[j]
	axis := shape.Sub(mm[j], mm[i])
	n := math.Hypot(axis.X, axis.Y)
	if n == 0 {
		return a, b, a, b
	}
	across := shape.Pt{X: -axis.Y / n, Y: axis.X / n}
	lo, hi := math.Inf(1), math.Inf(-1)
	var at shape.Pt
	for _, p := range mm {
		v := p.X*across.X + p.Y*across.Y
		if v < lo {
			lo, at = v, p
		}
		hi = max(hi, v)
	}
	return a, b, pl.ToPx(at, hh), pl.ToPx(shape.Add(at, shape.Mul(across, hi-lo)), hh)
}

// farthest are the indices of the two points farthest apart. Rings of marks are
// short; a long one is thinned first, which loses less than its drawing did.
func farthest(pts []shape.Pt) (int, int) {
	step := 1 + len(pts)/500
	bi, bj, best := 0, 0, -1.0
	for i := 0; i < len(pts); i += step {
		for j := i + step; j < len(pts); j += step {
			if d := shape.Dist(pts[i], pts[j]); d > best {
				bi, bj, best = i, j, d
			}
		}
	}
	return bi, bj
}

// Reading is what a figure measures on a scaled photo.
type Reading uint8

// The readings.
const (
	LengthReading Reading = iota // mm, of a line through the points
	AreaReading                  // mm2, of the ring of the points
	AngleReading                 // degrees, at the second of three points
)

// Measure is what points on a scaled photo measure, without making a mark of
// them. They are taken to lie where the outline has that place, or on the
// front where the photo does not show the outline.
func (s *Session) Measure(photo string, what Reading, pts []record.Point) (record.Quantity, error) {
	sc := s.Scene()
	pl, err := s.Plane(photo)
	if err != nil {
		return record.Quantity{}, err
	}
	if pl == nil {
		return record.Quantity{}, errors.New("measure: the photo has no scale yet; set one by frets, a card, a ruler or two points")
	}
	h := s.markHeights(sc, record.Mark{}, sc.Record.PhotoByID(photo).Scale)
	var q record.Quantity
	switch {
	case what == AngleReading && len(pts) == 3:
		q = pl.Angle(pts[0], pts[1], pts[2], h)
	case what == AreaReading:
		q = pl.Area(pts, h)
	case what == LengthReading:
		q = pl.Length(pts, h)
	default:
		return q, errors.New("measure: an angle needs three points")
	}
	if q.Value == 0 {
		return q, fmt.Errorf("measure: %s", q.How)
	}
	return q, nil
}

// MeasureMark gives mark n the sizes that its place on a photo has there, in
// place of any that a person gave.
func (s *Session) MeasureMark(n int, photo string) error {
	sc := s.Scene()
	m, err := mark(sc, n)
	if err != nil {
		return err
	}
	p := sc.Record.PhotoByID(photo)
	if p == nil || p.Scale == nil {
		return fmt.Errorf("measure mark %d: the photo has no scale yet", n)
	}
	here := m
	here.Length, here.Width, here.Area = nil, nil, nil
	here.Photos = without(m.Photos, func(q record.PhotoPlace) bool { return q.Photo != photo })
	sized, _ := s.measured(sc, here, p)
	if sized.Length == nil && sized.Area == nil {
		return fmt.Errorf("measure mark %d: it has no line or area on this photo", n)
	}
	m.Length, m.Width, m.Area = sized.Length, sized.Width, sized.Area
	return s.putMark(fmt.Sprintf("Measure mark %d", n), m)
}
