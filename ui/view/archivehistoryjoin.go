package view

import (
	"context"
	"fmt"

	"wornwood/pdfout/archive"
)

// HistoryProposal is another instrument that may be the same.
type HistoryProposal struct {
	Hash     string
	Title    string // "Larkfoot Standard, serial 41873"
	Second   string // "2020-03-17, Alder Lane Strings"
	Strength string // "Strong"
	For      []string
	Against  []string
}

// mostProposals are shown at once.
const mostProposals = 12

// Propose looks for instruments that may be the same as the selected
// examination's. It may be called beside the window: hash is what Hash was.
func (m *ArchiveHistory) Propose(ctx context.Context, hash string) ([]HistoryProposal, string, error) {
	al, err := m.a.Alike(ctx, hash, mostProposals)
	if err != nil {
		return nil, "", err
	}
	var out []HistoryProposal
	for _, p := range al.Proposals {
		r := p.Report
		row := HistoryProposal{Hash: r.Hash, Title: r.Title(), Second: r.Date + ", " + orWord(r.Shop, orWord(r.Examiner, "nobody named")), Strength: Capital(string(p.Strength))}
		if r.Serial != "" {
			row.Title += ", serial " + r.Serial
		}
		for _, e := range p.For {
			row.For = append(row.For, e.Text)
		}
		for _, e := range p.Against {
			row.Against = append(row.Against, e.Text)
		}
		out = append(out, row)
	}
	return out, proposedWords(al), nil
}

func proposedWords(al *archive.Alike) string {
	s := countWord(al.Compared, "record") + " compared"
	if len(al.Proposals) == 0 {
		s += "; nothing to propose"
	}
	if al.Apart > 0 {
		s += fmt.Sprintf("; %s left out that somebody called another", countWord(al.Apart, "instrument"))
	}
	if al.More {
		s += "; not all of its maker and model were looked through for marks"
	}
	return Capital(s) + "."
}

// HistoryDecision is what a person decided about the instrument's reports.
type HistoryDecision struct{ Date, What, Why string }

// Decisions lists them, the latest first.
func (m *ArchiveHistory) Decisions() []HistoryDecision {
	var out []HistoryDecision
	words := map[archive.EventKind]string{archive.Joined: "Joined", archive.Parted: "Parted", archive.Distinct: "Not the same"}
	for i := len(m.h.Decisions) - 1; i >= 0; i-- {
		d := m.h.Decisions[i]
		out = append(out, HistoryDecision{d.Time.Format("2006-01-02"), words[d.Kind] + " by " + d.By, d.Why})
	}
	return out
}

// CanPart says whether the selected examination stands with others.
func (m *ArchiveHistory) CanPart() bool { return len(m.h.Looks) > 1 }

// What a person can decide, for an archive that can be written to.

// Join says that a proposed report is of this instrument.
func (m *ArchiveHistory) Join(a *archive.Archive, by, why, other string) error {
	return a.Join(by, why, m.Hash(), other)
}

// Distinct says that it is of another.
func (m *ArchiveHistory) Distinct(a *archive.Archive, by, why, other string) error {
	return a.Distinct(by, why, m.Hash(), other)
}

// Part says that the selected examination is of another instrument than the rest.
func (m *ArchiveHistory) Part(a *archive.Archive, by, why string) error {
	return a.Part(by, why, m.Hash())
}

// Stay keeps the history on the instrument of a report, for the next Read.
func (m *ArchiveHistory) Stay(hash string) { m.hash = hash }

// Archive is what the history was read from.
func (m *ArchiveHistory) Archive() *archive.Archive { return m.a }
