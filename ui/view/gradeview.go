package view

import (
	"fmt"
	"slices"
	"strings"

	"wornwood/annotate"
	"wornwood/annotate/grade"
	"wornwood/capture/record"
)

// LedgerRow is one line of the ledger: a mark, or the cap (Mark is 0).
type LedgerRow struct {
	Mark   int
	Text   string
	Parts  string
	Points float64 // in tenths; the rows add up to 100.0 less the index as printed
}

// Grade is the screen that explains the three answers.
type Grade struct {
	s      *annotate.Session
	chosen int // line of the ledger, -1 for none
	mark   int // its mark, so that the choice stays with it when lines move
	part   record.PartID

	seen  *annotate.Scene // what the outcomes below were computed from
	asked map[grade.Supposition]*grade.Outcome
}

// NewGrade makes the model on a session.
func NewGrade(s *annotate.Session) *Grade { return &Grade{s: s, chosen: -1} }

// Ledger lists what each mark costs.
func (v *Grade) Ledger() []LedgerRow {
	g := v.s.Scene().Grade
	if g == nil {
		return nil
	}
	var rows []LedgerRow
	for _, l := range g.Ledger {
		rows = append(rows, LedgerRow{l.Mark, l.Text, joinParts(l.Parts), l.Shown})
	}
	return rows
}

func joinParts(ps []record.PartID) string {
	var s []string
	for _, p := range ps {
		s = append(s, string(p))
	}
	return strings.Join(s, ", ")
}

// Total is the foot of the ledger: the index it leads to.
func (v *Grade) Total() string {
	g := v.s.Scene().Grade
	if g == nil || g.Index == nil {
		return "not graded, nothing was inspected"
	}
	return fmt.Sprintf("%.1f", *g.Index)
}

// Explain gives the calculation in sentences, or says why there is none.
func (v *Grade) Explain() []string {
	sc := v.s.Scene()
	if sc.GradeError != nil {
		return []string{Words(sc.GradeError)}
	}
	return append(sc.Grade.Explain(), grade.Repaired(sc.Record)...)
}

// Headline is the index in a sentence, or why there is none.
func (v *Grade) Headline() string {
	sc := v.s.Scene()
	switch g := sc.Grade; {
	case sc.GradeError != nil:
		return Words(sc.GradeError)
	case g == nil || g.Index == nil:
		return "No part was inspected, so there is no index; it could be anything from 0 to 100."
	default:
		s := fmt.Sprintf("%.1f of 100, class %d of 6: %s", *g.Index, g.Class, g.Word)
		if len(g.NotInspected) > 0 {
			s += fmt.Sprintf(". Range %.1f to %.1f, for what was not inspected", g.Low, g.High)
		}
		return s + "."
	}
}

// Notes are what else must be said of the index: what holds it, and what is
// missing for it to be more than provisional.
func (v *Grade) Notes() []string {
	g := v.s.Scene().Grade
	if g == nil || g.Index == nil {
		return nil
	}
	var out []string
	if c := g.Cap; c != nil {
		counted := ""
		if c.CountedAs > 0 {
			counted = fmt.Sprintf(" that counts as %s", percent(c.CountedAs))
		}
		s := fmt.Sprintf("Mark %d, a structural flaw on %s of the %s%s, holds the instrument to class %d, an index of at most %.1f.", c.Mark, percent(c.Extent), c.Part, counted, c.Class, c.Limit)
		if o := v.outcome(grade.Supposition{Without: c.Mark}); o != nil && o.Index() != nil {
			s += fmt.Sprintf(" Without it: %s.", o.Figures())
		}
		out = append(out, s)
	}
	if g.Provisional {
		out = append(out, v.provisional(g))
	}
	return out
}

// provisional says what is missing, the largest parts first.
func (v *Grade) provisional(g *grade.Result) string {
	need := v.s.Scene().Rubric.ProvisionalBelow
	missing := slices.DeleteFunc(slices.Clone(g.Parts), func(p grade.PartResult) bool { return !p.Fitted || p.Inspected })
	slices.SortStableFunc(missing, func(a, b grade.PartResult) int { return int(b.Share*1000) - int(a.Share*1000) })
	var names []string
	for i, p := range missing {
		if i == 3 {
			names = append(names, fmt.Sprintf("%d more", len(missing)-3))
			break
		}
		names = append(names, fmt.Sprintf("%s %s %%", p.Part, short(p.Share)))
	}
	return fmt.Sprintf("Provisional: %s of the whole was inspected, %s more is needed for %s. Not inspected: %s.",
		percent(g.Inspected), percent(need-g.Inspected), percent(need), strings.Join(names, ", "))
}

// percent is a share 0..1 with as many figures as it needs.
func percent(share float64) string {
	switch {
	case share > 0 && share < 0.001:
		return "under 0.1 %"
	case share < 0.1:
		return fmt.Sprintf("%.1f %%", 100*share)
	}
	return fmt.Sprintf("%.0f %%", 100*share)
}

// short is a number without zeros that say nothing.
func short(v float64) string {
	return strings.TrimSuffix(fmt.Sprintf("%.1f", v), ".0")
}

// Bar is the range drawn on the scale from 0 to 100.
type Bar struct {
	Index     *float64
	Low, High float64
	Range     bool // whether Low and High differ from the index
	Class     int
	Limit     float64 // highest index that the cap allows, 100 without one
	Classes   []grade.ClassWord
}

// Bar is what the bar shows.
func (v *Grade) Bar() Bar {
	sc := v.s.Scene()
	b := Bar{Limit: 100, Classes: sc.Rubric.Scale()}
	if g := sc.Grade; g != nil {
		b.Index, b.Low, b.High, b.Class, b.Range = g.Index, g.Low, g.High, g.Class, len(g.NotInspected) > 0
		if g.Cap != nil {
			b.Limit = g.Cap.Limit
		}
	}
	return b
}
