package record

import (
	"encoding/json"
	"fmt"
	"io"
	"math"
)

// Limits of a record read from elsewhere. A report of 200 marks and 300 photos
// must fit with room to spare; a hostile file must not fill the memory.
const (
	MaxBytes  = 16 << 20
	MaxMarks  = 5000
	MaxPhotos = 5000
	MaxPoints = 20000 // of one shape
)

// Read reads and checks a record from untrusted JSON.
func Read(r io.Reader) (*Record, error) {
	b, err := io.ReadAll(io.LimitReader(r, MaxBytes+1))
	if err != nil {
		return nil, fmt.Errorf("read record: %w", err)
	}
	if len(b) > MaxBytes {
		return nil, fmt.Errorf("read record: larger than %d MiB", MaxBytes>>20)
	}
	var rec Record
	if err := json.Unmarshal(b, &rec); err != nil {
		return nil, fmt.Errorf("read record: %w", err)
	}
	if rec.Schema != "" && rec.Schema != Schema {
		return nil, fmt.Errorf("read record: its schema is %q, this program reads %q", rec.Schema, Schema)
	}
	if err := rec.Check(); err != nil {
		return nil, err
	}
	return &rec, nil
}

// Check refuses what no examination can hold: numbers that are not numbers,
// doubled mark numbers, shares outside 0..1, sizes below nothing.
func (r *Record) Check() error {
	if len(r.Marks) > MaxMarks || len(r.Photos) > MaxPhotos {
		return fmt.Errorf("check record: %d marks and %d photos, more than one examination can hold", len(r.Marks), len(r.Photos))
	}
	if o := r.Instrument.Own; o != nil {
		if err := o.check(); err != nil {
			return fmt.Errorf("check record: %w", err)
		}
	}
	for i := range r.Photos {
		if err := r.Photos[i].check(); err != nil {
			return fmt.Errorf("check record: photo %q: %w", r.Photos[i].Name, err)
		}
	}
	seen := map[int]bool{}
	for i := range r.Marks {
		m := &r.Marks[i]
		if m.Number < 1 || seen[m.Number] {
			return fmt.Errorf("check record: mark number %d is below 1 or used twice", m.Number)
		}
		seen[m.Number] = true
		if err := m.check(); err != nil {
			return fmt.Errorf("check record: mark %d: %w", m.Number, err)
		}
	}
	parts := map[PartID]bool{}
	for _, p := range r.Parts {
		if parts[p.ID] {
			return fmt.Errorf("check record: part %q is listed twice", p.ID)
		}
		parts[p.ID] = true
		if err := p.check(); err != nil {
			return fmt.Errorf("check record: part %q %w", p.ID, err)
		}
	}
	for _, q := range r.Readings {
		if !finite(q.Value.Value) || !finite(q.Value.Uncertainty) || q.Value.Uncertainty < 0 {
			return fmt.Errorf("check record: reading %q is not a number", q.ID)
		}
	}
	if err := r.checkFurther(); err != nil {
		return fmt.Errorf("check record: %w", err)
	}
	return r.checkPlaying()
}

// checkFurther checks what is kept beside marks, parts and photos: each by
// itself, identities given once, lists within bounds.
func (r *Record) checkFurther() error {
	if r.Setup != nil {
		if err := r.Setup.check(); err != nil {
			return err
		}
	}
	if w := r.Wiring; w != nil && !(finite(w.CableCapacitance) && finite(w.Load) && w.CableCapacitance >= 0 && w.Load >= 0 && w.State.known()) {
		return fmt.Errorf("the wiring has an unknown state, or a load that is not a number of 0 or more")
	}
	for _, err := range []error{
		checkList("components", r.Components, MaxComponents, (*Component).check, func(c *Component) string { return c.ID }),
		checkList("pieces of dating evidence", r.Evidence, MaxEvidence, (*Evidence).check, func(e *Evidence) string { return e.ID }),
		checkList("attachments", r.Attachments, MaxEntries, (*Attachment).check, func(a *Attachment) string { return a.ID }),
		checkList("things that come with it", r.Extras, MaxEntries, (*Extra).check, func(e *Extra) string { return e.ID }),
		checkList("materials", r.Materials, MaxEntries, (*Material).check, func(m *Material) string { return m.ID }),
	} {
		if err != nil {
			return err
		}
	}
	return nil
}

func checkList[T any](name string, list []T, most int, check func(*T) error, id func(*T) string) error {
	if len(list) > most {
		return fmt.Errorf("%d %s, more than one examination can hold", len(list), name)
	}
	seen := map[string]bool{}
	for i := range list {
		if err := check(&list[i]); err != nil {
			return err
		}
		if k := id(&list[i]); seen[k] {
			return fmt.Errorf("%q is listed twice among the %s", k, name)
		} else {
			seen[k] = true
		}
	}
	return nil
}

func (r *Record) checkPlaying() error {
	at := map[[2]int]bool{}
	for _, p := range r.Playing.Positions {
		k := [2]int{p.String, p.Fret}
		if at[k] || p.String < 1 || p.Fret < 1 || !p.Sound.known() {
			return fmt.Errorf("check record: playing position string %d fret %d (%q) is impossible or listed twice", p.String, p.Fret, p.Sound)
		}
		at[k] = true
	}
	if r.Playing.Others != "" && !r.Playing.Others.known() {
		return fmt.Errorf("check record: unknown sound %q", r.Playing.Others)
	}
	return nil
}

func (m *Mark) check() error {
	if m.Kind == "" {
		return fmt.Errorf("has no kind")
	}
	if m.Depth != "" && m.Depth.Level() < 0 {
		return fmt.Errorf("unknown depth %q", m.Depth)
	}
	if m.Reading != nil && (!finite(m.Reading.Value) || m.Reading.Value < 0) {
		return fmt.Errorf("its reading is not a number of 0 or more")
	}
	if m.Fade != nil {
		if err := m.Fade.check(); err != nil {
			return err
		}
	}
	for _, q := range []*Quantity{m.Length, m.Width, m.Area} {
		if q != nil && (!finite(q.Value) || q.Value < 0 || !finite(q.Uncertainty) || q.Uncertainty < 0) {
			return fmt.Errorf("its size is not a number of 0 or more")
		}
	}
	for _, p := range m.On {
		if err := p.check(); err != nil {
			return err
		}
	}
	for _, p := range m.Photos {
		if err := checkShape(p.Shape, p.Points); err != nil {
			return err
		}
	}
	return nil
}

func (p Place) check() error {
	if p.Coverage != nil && (!finite(*p.Coverage) || *p.Coverage < 0 || *p.Coverage > 1) {
		return fmt.Errorf("its stated coverage is outside 0..1")
	}
	for _, n := range p.Pieces {
		if n < 1 {
			return fmt.Errorf("piece %d: pieces count from 1", n)
		}
	}
	if len(p.Points) == 0 {
		if p.Part == "" {
			return fmt.Errorf("a place names neither points nor a part")
		}
		if p.Coverage == nil && len(p.Pieces) == 0 {
			return fmt.Errorf("a place on %q needs a coverage or pieces", p.Part)
		}
		return nil
	}
	return checkShape(p.Shape, p.Points)
}

func checkShape(s Shape, pts []Point) error {
	need := map[Shape]int{PointShape: 1, LineShape: 2, AreaShape: 3}[s]
	if need == 0 {
		return fmt.Errorf("unknown shape %q", s)
	}
	if len(pts) < need || (s == PointShape && len(pts) != 1) || len(pts) > MaxPoints {
		return fmt.Errorf("a %s with %d points", s, len(pts))
	}
	for _, q := range pts {
		if !ordinary(q) {
			return fmt.Errorf("a coordinate is not an ordinary number")
		}
	}
	return nil
}

// ordinary refuses coordinates that are not numbers. Ten kilometres (or ten
// million pixels a side) is beyond any instrument and any photo; it also keeps
// products of coordinates exact enough.
func ordinary(q Point) bool { return q.Finite() && math.Abs(q.X) <= 1e7 && math.Abs(q.Y) <= 1e7 }

func (p *Photo) check() error {
	for _, s := range []*Scale{p.Scale, p.Register} {
		if s != nil {
			if err := s.check(); err != nil {
				return err
			}
		}
	}
	if len(p.Dismissed) > MaxMarks {
		return fmt.Errorf("%d dismissed suggestions, more than one photo can hold", len(p.Dismissed))
	}
	for _, d := range p.Dismissed {
		if err := checkShape(d.Shape, d.Points); err != nil {
			return err
		}
	}
	return nil
}

func (s State) known() bool {
	if s == "" {
		return true
	}
	for _, k := range States() {
		if s == k {
			return true
		}
	}
	return false
}

func (s Sound) known() bool {
	for _, k := range Sounds() {
		if s == k {
			return true
		}
	}
	return false
}

func finite(v float64) bool { return !math.IsNaN(v) && !math.IsInf(v, 0) }
