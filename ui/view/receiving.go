package view

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"wornwood/annotate/outline"
	"wornwood/capture/record"
	"wornwood/pdfout/receive"
)

// Receiving is the screen on which a buyer goes through a report with the
// instrument in hand. It needs no bench. Every answer is saved as it is given.
type Receiving struct {
	v      *receive.Receiving
	folder string // the user's, for the personal key
	sel    int    // row chosen
	tab    string
	photo  string
	pics   map[string][]byte
}

// NewReceiving makes the model; pics are the photos that the report carries, by
// Photo.ID.
func NewReceiving(v *receive.Receiving, folder string, pics map[string][]byte) *Receiving {
	m := &Receiving{v: v, folder: folder, tab: "front", pics: pics}
	if list := m.Photos(); len(list) > 0 {
		m.photo = list[0]
	}
	m.Select(0)
	return m
}

// Report is the report that is received.
func (m *Receiving) Report() *receive.Report { return m.v.Report }

// Header is what stands at the top: the report, the instrument and who signed.
func (m *Receiving) Header() (title, sub string) {
	of := m.v.Of
	serial := ""
	if of.Serial != "" {
		serial = "No. " + of.Serial
	}
	by := m.v.Verdict.Signatures[0].Signer
	if s := m.v.Verdict.Signatures[0].Shop; s != "" {
		by += ", " + s
	}
	return "Receiving " + of.Number, join(" · ", of.Title, serial, "report by "+by)
}

// ReceivingRow is one entry to compare, or something new.
type ReceivingRow struct {
	Label  string // "Mark 3", "Tuners", "Case"
	Says   string
	Answer record.Answer // "" for what is new
	Lacks  string        // what is still asked for, "" for nothing
	New    int           // number of something new, 0 otherwise
}

// Rows lists everything to go through, then what is new.
func (m *Receiving) Rows() []ReceivingRow {
	d := m.v.Draft()
	out := make([]ReceivingRow, 0, len(d.Checked)+len(d.New))
	for _, c := range d.Checked {
		r := ReceivingRow{Label: entryLabel(c), Says: entrySays(c), Answer: c.Answer}
		if c.Answer == record.Differs && strings.TrimSpace(c.Note) == "" {
			r.Lacks = "say how it differs"
		}
		out = append(out, r)
	}
	for _, n := range d.New {
		r := ReceivingRow{Label: fmt.Sprintf("New %d", n.Number), New: n.Number, Says: join(", ", Capital(string(n.Kind)), n.Place)}
		switch {
		case strings.TrimSpace(string(n.Kind)) == "":
			r.Lacks = "say what it is"
		case strings.TrimSpace(n.Place) == "" && n.At == nil:
			r.Lacks = "say where it is"
		}
		if r.Says == "" {
			r.Says = r.Lacks
		}
		out = append(out, r)
	}
	return out
}

func entryLabel(c record.Checked) string {
	switch c.What {
	case record.OfMark:
		return "Mark " + c.ID
	case record.OfPart:
		return Capital(c.ID)
	}
	return "With it"
}

// entrySays leaves out what the label says already.
func entrySays(c record.Checked) string {
	if s, ok := strings.CutPrefix(c.Says, Capital(c.ID)+": "); ok && c.What == record.OfPart {
		return Capital(s)
	}
	return c.Says
}

// Selected is the chosen row; Select chooses another and brings forward the
// view and the photo that show it.
func (m *Receiving) Selected() int { return m.sel }

// Select chooses a row, within the list.
func (m *Receiving) Select(row int) {
	d := m.v.Draft()
	m.sel = max(0, min(row, len(d.Checked)+len(d.New)-1))
	if n := m.Number(); n > 0 {
		m.bringForward(n)
	}
}

// Number is the mark of the chosen row, the report's own or a new one; 0 for
// none.
func (m *Receiving) Number() int {
	if n := m.New(); n != nil {
		return n.Number
	}
	if c := m.Entry(); c != nil {
		if mk := m.v.MarkOf(*c); mk != nil {
			return mk.Number
		}
	}
	return 0
}

// SelectNumber chooses the row of a mark.
func (m *Receiving) SelectNumber(n int) {
	d := m.v.Draft()
	for i, c := range d.Checked {
		if mk := m.v.MarkOf(c); mk != nil && mk.Number == n {
			m.Select(i)
			return
		}
	}
	if i := slices.IndexFunc(d.New, func(x record.NewMark) bool { return x.Number == n }); i >= 0 {
		m.Select(len(d.Checked) + i)
	}
}

// Entry is the chosen entry of the report; nil where something new is chosen.
func (m *Receiving) Entry() *record.Checked {
	if d := m.v.Draft(); m.sel < len(d.Checked) {
		c := d.Checked[m.sel]
		return &c
	}
	return nil
}

// New is the chosen new mark; nil where an entry of the report is chosen.
func (m *Receiving) New() *record.NewMark {
	d := m.v.Draft()
	if i := m.sel - len(d.Checked); i >= 0 && i < len(d.New) {
		n := d.New[i]
		return &n
	}
	return nil
}

// Answer answers for the chosen row. The words of a difference are kept when
// the answer changes, so that a slip of the key loses nothing.
func (m *Receiving) Answer(a record.Answer) error {
	c := m.Entry()
	if c == nil {
		return nil
	}
	return m.v.Answer(c.What, c.ID, a, c.Note)
}

// SetNote says how the chosen row differs, or what else there is to say of it.
// Words of an entry that nobody has answered for make it a difference.
func (m *Receiving) SetNote(s string) error {
	c := m.Entry()
	if c == nil {
		return m.changeNew(func(n *record.NewMark) { n.Note = strings.TrimSpace(s) })
	}
	if c.Answer == record.NotChecked && c.Note == "" && strings.TrimSpace(s) != "" {
		c.Answer = record.Differs
	}
	return m.v.Answer(c.What, c.ID, c.Answer, s)
}

// Rest says of everything that is not checked yet that it is as described.
func (m *Receiving) Rest() error { return m.v.Rest(record.AsDescribed) }

// Next chooses the next entry that is not checked, from the chosen one on and
// round; where all are, it stays.
func (m *Receiving) Next() {
	d := m.v.Draft()
	for i := 1; i <= len(d.Checked); i++ {
		if k := (m.sel + i) % len(d.Checked); d.Checked[k].Answer == record.NotChecked {
			m.Select(k)
			return
		}
	}
}

// AddNew adds something new and chooses it.
func (m *Receiving) AddNew() error {
	_, err := m.v.AddNew(record.NewMark{})
	if err == nil {
		d := m.v.Draft()
		m.Select(len(d.Checked) + len(d.New) - 1)
	}
	return err
}

func (m *Receiving) changeNew(f func(*record.NewMark)) error {
	n := m.New()
	if n == nil {
		return errors.New("choose something new first")
	}
	f(n)
	return m.v.ChangeNew(*n)
}

// SetKind names what the chosen new thing is: a kind of the rubric where the
// letters begin one, else as typed.
func (m *Receiving) SetKind(s string) error {
	k := strings.ToLower(strings.Join(strings.Fields(s), " "))
	for _, info := range m.v.Rubric.Kinds() {
		if k != "" && strings.HasPrefix(string(info.Kind), k) {
			k = string(info.Kind)
			break
		}
	}
	return m.changeNew(func(n *record.NewMark) { n.Kind = record.Kind(k) })
}

// SetPlace says in words where the chosen new thing is.
func (m *Receiving) SetPlace(s string) error {
	return m.changeNew(func(n *record.NewMark) { n.Place = strings.TrimSpace(s) })
}

// Pin sets the chosen new thing on the outline; without one chosen it adds one.
// Its place in words follows, unless somebody typed another.
func (m *Receiving) Pin(at record.Point) error {
	if m.New() == nil {
		if err := m.AddNew(); err != nil {
			return err
		}
	}
	side := m.Tab().Side
	words := func(s string, p *record.Point) string {
		if p == nil {
			return ""
		}
		return Capital(m.v.Drawing.Span(outline.Side(s), []record.Point{*p}))
	}
	return m.changeNew(func(n *record.NewMark) {
		if n.Place == "" || n.Place == words(n.Side, n.At) {
			n.Place = words(string(side), &at)
		}
		n.Side, n.At = string(side), &at
	})
}

// RemoveNew takes the chosen new thing away.
func (m *Receiving) RemoveNew() error {
	n := m.New()
	if n == nil {
		return nil
	}
	err := m.v.RemoveNew(n.Number)
	m.Select(m.sel)
	return err
}

// AddPhoto ties a photo to the chosen new thing.
func (m *Receiving) AddPhoto(path string) error {
	n := m.New()
	if n == nil {
		return errors.New("choose something new first; a photo belongs to it")
	}
	if err := m.v.AddPhoto(n.Number, path); err != nil {
		return err
	}
	m.bringForward(n.Number)
	return nil
}
