package view

import (
	"context"
	"fmt"
	"image"
	"strings"

	"wornwood/annotate/compare"
	"wornwood/pdfout/archive"
)

// ArchiveHistory is the history of one instrument in an archive as it is shown:
// one examination is selected, and two photos of one view stand side by side.
type ArchiveHistory struct {
	a    *archive.Archive
	hash string
	inst archive.Instrument
	h    *archive.History
	sel  int

	views []archive.ViewRow
	view  int // of views
	pair  [2]int
}

// NewArchiveHistory reads the history of the instrument that a report is of,
// named by its SHA-256 or a beginning of it. The examination of that report is
// selected.
func NewArchiveHistory(a *archive.Archive, hash string) (*ArchiveHistory, error) {
	m := &ArchiveHistory{a: a, hash: hash}
	return m, m.Read()
}

// Read reads the history anew, after something was decided or filed.
func (m *ArchiveHistory) Read() error {
	inst, err := m.a.Instrument(m.hash)
	if err != nil {
		return err
	}
	h, err := m.a.History(inst)
	if err != nil {
		return err
	}
	m.inst, m.h, m.views, m.view = inst, h, h.Views(), 0
	m.sel = len(h.Looks) - 1
	for i, l := range h.Looks {
		for _, v := range l.Versions {
			if strings.HasPrefix(v.Hash, strings.ToLower(m.hash)) {
				m.sel = i
			}
		}
	}
	m.SetView(0)
	return nil
}

// Hashes are the reports that the history shows.
func (m *ArchiveHistory) Hashes() []string {
	var out []string
	for _, l := range m.h.Looks {
		out = append(out, l.Report.Hash)
	}
	return out
}

// Title is the line the instrument is known by.
func (m *ArchiveHistory) Title() string { return m.h.Title }

// Second is what stands below the title.
func (m *ArchiveHistory) Second() string {
	n := len(m.h.Looks)
	s := "no serial number"
	if m.h.Serial != "" {
		s = "serial " + m.h.Serial
	}
	by := map[string]bool{}
	for i := range m.h.Looks {
		by[m.h.Looks[i].By()] = true
	}
	s += ", " + countWord(n, "examination") + " by " + countWord(len(by), "dealer")
	if n > 1 {
		s += ", " + m.h.Looks[0].Report.Date + " to " + m.h.Looks[n-1].Report.Date
	}
	if m.h.MoreMarks {
		s += "; not all of their marks are followed"
	}
	if m.h.More {
		s += "; there are more, these are the latest"
	}
	return s
}

func countWord(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}

// Count is how many examinations there are.
func (m *ArchiveHistory) Count() int { return len(m.h.Looks) }

// Selected is the place of the selected examination in the list.
func (m *ArchiveHistory) Selected() int { return m.sel }

// Select selects an examination; places beyond the ends select the last there.
func (m *ArchiveHistory) Select(i int) { m.sel = max(0, min(i, len(m.h.Looks)-1)) }

// Hash is the SHA-256 of the selected examination's report.
func (m *ArchiveHistory) Hash() string {
	if m.sel < 0 || m.sel >= len(m.h.Looks) {
		return ""
	}
	return m.h.Looks[m.sel].Report.Hash
}

// HistoryLook is one examination as it is listed.
type HistoryLook struct {
	Hash     string
	Date, By string
	Index    string // "78.4 (77.0–80.1)"
	Original string
	Playing  string
	Trouble  string
	State    string // how well the signer was known, countersigned
}

// Look is the i-th examination, the oldest first.
func (m *ArchiveHistory) Look(i int) HistoryLook {
	l := &m.h.Looks[i]
	out := HistoryLook{Hash: l.Report.Hash, Date: l.Report.Date, By: l.By(), Index: indexWords(l.Index, l.Low, l.High), Original: indexWords(l.Originality, l.OriginalityLow, l.OriginalityHigh),
		Playing: l.Playing(), State: "key " + l.Report.Verdict}
	if l.Report.Countersigned {
		out.State += ", countersigned"
	}
	if l.Trouble != "" {
		out.Trouble = "Its record cannot be read: " + l.Trouble
	}
	return out
}

// indexWords is a figure with its range, "–" where there is none.
func indexWords(v *float64, low, high float64) string {
	switch {
	case v == nil:
		return "–"
	case high-low < 0.05:
		return fmt.Sprintf("%.1f", *v)
	}
	return fmt.Sprintf("%.1f (%.1f–%.1f)", *v, low, high)
}

// Changes are sentences on the selected examination: what it says otherwise than
// the one before.
func (m *ArchiveHistory) Changes() []string {
	if m.sel < 0 {
		return nil
	}
	l := &m.h.Looks[m.sel]
	var out []string
	if l.Trouble != "" {
		return []string{"Its record cannot be read: " + l.Trouble + "."}
	}
	for _, c := range l.Changes {
		out = append(out, c.Text)
	}
	switch {
	case m.sel == 0:
		out = append(out, fmt.Sprintf("The first examination that is filed; it lists %s.", countWord(l.Marks, "mark")))
	case len(out) == 0:
		out = append(out, "Nothing that it says differs from the examination before.")
	}
	return out
}

// Contradictions are sentences on what does not fit together, those about the
// selected examination first.
func (m *ArchiveHistory) Contradictions() (here, others []string) {
	for _, c := range m.h.Contradictions {
		about := false
		for _, i := range c.Looks {
			about = about || i == m.sel
		}
		if about {
			here = append(here, c.Text)
		} else {
			others = append(others, c.Text)
		}
	}
	return here, others
}

// HistoryMark is one mark as a row: a cell for each examination.
type HistoryMark struct {
	Title, Where string
	Cells        []HistoryCell
}

// HistoryCell is what one examination says of a mark.
type HistoryCell struct {
	Text  string
	Tone  CellTone
	Words string // in full
}

// CellTone says how a cell is set.
type CellTone int

// The tones.
const (
	CellQuiet CellTone = iota // as before
	CellNews                  // new, grown, deeper
	CellGone                  // not there any more
)

// Marks are the marks over time.
func (m *ArchiveHistory) Marks() []HistoryMark {
	var out []HistoryMark
	for _, s := range m.h.Marks {
		row := HistoryMark{Title: s.Title, Where: Capital(s.Where)}
		for _, c := range s.Cells {
			row.Cells = append(row.Cells, cellOf(c))
		}
		out = append(out, row)
	}
	return out
}

func cellOf(c archive.MarkCell) HistoryCell {
	size := strings.TrimSpace(c.Size)
	out := HistoryCell{Words: c.Words}
	switch c.Fate {
	case "":
		if c.Listed() {
			out.Text = orWord(size, "listed")
		}
	case compare.Same:
		out.Text = orWord(size, "as before")
	case compare.New, compare.Grown, compare.Deeper, compare.Again, compare.Smaller:
		out.Text, out.Tone = joined(string(c.Fate), size), CellNews
	case compare.Repaired:
		out.Text, out.Tone = joined("repaired", size), CellNews
	default:
		out.Text, out.Tone = string(c.Fate), CellGone
	}
	return out
}

func orWord(s, other string) string {
	if s == "" {
		return other
	}
	return s
}

func joined(a, b string) string {
	if b == "" {
		return a
	}
	return a + ", " + b
}

// HistoryPart is what each examination calls a part.
type HistoryPart struct {
	Part   string
	States []string
}

// Parts are the parts of which at least two examinations say something
// different; all of them where all is set.
func (m *ArchiveHistory) Parts(all bool) []HistoryPart {
	var out []HistoryPart
	for _, p := range m.h.Parts {
		if all || p.Changed {
			out = append(out, HistoryPart{Capital(p.Part), p.States})
		}
	}
	return out
}

// HistoryHeld is a line on who had the instrument.
type HistoryHeld struct{ Date, Who, How string }

// Held lists who had the instrument when, as far as the reports say.
func (m *ArchiveHistory) Held() []HistoryHeld {
	var out []HistoryHeld
	for _, x := range m.h.Held {
		how := x.How
		if x.Who == "" {
			how = Capital(how)
		}
		out = append(out, HistoryHeld{x.Date, x.Who, how})
	}
	return out
}

// Views are the views of which there are photos.
func (m *ArchiveHistory) Views() []string {
	var out []string
	for _, v := range m.views {
		out = append(out, v.View)
	}
	return out
}

// View is the place of the chosen view in Views.
func (m *ArchiveHistory) View() int { return m.view }

// SetView chooses a view and sets its first and last photo side by side.
func (m *ArchiveHistory) SetView(i int) {
	if i < 0 || i >= len(m.views) {
		return
	}
	m.view = i
	at := m.PhotoLooks()
	m.pair = [2]int{at[0], at[len(at)-1]}
}

// PhotoLooks are the places of the examinations that have a photo of the view.
func (m *ArchiveHistory) PhotoLooks() []int {
	var out []int
	if len(m.views) == 0 {
		return nil
	}
	for i, id := range m.views[m.view].Photos {
		if id != "" {
			out = append(out, i)
		}
	}
	return out
}

// Pair are the places of the examinations whose photos stand left and right.
func (m *ArchiveHistory) Pair() [2]int { return m.pair }

// SetPair puts another examination's photo to the left (0) or right (1).
func (m *ArchiveHistory) SetPair(side, look int) { m.pair[side&1] = look }

// HistoryPhoto names a photo of a report.
type HistoryPhoto struct{ Report, ID string }

// Photo is the photo of the chosen view at an examination; an empty ID where it
// has none.
func (m *ArchiveHistory) Photo(look int) HistoryPhoto {
	if len(m.views) == 0 || look < 0 || look >= len(m.h.Looks) {
		return HistoryPhoto{}
	}
	return HistoryPhoto{m.h.Looks[look].Report.Hash, m.views[m.view].Photos[look]}
}

// Picture decodes a photo, no larger than so many pixels; nil where the report
// does not print it. It may be called beside the window.
func (m *ArchiveHistory) Picture(ctx context.Context, p HistoryPhoto, size int) (image.Image, error) {
	list, err := m.a.Pictures(ctx, p.Report, []string{p.ID}, size)
	return list[p.ID], err
}
