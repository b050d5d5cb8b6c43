package caution

import (
	"fmt"
	"slices"
	"strings"

	"wornwood/capture/record"
)

// Ask is said once for all materials of legal weight.
const Ask = "Ask the national CITES authority before such a piece is sold or sent across a border. Lists and exemptions change, and this is a caution, not legal advice."

// Proposal is a material that a text of the record names and that is not listed.
type Proposal struct {
	Material Material
	On       string // the part as the list would name it; "" where the text is about the whole
	Where    string // which text: "the fingerboard's entry"
	Text     string // the text itself
}

// Sentence asks whether to list it.
func (p Proposal) Sentence() string {
	return fmt.Sprintf("%s names %s. List it?", strings.ToUpper(p.Where[:1])+p.Where[1:], p.Material.Called())
}

// As is the entry that the proposal would make.
func (p Proposal) As() record.Material {
	return record.Material{Name: p.Material.Name, On: p.On}
}

// text is one text of a record that may name materials: on which part, which
// entry it is, and what it says.
type text struct {
	on, where, text string
}

const (
	withIt = "what comes with it"
	aClaim = "a claim" // what somebody says, not what the entries hold
)

func texts(rec *record.Record) []text {
	in := &rec.Instrument
	out := []text{
		{"body", "the body's entry", in.Body}, {"neck", "the neck's entry", in.Neck}, {"fingerboard", "the fingerboard's entry", in.Fingerboard},
		{"hardware", "the hardware's entry", in.Hardware}, {"inlays", "the inlays' entry", in.Inlays},
		{"", "the remark on materials", in.Material}, {withIt, withIt, in.WithIt},
	}
	for _, p := range rec.Parts {
		out = append(out, text{string(p.ID), "the note on the " + string(p.ID), p.Note})
	}
	for _, e := range rec.Extras {
		out = append(out, text{withIt, withIt, e.What + "; " + e.Note})
	}
	for _, c := range rec.Claims {
		out = append(out, text{"", aClaim, c.Text})
	}
	return out
}

// Proposals are the materials that texts of the record name and that are not
// listed on the part, in the order of the form. One that is taken for a listed
// one on the same part is not proposed: somebody has decided which it is.
func Proposals(rec *record.Record) []Proposal {
	var out []Proposal
	for _, t := range texts(rec) {
		for _, m := range Find(t.text) {
			p := Proposal{m, t.on, t.where, t.text}
			if !listed(rec, m, t.on) && !slices.ContainsFunc(out, func(q Proposal) bool { return q.Material.Name == m.Name && q.On == t.on }) {
				out = append(out, p)
			}
		}
	}
	return out
}

func listed(rec *record.Record, m Material, on string) bool {
	return slices.ContainsFunc(rec.Materials, func(l record.Material) bool {
		k := ByName(l.Name)
		return k != nil && k.Group == m.Group && (on == "" || l.On == "" || strings.EqualFold(l.On, on))
	})
}

// HasDocument tells whether a document that the material names is attached to
// the examination.
func HasDocument(rec *record.Record, m record.Material) bool {
	return slices.ContainsFunc(m.Document, func(id string) bool {
		return slices.ContainsFunc(rec.Attachments, func(a record.Attachment) bool { return a.ID == id })
	})
}

// Caution are the sentences on one listed material: what it appears to be, why
// a look does not tell, what holds for it, whom to ask. A name that the table
// does not have gets no caution of its own.
func Caution(m record.Material, hasDocument bool) []string {
	t := ByName(m.Name)
	called := strings.TrimSpace(m.Name)
	if t != nil {
		called = t.Called()
	}
	out := []string{appears([]string{m.On}, called, hasDocument)}
	if t == nil {
		return append(out, Ask)
	}
	out = append(out, t.sentences(hasDocument)...)
	if t.Legal {
		out = append(out, Ask)
	}
	return out
}

func (m *Material) sentences(hasDocument bool) []string {
	var out []string
	if !hasDocument {
		out = append(out, m.Look)
	}
	return append(out, fmt.Sprintf("%s (As known in %s.)", m.Text, m.AsOfWords()))
}

// appears says of which parts something appears to be what.
func appears(on []string, called string, hasDocument bool) string {
	var parts []string
	for _, o := range on {
		if p := piece(o); p != "" && !slices.Contains(parts, p) {
			parts = append(parts, p)
		}
	}
	what, many := "a piece", len(parts) > 1
	if len(parts) > 0 {
		what = joined(parts)
		many = many || (strings.HasSuffix(what, "s") && !strings.HasSuffix(what, "ss"))
	}
	what = strings.ToUpper(what[:1]) + what[1:]
	if hasDocument {
		return fmt.Sprintf("%s %s named as %s by a document attached to this examination.", what, verb(many, "is", "are"), called)
	}
	return fmt.Sprintf("%s %s to be %s; no document that says so is attached.", what, verb(many, "appears", "appear"), called)
}

// Place is where a material is, behind its name: " on the fingerboard", "" where
// that is not said.
func Place(on string) string {
	switch p := piece(on); {
	case p == "":
		return ""
	case on == withIt:
		return " among " + withIt
	default:
		return " on the " + strings.TrimPrefix(strings.TrimSpace(on), "the ")
	}
}

// piece is a part in a sentence. Hardware, and what comes with an instrument,
// is never all of one such material.
func piece(on string) string {
	on = strings.TrimPrefix(strings.Join(strings.Fields(on), " "), "the ")
	switch on {
	case "":
		return ""
	case "hardware":
		return "a piece of the hardware"
	case withIt:
		return "a piece of " + withIt
	}
	return "the " + on
}

func verb(many bool, one, more string) string {
	if many {
		return more
	}
	return one
}

func joined(list []string) string {
	if len(list) < 2 {
		return strings.Join(list, "")
	}
	return strings.Join(list[:len(list)-1], ", ") + " and " + list[len(list)-1]
}

// Cautions are those of the whole record: of the materials listed and of those
// that its entries name, each material once with all the parts it is on, and
// whom to ask at the end. None where nothing is named.
func Cautions(rec *record.Record) []string {
	type entry struct {
		table  *Material
		called string
		on     []string
		papers bool
	}
	var list []*entry
	add := func(t *Material, called, on string, papers bool) {
		for _, e := range list {
			if e.called == called && e.papers == papers {
				e.on = append(e.on, on)
				return
			}
		}
		list = append(list, &entry{t, called, []string{on}, papers})
	}
	for _, m := range rec.Materials {
		if t := ByName(m.Name); t != nil {
			add(t, t.Called(), m.On, HasDocument(rec, m))
		} else {
			add(nil, strings.TrimSpace(m.Name), m.On, HasDocument(rec, m))
		}
	}
	for _, p := range Proposals(rec) {
		if p.Where != aClaim {
			add(ByName(p.Material.Name), p.Material.Called(), p.On, false)
		}
	}
	var out, said []string
	ask := false
	for _, e := range list {
		s := []string{appears(e.on, e.called, e.papers)}
		ask = ask || e.table == nil || e.table.Legal
		if e.table != nil && !slices.Contains(said, e.called) {
			s = append(s, e.table.sentences(e.papers)...)
			said = append(said, e.called)
		}
		out = append(out, strings.Join(s, " "))
	}
	if ask {
		out = append(out, Ask)
	}
	return out
}
