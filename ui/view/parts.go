package view

import (
	"fmt"
	"slices"

	"wornwood/annotate"
	"wornwood/capture/record"
)

// PartRow is one part of the class with its share and what was said of it.
type PartRow struct {
	Part      record.PartID
	Share     float64 // per cent of the whole
	State     record.State
	Inspected bool
	Marks     int     // marks lying on it
	Points    float64 // what they cost
	Judged    []string
	Note      string
}

// Parts is the screen of parts and originality.
type Parts struct{ s *annotate.Session }

// NewParts makes the model on a session.
func NewParts(s *annotate.Session) *Parts { return &Parts{s} }

// Rows lists the parts in the order of the rubric.
func (v *Parts) Rows() []PartRow {
	sc := v.s.Scene()
	shares, err := v.s.Rubric().Shares(sc.Drawing.Class)
	if err != nil {
		return nil
	}
	var rows []PartRow
	for _, sh := range shares {
		r := PartRow{Part: sh.Part, Share: sh.Share, State: record.NotSeen}
		if p := sc.Record.PartByID(sh.Part); p != nil {
			if p.State != "" {
				r.State = p.State
			}
			r.Inspected, r.Judged, r.Note = p.Inspected, p.Judged, p.Note
		}
		if sc.Grade != nil {
			for _, g := range sc.Grade.Parts {
				if g.Part == sh.Part {
					r.Points, r.Inspected = g.Points, g.Inspected
				}
			}
		}
		r.Marks = marksOn(sc, sh.Part)
		rows = append(rows, r)
	}
	return rows
}

func marksOn(sc *annotate.Scene, part record.PartID) int {
	n := 0
	for _, m := range sc.Record.Marks {
		if slices.ContainsFunc(m.On, func(p record.Place) bool {
			if p.Part != "" {
				return p.Part == part
			}
			reg, ok := sc.Drawing.Region(p.Region)
			return ok && reg.Part == part
		}) {
			n++
		}
	}
	return n
}

// SetState says what a part is. A part that was looked at closely enough to be
// judged counts as inspected, unless it is not there.
func (v *Parts) SetState(id record.PartID, st record.State) error {
	return v.s.SetPart(id, "State", func(p *record.Part) {
		p.State = st
		if st == record.Original || st == record.PeriodReplacement || st == record.LaterReplacement || st == record.Refinished || st == record.Altered {
			p.Inspected = true
		}
	})
}

// SetInspected says whether a part's condition was inspected.
func (v *Parts) SetInspected(id record.PartID, yes bool) error {
	return v.s.SetPart(id, "Inspection", func(p *record.Part) { p.Inspected = yes })
}

// ToggleMethod adds or takes away one way in which a part was judged.
func (v *Parts) ToggleMethod(id record.PartID, how string) error {
	return v.s.SetPart(id, "Method", func(p *record.Part) {
		if i := slices.Index(p.Judged, how); i >= 0 {
			p.Judged = slices.Delete(slices.Clone(p.Judged), i, i+1)
			return
		}
		p.Judged = append(slices.Clone(p.Judged), how)
	})
}

// SetNote gives a part its note.
func (v *Parts) SetNote(id record.PartID, text string) error {
	if p := v.s.Scene().Record.PartByID(id); (p == nil && text == "") || (p != nil && p.Note == text) {
		return nil
	}
	return v.s.SetPart(id, "Note", func(p *record.Part) { p.Note = text })
}

// RestOriginal says of every part not yet judged that it was inspected and is
// original.
func (v *Parts) RestOriginal() error { return v.s.SetAllParts(record.Original, true) }

// Summary says how much was inspected.
func (v *Parts) Summary() string {
	g := v.s.Scene().Grade
	if g == nil {
		return ""
	}
	s := fmt.Sprintf("%.0f %% of the shares inspected", 100*g.Inspected)
	if g.Provisional {
		s += "; below 80 % the index is provisional"
	}
	return s
}
