package annotate

import (
	"fmt"
	"math"
	"reflect"
	"slices"
	"strings"

	"wornwood/annotate/measure"
	"wornwood/annotate/outline"
	"wornwood/annotate/shape"
	"wornwood/capture/record"
)

// OnPhoto begins the words of a size that was measured on a photo. Such a size
// is measured anew when the photo's scale or the mark's place changes; one that
// a person typed is left alone.
const OnPhoto = "on the photo"

// SetScale gives a photo its scale, or with nil takes it away, and measures
// anew what was measured on it, all in one change.
func (s *Session) SetScale(photo string, scale *record.Scale) error {
	return s.setPhotoScale(photo, "Scale", func(p *record.Photo) { p.Scale = scale })
}

// SetRegister lays a photo over the outline by landmarks, beside a scale of
// another kind; nil takes that away.
func (s *Session) SetRegister(photo string, scale *record.Scale) error {
	return s.setPhotoScale(photo, "Landmarks", func(p *record.Photo) { p.Register = scale })
}

func (s *Session) setPhotoScale(photo, what string, edit func(*record.Photo)) error {
	sc := s.Scene()
	old := sc.Record.PhotoByID(photo)
	if old == nil {
		return fmt.Errorf("set scale: the examination has no such photo")
	}
	p := *old
	edit(&p)
	for _, scale := range []*record.Scale{p.Scale, p.Register} {
		if _, err := s.fit(&p, scale, sc.Drawing); err != nil {
			return fmt.Errorf("set scale of %s: %w", p.Name, err)
		}
	}
	c, err := record.Set(record.PhotoTarget(photo), p)
	if err != nil {
		return err
	}
	cs := []record.Change{c}
	for _, m := range sc.Record.Marks {
		sized, changed := s.measured(sc, m, &p)
		if !changed {
			continue
		}
		if c, err = record.Set(record.MarkTarget(m.Number), sized); err != nil {
			return err
		}
		cs = append(cs, c)
	}
	return s.Do(fmt.Sprintf("%s of %s", what, p.Name), cs...)
}

// planeOf fits a scale of a photo.
func planeOf(p *record.Photo, scale *record.Scale, d *outline.Drawing) (*measure.Plane, error) {
	heights := func(shape.Pt) measure.Height { return measure.Height{} }
	if scale.Side != "" {
		heights = heightsOn(d, outline.Side(scale.Side))
	}
	return measure.Fit(*scale, measure.CameraOf(p), heights, measure.WidthsKnownTo(boardWidths))
}

// boardWidths is how well the outline of a class knows the width of this
// instrument's fingerboard, as a standard uncertainty in mm: nuts of one class
// differ by a millimetre or so to either side, common practice.
const boardWidths = 0.7

// heightsOn says how high the places of a side stand above the body's face.
func heightsOn(d *outline.Drawing, side outline.Side) func(shape.Pt) measure.Height {
	return func(mm shape.Pt) measure.Height {
		h := d.HeightAt(side, mm)
		return measure.Height{Value: h.Value, Sigma: h.Sigma}
	}
}

// keptPlanes is how many fitted scales a session keeps: those of the photos that
// somebody goes back and forth between.
const keptPlanes = 12

// keptPlane is a fitted scale with what it was fitted from.
type keptPlane struct {
	photo   string
	scale   record.Scale
	drawing *outline.Drawing
	plane   *measure.Plane
	err     error
}

// fit is the fitted scale of a photo; the same one is fitted only once. It is
// nil, without an error, where there is none.
func (s *Session) fit(p *record.Photo, scale *record.Scale, d *outline.Drawing) (*measure.Plane, error) {
	if scale == nil {
		return nil, nil
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	for _, k := range s.planes {
		if k.photo == p.ID && k.drawing == d && reflect.DeepEqual(k.scale, *scale) {
			return k.plane, k.err
		}
	}
	k := keptPlane{photo: p.ID, scale: *scale, drawing: d}
	k.plane, k.err = planeOf(p, scale, d)
	if len(s.planes) == keptPlanes {
		s.planes = s.planes[1:]
	}
	s.planes = append(s.planes, k)
	return k.plane, k.err
}

// Plane is the fitted scale of a photo, nil for a photo without one. The error
// says why a scale that is on record cannot be used.
func (s *Session) Plane(photo string) (*measure.Plane, error) {
	sc := s.Scene()
	p := sc.Record.PhotoByID(photo)
	if p == nil {
		return nil, fmt.Errorf("measure: the examination has no such photo")
	}
	return s.fit(p, p.Scale, sc.Drawing)
}

// Registration is the fit that lays a photo over a side of the outline, nil for
// a photo that has none or whose landmarks do not fit.
func (s *Session) Registration(photo string) *measure.Plane {
	sc := s.Scene()
	p := sc.Record.PhotoByID(photo)
	if p == nil {
		return nil
	}
	pl, err := s.fit(p, p.Registration(), sc.Drawing)
	if err != nil {
		return nil
	}
	return pl
}

// measured is the mark with the sizes that its places on scaled photos give: those
// of the photo that shows it finest. p stands in for the record's photo of its
// ID. Sizes that a person gave stay. changed is false when nothing differs.
func (s *Session) measured(sc *Scene, m record.Mark, p *record.Photo) (record.Mark, bool) {
	if !hasFigure(m, p.ID) {
		return m, false
	}
	before := m
	var size sizes
	finest := 0.0
	for _, at := range m.Photos {
		ph := p
		if at.Photo != p.ID {
			ph = sc.Record.PhotoByID(at.Photo)
		}
		if ph == nil || at.Shape == record.PointShape {
			continue
		}
		if pl, err := s.fit(ph, ph.Scale, sc.Drawing); err == nil && pl != nil && pl.PxPerMM() > finest {
			finest, size = pl.PxPerMM(), sizeOn(pl, at, s.markHeights(sc, m, ph.Scale))
		}
	}
	m.Length, m.Width, m.Area = typed(m.Length, size.length), typed(m.Width, size.width), typed(m.Area, size.area)
	return m, !reflect.DeepEqual(before, m)
}

// hasFigure says that a line or an area of the mark is drawn on the photo.
func hasFigure(m record.Mark, photo string) bool {
	return slices.ContainsFunc(m.Photos, func(at record.PhotoPlace) bool { return at.Photo == photo && at.Shape != record.PointShape })
}

// typed is the size that a person gave, else the measured one.
func typed(have, measured *record.Quantity) *record.Quantity {
	if have != nil && !strings.HasPrefix(have.How, OnPhoto) {
		return have
	}
	return measured
}

// Heights of what no outline knows, as standard uncertainties in mm: a place
// that was never drawn on the outline may lie anywhere on a gently arched body.
const unplaced = 3.0

// markHeights says how high a mark's places stand over the plane of a scale. A
// scale of the outline has the outline's own heights; another stands where it
// was said to lie, and the mark where the outline has it.
func (s *Session) markHeights(sc *Scene, m record.Mark, scale *record.Scale) func(shape.Pt) measure.Height {
	at, placed := placedHeight(sc.Drawing, m)
	if scale.Side != "" {
		side := outline.Side(scale.Side)
		return func(mm shape.Pt) measure.Height {
			h := heightsOn(sc.Drawing, side)(mm)
			if sameSurface(sc.Drawing, side, mm, scale) {
				h.Sigma = 0 // it stands as the scale's own points do
			}
			return h
		}
	}
	if !placed {
		at = measure.Height{Sigma: unplaced}
	}
	if scale.Height != nil {
		at.Value -= scale.Height.Value
		at.Sigma = math.Hypot(at.Sigma, scale.Height.Uncertainty)
	}
	return func(shape.Pt) measure.Height { return at }
}

// placedHeight is the height of a mark's place on the outline.
func placedHeight(d *outline.Drawing, m record.Mark) (measure.Height, bool) {
	for _, pl := range m.On {
		if len(pl.Points) > 0 {
			return heightsOn(d, outline.Side(pl.Side))(centre(pl.Points)), true
		}
	}
	return measure.Height{}, false
}

// sameSurface says that a place lies on the board whose frets are the scale.
func sameSurface(d *outline.Drawing, side outline.Side, mm shape.Pt, scale *record.Scale) bool {
	if scale.Kind != record.FretScale {
		return false
	}
	r, ok := d.RegionAt(side, mm)
	return ok && (r.Part == record.Fingerboard || r.Part == record.Frets || r.Part == record.Nut)
}

func centre(pts []shape.Pt) shape.Pt {
	var c shape.Pt
	for _, p := range pts {
		c = shape.Add(c, shape.Mul(p, 1/float64(len(pts))))
	}
	return c
}
