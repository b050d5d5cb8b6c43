package view

import (
	"fmt"

	"wornwood/pdfout/archive"
)

// ArchiveHistory is the history of one instrument in an archive as it is shown.
type ArchiveHistory struct {
	a    *archive.Archive
	hash string
	inst archive.Instrument
	h    *archive.History
}

// NewArchiveHistory reads the history of the instrument that a report is of,
// named by its SHA-256 or a beginning of it.
func NewArchiveHistory(a *archive.Archive, hash string) (*ArchiveHistory, error) {
	inst, err := a.Instrument(hash)
	if err != nil {
		return nil, err
	}
	h, err := a.History(inst)
	if err != nil {
		return nil, err
	}
	return &ArchiveHistory{a: a, hash: hash, inst: inst, h: h}, nil
}

// Title is the line the instrument is known by.
func (m *ArchiveHistory) Title() string { return m.h.Title }

// HistoryLook is one examination in the list.
type HistoryLook struct {
	Hash  string
	Head  string // "2026-11-14, Fen Street Instruments"
	Index string // "78.4 (77.0–80.1)"
}

// Looks lists the examinations, the oldest first.
func (m *ArchiveHistory) Looks() []HistoryLook {
	var out []HistoryLook
	for i := range m.h.Looks {
		l := &m.h.Looks[i]
		out = append(out, HistoryLook{l.Report.Hash, l.Report.Date + ", " + l.By(), indexWords(l.Index, l.Low, l.High)})
	}
	return out
}

// indexWords is a figure with its range, "–" where there is none.
func indexWords(v *float64, low, high float64) string {
	if v == nil {
		return "–"
	}
	if high-low < 0.05 {
		return fmt.Sprintf("%.1f", *v)
	}
	return fmt.Sprintf("%.1f (%.1f–%.1f)", *v, low, high)
}
