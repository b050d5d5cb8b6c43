package view

import (
	"fmt"
	"slices"

	"wornwood/annotate"
	"wornwood/annotate/signs"
	"wornwood/capture/record"
)

// PartRow is one part of the class with its share and what was said of it.
type PartRow struct {
	Part       record.PartID
	Share      float64 // per cent of the whole
	State      record.State
	Inspected  bool
	Marks      int     // marks lying on it
	Points     float64 // what they cost
	Judged     []string
	Reversible string // "", yes, no
	Note       string
	Seen       int // signs answered with seen
	Answered   int // signs answered at all
	Asked      int // signs the list has
	Against    bool
	Photos     int // tied to it
	Selected   bool
}

// SignWords is the row's column on the signs: "2 seen", "5 of 12 answered", ""
// while none is answered.
func (r PartRow) SignWords() string {
	switch {
	case r.Answered == 0:
		return ""
	case r.Seen > 0:
		return fmt.Sprintf("%d seen", r.Seen)
	}
	return fmt.Sprintf("%d of %d", r.Answered, r.Asked)
}

// Parts is the screen of parts and originality.
type Parts struct {
	s        *annotate.Session
	selected record.PartID
}

// NewParts makes the model on a session with the first part selected.
func NewParts(s *annotate.Session) *Parts { return &Parts{s: s} }

// Rows lists the parts in the order of the rubric.
func (v *Parts) Rows() []PartRow {
	sc := v.s.Scene()
	shares, err := v.s.Rubric().Shares(sc.Drawing.Class)
	if err != nil {
		return nil
	}
	selected := v.Selected()
	var rows []PartRow
	for _, sh := range shares {
		r := PartRow{Part: sh.Part, Share: sh.Share, State: record.NotSeen, Selected: sh.Part == selected}
		if sh.Optional {
			r.State = record.NotFitted // until something is said of it
		}
		list := v.s.PartSigns(sh.Part)
		r.Asked = len(list)
		if p := sc.Record.PartByID(sh.Part); p != nil {
			if p.State != "" {
				r.State = p.State
			}
			r.Inspected, r.Judged, r.Note, r.Reversible, r.Photos = p.Inspected, p.Judged, p.Note, p.Reversible, len(p.Photos)
			for _, s := range list {
				switch signs.Answer(*p, s.ID) {
				case "seen":
					r.Seen++
					r.Answered++
				case "not seen", "not opened":
					r.Answered++
				}
			}
			r.Against = len(signs.Against(*p, list)) > 0
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
	for i := range sc.Record.Marks {
		if lies(sc, &sc.Record.Marks[i], part) {
			n++
		}
	}
	return n
}

// lies tells whether a mark is on a part, drawn or stated.
func lies(sc *annotate.Scene, m *record.Mark, part record.PartID) bool {
	return slices.ContainsFunc(m.On, func(p record.Place) bool {
		if p.Part != "" {
			return p.Part == part
		}
		reg, ok := sc.Drawing.Region(p.Region)
		return ok && reg.Part == part
	})
}

// Selected is the part whose details are shown: the one selected last, or the
// first where the class does not have that.
func (v *Parts) Selected() record.PartID {
	shares, err := v.s.Rubric().Shares(v.s.Scene().Drawing.Class)
	if err != nil || len(shares) == 0 {
		return ""
	}
	for _, sh := range shares {
		if sh.Part == v.selected {
			return v.selected
		}
	}
	return shares[0].Part
}

// Select shows the details of a part.
func (v *Parts) Select(id record.PartID) { v.selected = id }

// StateKey is a letter that gives the selected part a state.
type StateKey struct {
	Key   rune
	State record.State
}

// StateKeys lists the letters in the order of the states.
func StateKeys() []StateKey {
	return []StateKey{{'o', record.Original}, {'p', record.PeriodReplacement}, {'l', record.LaterReplacement}, {'r', record.Refinished},
		{'a', record.Altered}, {'m', record.Missing}, {'n', record.NotSeen}, {'x', record.NotFitted}}
}

// StateForKey is the state that a letter gives.
func StateForKey(r rune) (record.State, bool) {
	for _, k := range StateKeys() {
		if k.Key == r {
			return k.State, true
		}
	}
	return "", false
}

// SetState says what a part is. A part that was looked at closely enough to be
// judged counts as inspected, unless it is not there.
func (v *Parts) SetState(id record.PartID, st record.State) error {
	return v.s.SetPart(id, "State", func(p *record.Part) { annotate.JudgePart(p, st) })
}

// SetInspected says whether a part's condition was inspected.
func (v *Parts) SetInspected(id record.PartID, yes bool) error {
	return v.s.SetPart(id, "Inspection", func(p *record.Part) { p.Inspected = yes })
}

// ToggleMethod adds or takes away one way in which a part was judged.
func (v *Parts) ToggleMethod(id record.PartID, how string) error {
	return v.s.SetPart(id, "Method", func(p *record.Part) {
		if i := slices.Index(p.Judged, how); i >= 0 {
			p.Judged = slices.Delete(p.Judged, i, i+1)
			return
		}
		p.Judged = append(p.Judged, how)
	})
}

// SetNote gives a part its note.
func (v *Parts) SetNote(id record.PartID, text string) error {
	if p := v.s.Scene().Record.PartByID(id); p == nil && text == "" {
		return nil
	}
	return v.s.SetPart(id, "Note", func(p *record.Part) { p.Note = text })
}

// SetReversible says whether what was done could be undone: "yes", "no" or "".
func (v *Parts) SetReversible(id record.PartID, answer string) error {
	return v.s.SetReversible(id, answer)
}

// SetSign answers a sign; the answer that it has already is taken back.
func (v *Parts) SetSign(id record.PartID, sign, answer string) error {
	if p := v.s.Scene().Record.PartByID(id); p != nil && signs.Answer(*p, sign) == answer {
		answer = ""
	}
	return v.s.SetSign(id, sign, answer)
}

// TogglePhoto ties a photo to a part or unties it.
func (v *Parts) TogglePhoto(id record.PartID, photo string) error {
	return v.s.TogglePartPhoto(id, photo)
}

// RestOriginal says of every part not yet judged that it was inspected and is
// original.
func (v *Parts) RestOriginal() error { return v.s.SetAllParts(record.Original, true) }

// Summary says how much was inspected, and how many parts' signs do not go
// with what they are stated to be.
func (v *Parts) Summary() string {
	g := v.s.Scene().Grade
	if g == nil {
		return ""
	}
	s := fmt.Sprintf("%.0f %% of the shares inspected", 100*g.Inspected)
	if g.Provisional {
		s += ", so the index is provisional"
	}
	if n := contradicted(v.s.Scene()); n > 0 {
		s += "; signs contradict " + count(n, "part", "parts")
	}
	return s
}
