package view

import (
	"fmt"
	"strings"

	"wornwood/annotate"
)

// LedgerRow is one line of the ledger: a mark, or the cap (Mark is 0).
type LedgerRow struct {
	Mark   int
	Text   string
	Parts  string
	Points float64 // in tenths; the rows add up to 100.0 less the index as printed
}

// Grade is the screen that explains the three answers.
type Grade struct{ s *annotate.Session }

// NewGrade makes the model on a session.
func NewGrade(s *annotate.Session) *Grade { return &Grade{s} }

// Ledger lists what each mark costs.
func (v *Grade) Ledger() []LedgerRow {
	g := v.s.Scene().Grade
	if g == nil {
		return nil
	}
	var rows []LedgerRow
	for _, l := range g.Ledger {
		var parts []string
		for _, p := range l.Parts {
			parts = append(parts, string(p))
		}
		rows = append(rows, LedgerRow{l.Mark, l.Text, strings.Join(parts, ", "), l.Shown})
	}
	return rows
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
	return sc.Grade.Explain()
}
