package annotate

import (
	"math"

	"wornwood/annotate/measure"
	"wornwood/annotate/outline"
	"wornwood/annotate/shape"
	"wornwood/capture/record"
)

// Projected is where a mark that is known on one surface lies on another,
// through a photo's registration to the outline.
type Projected struct {
	Number int
	Shape  record.Shape
	Points []record.Point
}

// ProjectedOnPhoto lists where marks drawn on the outline lie on a photo that
// is registered to it. Marks that have a place of their own on the photo, and
// places beside the picture, are left out.
func (s *Session) ProjectedOnPhoto(photo string) []Projected {
	sc := s.Scene()
	p := sc.Record.PhotoByID(photo)
	if p == nil {
		return nil
	}
	pl, err := s.fit(p, p.Registration(), sc.Drawing)
	if pl == nil || err != nil {
		return nil
	}
	side := outline.Side(p.Registration().Side)
	var out []Projected
	for _, m := range sc.Record.Marks {
		if m.OnPhoto(photo) {
			continue
		}
		for _, on := range m.On {
			if on.Side != string(side) || len(on.Points) == 0 {
				continue
			}
			pts := toPhoto(pl, sc.Drawing, side, on.Points)
			if inPicture(pts, p) {
				out = append(out, Projected{m.Number, on.Shape, pts})
			}
		}
	}
	return out
}

// ProjectedOnSide lists where marks drawn on a registered photo lie on a side
// of the outline on which they have no place of their own.
func (s *Session) ProjectedOnSide(side outline.Side) []Projected {
	sc := s.Scene()
	var out []Projected
	for _, m := range sc.Record.Marks {
		if hasSide(m, side) {
			continue
		}
		for _, at := range m.Photos {
			if pts := s.toSide(sc, at, side); pts != nil {
				out = append(out, Projected{m.Number, at.Shape, pts})
				break
			}
		}
	}
	return out
}

// toSide is where a place on a photo lies on a side of the outline, nil where
// the photo is not registered to that side or the place falls beside it.
func (s *Session) toSide(sc *Scene, at record.PhotoPlace, side outline.Side) []record.Point {
	p := sc.Record.PhotoByID(at.Photo)
	if p == nil || p.Registration() == nil || p.Registration().Side != string(side) {
		return nil
	}
	pl, err := s.fit(p, p.Registration(), sc.Drawing)
	if pl == nil || err != nil {
		return nil
	}
	pts := make([]record.Point, len(at.Points))
	for i, q := range at.Points {
		pts[i] = toOutline(pl, sc.Drawing, side, q)
		if !pts[i].Finite() {
			return nil
		}
	}
	if _, on := sc.Drawing.RegionAt(side, centre(pts)); !on && len(covered(sc.Drawing, side, at.Shape, pts)) == 0 {
		return nil
	}
	return pts
}

func toPhoto(pl *measure.Plane, d *outline.Drawing, side outline.Side, pts []record.Point) []record.Point {
	height := heightsOn(d, side)
	out := make([]record.Point, len(pts))
	for i, q := range pts {
		out[i] = pl.ToPx(q, height(q))
	}
	return out
}

// toOutline follows the pixel's ray down to the surface: the height there
// depends on the place, and the place on the height, so a few rounds are taken.
func toOutline(pl *measure.Plane, d *outline.Drawing, side outline.Side, px shape.Pt) shape.Pt {
	height := heightsOn(d, side)
	mm := pl.ToMM(px, measure.Height{})
	for range 4 {
		mm = pl.ToMM(px, height(mm))
	}
	return mm
}

func hasSide(m record.Mark, side outline.Side) bool {
	for _, p := range m.On {
		if p.Side == string(side) && len(p.Points) > 0 {
			return true
		}
	}
	return false
}

func inPicture(pts []record.Point, p *record.Photo) bool {
	for _, q := range pts {
		if !q.Finite() {
			return false
		}
	}
	c := centre(pts)
	return !math.Signbit(c.X) && !math.Signbit(c.Y) && c.X <= float64(p.Width) && c.Y <= float64(p.Height)
}
