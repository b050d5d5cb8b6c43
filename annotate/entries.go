package annotate

import (
	"fmt"
	"reflect"
	"strings"

	"wornwood/annotate/grade"
	"wornwood/capture/record"
)

// SetInstrument changes the identity. An identity that no outline can be drawn
// from (a scale length of 3 mm, say) is refused and the old one stays.
func (s *Session) SetInstrument(what string, edit func(*record.Instrument)) error {
	sc := s.Scene()
	in := sc.Record.Instrument
	edit(&in)
	if err := s.redraw(sc, "Set "+what, in); err != nil {
		return fmt.Errorf("set %s: %w", what, err)
	}
	return nil
}

// redraw makes the instrument another one. Where its drawing changes with it,
// marks drawn on the outline are tied anew to the regions that lie there now.
func (s *Session) redraw(sc *Scene, name string, in record.Instrument) error {
	d, err := grade.DrawingFor(in)
	if err != nil {
		return err
	}
	c, err := record.Set("instrument", in)
	if err != nil {
		return err
	}
	cs := []record.Change{c}
	if d != sc.Drawing {
		for _, m := range sc.Record.Marks {
			on := replaced(d, m.On, s.kindOf(m))
			if reflect.DeepEqual(on, m.On) {
				continue
			}
			m.On = on
			if c, err = record.Set(record.MarkTarget(m.Number), m); err != nil {
				return err
			}
			cs = append(cs, c)
		}
	}
	return s.Do(name, cs...)
}

// SetExamination changes the examination's own data. Its ID and its instrument
// stay.
func (s *Session) SetExamination(what string, edit func(*record.Examination)) error {
	old := s.Scene().Record.Examination
	ex := old
	edit(&ex)
	ex.ID, ex.Instrument = old.ID, old.Instrument
	return s.set("Set "+what, "examination", ex)
}

// SetPhotoView says which view of the class a photo fills; "" makes it a loose
// photo. A view is filled by one photo: a photo that filled it becomes loose,
// except for close-ups, of which there may be any number.
func (s *Session) SetPhotoView(id, view string) error {
	rec := s.Scene().Record
	p := rec.PhotoByID(id)
	if p == nil {
		return fmt.Errorf("set view: the examination has no such photo")
	}
	var cs []record.Change
	if view != "" && view != CloseUp {
		for _, q := range rec.Photos {
			if q.View == view && q.ID != id {
				q.View = ""
				c, err := record.Set(record.PhotoTarget(q.ID), q)
				if err != nil {
					return err
				}
				cs = append(cs, c)
			}
		}
	}
	q := *p
	q.View = view
	c, err := record.Set(record.PhotoTarget(id), q)
	if err != nil {
		return err
	}
	return s.Do("Set view of "+q.Name, append(cs, c)...)
}

// SetCaption gives a photo a caption.
func (s *Session) SetCaption(id, text string) error {
	p := s.Scene().Record.PhotoByID(id)
	if p == nil {
		return fmt.Errorf("set caption: the examination has no such photo")
	}
	q := *p
	q.Caption = strings.TrimSpace(text)
	return s.set("Caption of "+q.Name, record.PhotoTarget(id), q)
}

// RemovePhoto takes a photo out of the examination, out of the marks tied to it,
// out of what parts were judged by, and out of claims, evidence and whatever else
// names it. The original stays in the bench.
func (s *Session) RemovePhoto(id string) error {
	rec := s.Scene().Record
	p := rec.PhotoByID(id)
	if p == nil {
		return fmt.Errorf("remove photo: the examination has no such photo")
	}
	cs := []record.Change{record.Remove(record.PhotoTarget(id))}
	put := func(target string, v any) error {
		c, err := record.Set(target, v)
		cs = append(cs, c)
		return err
	}
	for _, m := range rec.Marks {
		n := len(m.Photos)
		m.Photos = without(m.Photos, func(q record.PhotoPlace) bool { return q.Photo == id })
		if len(m.Photos) == n {
			continue
		}
		if err := put(record.MarkTarget(m.Number), m); err != nil {
			return err
		}
	}
	for _, part := range rec.Parts {
		n := len(part.Photos)
		if part.Photos = without(part.Photos, func(q string) bool { return q == id }); len(part.Photos) == n {
			continue
		}
		if err := put(record.PartTarget(part.ID), part); err != nil {
			return err
		}
	}
	rest, err := referencesWithout(rec, id)
	if err != nil {
		return err
	}
	return s.Do("Remove "+p.Name, append(cs, rest...)...)
}

// SetNotExamined records what was not examined, one sentence each.
func (s *Session) SetNotExamined(sentences []string) error {
	return s.set("Set what was not examined", "notExamined", sentences)
}

func (s *Session) set(name, target string, v any) error {
	c, err := record.Set(target, v)
	if err != nil {
		return err
	}
	return s.Do(name, c)
}
