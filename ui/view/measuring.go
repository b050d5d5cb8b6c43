package view

import (
	"fmt"

	"wornwood/annotate"
	"wornwood/capture/record"
)

// Measuring is the tool that measures on a scaled photo without making a mark:
// lengths, angles at a corner, and areas.
type Measuring struct {
	s     *annotate.Session
	marks *Marks
	taken []taken
}

// taken is one measurement on one photo.
type taken struct {
	photo string
	pts   []record.Point
}

// MeasureLine is a measurement as it is shown on the photo and in the list.
type MeasureLine struct {
	Points []record.Point
	Closed bool
	Label  string
	Warn   bool // it could not be measured
}

// NewMeasuring makes the tool on the photo that the Marks screen shows.
func NewMeasuring(s *annotate.Session, m *Marks) *Measuring { return &Measuring{s: s, marks: m} }

// Add keeps a measurement on the photo shown. A line that ends where it began
// is a ring.
func (v *Measuring) Add(pts []record.Point) {
	if len(pts) > 1 && v.marks.Photo() != "" {
		v.taken = append(v.taken, taken{v.marks.Photo(), pts})
	}
}

// Clear drops the measurements on the photo shown.
func (v *Measuring) Clear() {
	var keep []taken
	for _, t := range v.taken {
		if t.photo != v.marks.Photo() {
			keep = append(keep, t)
		}
	}
	v.taken = keep
}

// Lines are the measurements on the photo shown, measured by its present scale.
func (v *Measuring) Lines() []MeasureLine {
	var out []MeasureLine
	for _, t := range v.taken {
		if t.photo == v.marks.Photo() {
			label, ok := v.label(t.pts)
			out = append(out, MeasureLine{t.pts, ring(t.pts), label, !ok})
		}
	}
	return out
}

// Label is what a line measures while it is being drawn.
func (v *Measuring) Label(pts []record.Point) string {
	s, _ := v.label(pts)
	return s
}

func (v *Measuring) label(pts []record.Point) (string, bool) {
	if len(pts) < 2 {
		return "", true
	}
	if ring(pts) {
		q, err := v.s.Measure(v.marks.Photo(), annotate.AreaReading, pts[:len(pts)-1])
		return orNone(q.Surface(), err)
	}
	q, err := v.s.Measure(v.marks.Photo(), annotate.LengthReading, pts)
	text, ok := orNone(q.String()+" mm", err)
	if ok && len(pts) == 3 {
		if a, err := v.s.Measure(v.marks.Photo(), annotate.AngleReading, pts); err == nil {
			text += ", " + a.String() + "°"
		}
	}
	return text, ok
}

// orNone is the text of a reading, or that there is none.
func orNone(text string, err error) (string, bool) {
	if err != nil {
		return "no scale here", false
	}
	return text, true
}

func ring(pts []record.Point) bool { return len(pts) > 3 && pts[0] == pts[len(pts)-1] }

// UseFor gives the selected mark the length of the last measurement.
func (v *Measuring) UseFor() error {
	n := v.s.Scene().Selected
	if n == 0 {
		return fmt.Errorf("use length: select a mark first")
	}
	for i := len(v.taken) - 1; i >= 0; i-- {
		t := v.taken[i]
		if t.photo != v.marks.Photo() || ring(t.pts) {
			continue
		}
		q, err := v.s.Measure(t.photo, annotate.LengthReading, t.pts)
		if err != nil {
			return err
		}
		q.How = "measured " + annotate.OnPhoto + ", " + q.How
		return v.s.EditMark(n, "Length", func(m *record.Mark) { m.Length = &q })
	}
	return fmt.Errorf("use length: measure a line first")
}

// Note says in a sentence what can be measured here.
func (v *Measuring) Note() string {
	if v.marks.Photo() == "" {
		return "There is no photo yet."
	}
	pl, err := v.s.Plane(v.marks.Photo())
	switch {
	case err != nil:
		return Words(err)
	case pl == nil:
		return "This photo has no scale yet. Set one by frets, a card, a ruler or two points; then lengths can be measured."
	}
	return "Scaled by " + pl.Summary() + ". What is measured is taken to lie on the front; a mark on the outline knows its height."
}
