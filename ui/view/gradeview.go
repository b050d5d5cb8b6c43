package view

import (
	"fmt"
	"strings"

	"wornwood/annotate"
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

// Strings and Frets give the size of the playing grid.
func (v *Grade) Strings() int { return v.s.Scene().Drawing.Strings }

// Frets is the number of frets of the grid.
func (v *Grade) Frets() int { return v.s.Scene().Drawing.Frets }

// Sound is how one position speaks.
func (v *Grade) Sound(str, fret int) record.Sound { return v.s.Scene().Record.Playing.At(str, fret) }

// Cycle sets a position to the next sound in the order of the list.
func (v *Grade) Cycle(str, fret int) error {
	all := record.Sounds()
	now := v.Sound(str, fret)
	next := all[0]
	for i, s := range all {
		if s == now {
			next = all[(i+1)%len(all)]
		}
	}
	return v.s.SetSound(str, fret, next)
}

// Set gives a position a sound.
func (v *Grade) Set(str, fret int, snd record.Sound) error { return v.s.SetSound(str, fret, snd) }

// RestClean says that every position not listed by itself is clean; RestNotTried
// takes that back.
func (v *Grade) RestClean() error { return v.s.SetOtherSounds(record.Clean) }

// RestNotTried says that every position not listed by itself was not tried.
func (v *Grade) RestNotTried() error { return v.s.SetOtherSounds(record.NotTried) }
