package annotate

import (
	"fmt"
	"slices"

	"wornwood/annotate/colour"
	"wornwood/capture/record"
)

// Dismiss notes on a photo that a suggested mark was turned down, so that it
// is not suggested there again.
func (s *Session) Dismiss(photo string, sh record.Shape, pts []record.Point) error {
	p := s.Scene().Record.PhotoByID(photo)
	if p == nil {
		return fmt.Errorf("dismiss suggestion: the examination has no such photo")
	}
	q := *p
	q.Dismissed = append(slices.Clone(p.Dismissed), record.PhotoPlace{Photo: photo, Shape: sh, Points: pts})
	return s.set("Dismiss a suggestion on "+p.Name, record.PhotoTarget(photo), q)
}

// ForgetDismissed lets everything be suggested again on a photo.
func (s *Session) ForgetDismissed(photo string) error {
	p := s.Scene().Record.PhotoByID(photo)
	if p == nil || len(p.Dismissed) == 0 {
		return nil
	}
	q := *p
	q.Dismissed = nil
	return s.set("Forget what was dismissed on "+p.Name, record.PhotoTarget(photo), q)
}

// SetFade gives a mark its colour difference with the patches it was taken
// from; nil takes both away, and the mark's depth counts again. A difference that
// is not to be relied on is kept and printed as such, but does not take the
// place of what the eye judged.
func (s *Session) SetFade(n int, fade *record.Fade, reading *record.MarkReading) error {
	return s.EditMark(n, "Colour", func(m *record.Mark) {
		had := m.Fade != nil
		m.Fade = fade
		info, ok := s.Rubric().Kind(m.Kind)
		switch {
		case fade != nil && colour.Unreliable(fade) == "" && ok && info.Reading == record.FadeReading:
			m.Reading = reading
		case had && m.Reading != nil && m.Reading.Kind == record.FadeReading:
			m.Reading = nil
		}
	})
}

// SetOwn gives the instrument its own outline, or with nil the class's again.
// Marks drawn on the outline stay where they are in millimetres and are tied
// anew to the regions that lie there now.
func (s *Session) SetOwn(own *record.Own) error {
	name := "Own outline"
	if own == nil {
		name = "Outline of the class"
	}
	sc := s.Scene()
	in := sc.Record.Instrument
	in.Own = own
	return s.redraw(sc, name, in)
}
