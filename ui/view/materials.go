package view

import (
	"fmt"
	"slices"
	"strings"

	"wornwood/annotate"
	"wornwood/annotate/caution"
	"wornwood/capture/record"
)

// MaterialRow is one listed material.
type MaterialRow struct {
	ID        string
	Name      string
	On        string
	How       string
	Note      string
	Documents int
	Gap       string // what the entry lacks, "" for nothing
	Lacks     string // the same in a word for a list
	Selected  bool
}

// Materials is the list of materials of legal weight, with what the texts of the
// record propose for it.
type Materials struct {
	s        *annotate.Session
	selected string
}

// NewMaterials makes the model on a session.
func NewMaterials(s *annotate.Session) *Materials { return &Materials{s: s} }

// Proposals are the materials that texts name and that are not listed.
func (v *Materials) Proposals() []caution.Proposal { return caution.Proposals(v.s.Scene().Record) }

// Accept lists a proposal and shows it.
func (v *Materials) Accept(p caution.Proposal) error {
	id, err := v.s.AddMaterial(p.As())
	if err == nil {
		v.selected = id
	}
	return err
}

// Rows lists the materials in the order in which they were entered.
func (v *Materials) Rows() []MaterialRow {
	rec := v.s.Scene().Record
	at := v.Selected()
	var rows []MaterialRow
	for i := range rec.Materials {
		m := &rec.Materials[i]
		rows = append(rows, MaterialRow{ID: m.ID, Name: m.Name, On: m.On, How: m.How, Note: m.Note, Documents: len(existing(rec, m.Document)),
			Gap: annotate.MaterialGap(rec, m), Selected: m.ID == at})
		switch r := &rows[i]; {
		case r.Gap == "":
		case r.On == "":
			r.Lacks = "the part"
		default:
			r.Lacks = "a paper"
		}
	}
	return rows
}

// Selected is the identity of the material shown, "" while there is none.
func (v *Materials) Selected() string {
	list := v.s.Scene().Record.Materials
	if len(list) == 0 {
		return ""
	}
	if slices.ContainsFunc(list, func(m record.Material) bool { return m.ID == v.selected }) {
		return v.selected
	}
	return list[0].ID
}

// Select shows a material.
func (v *Materials) Select(id string) { v.selected = id }

// Chosen is a copy of the material shown, nil while there is none.
func (v *Materials) Chosen() *record.Material { return v.s.Material(v.Selected()) }

// Add lists a material of the table and shows it.
func (v *Materials) Add(name string) error {
	id, err := v.s.AddMaterial(record.Material{Name: name, How: "seen"})
	if err == nil {
		v.selected = id
	}
	return err
}

// Remove takes the material shown off the list and shows the next.
func (v *Materials) Remove() error {
	id := v.Selected()
	if id == "" {
		return nil
	}
	list := v.s.Scene().Record.Materials
	next := neighbour(len(list), slices.IndexFunc(list, func(m record.Material) bool { return m.ID == id }))
	after := ""
	if next >= 0 {
		after = list[next].ID
	}
	if err := v.s.RemoveMaterial(id); err != nil {
		return err
	}
	v.selected = after
	return nil
}

// MaterialPlaces are the parts that a form offers; another may be typed.
func MaterialPlaces() []string {
	return []string{"body", "neck", "fingerboard", "headstock", "binding", "inlays", "bridge", "nut", "pegs", "hardware", "guard and covers", "bow", "frog", "case"}
}

// Fields are the fields of the material shown.
func (v *Materials) Fields() []Field {
	field := func(label, hint string, choices []string, at func(*record.Material) *string) Field {
		return Field{Label: label, Hint: hint, Choices: choices,
			Get: func() string {
				if m := v.Chosen(); m != nil {
					return *at(m)
				}
				return ""
			},
			Set: func(t string) error {
				if v.Selected() == "" {
					return nil
				}
				return v.s.SetMaterial(v.Selected(), label, func(m *record.Material) { *at(m) = t })
			}}
	}
	return []Field{
		field("Material", "as it is called", caution.Names(), func(m *record.Material) *string { return &m.Name }),
		field("On", "fingerboard, inlays …", MaterialPlaces(), func(m *record.Material) *string { return &m.On }),
		field("How it was judged", "", annotate.MaterialHow(), func(m *record.Material) *string { return &m.How }),
		field("Note", "", nil, func(m *record.Material) *string { return &m.Note }),
	}
}

// Tied are the documents that name the material shown, and Tieable those that
// could be tied.
func (v *Materials) Tied() []FileChoice {
	if m := v.Chosen(); m != nil {
		return fileChoices(v.s.Scene().Record, func(id string) bool { return slices.Contains(m.Document, id) })
	}
	return nil
}

// Tieable are the attachments that the material shown is not tied to; a photo is
// no document.
func (v *Materials) Tieable() []FileChoice {
	rec := v.s.Scene().Record
	if m := v.Chosen(); m != nil {
		return fileChoices(rec, func(id string) bool { return !slices.Contains(m.Document, id) && rec.PhotoByID(id) == nil })
	}
	return nil
}

// Tie ties the material shown to a document that names it, which is then how it
// was judged.
func (v *Materials) Tie(id string) error {
	return v.s.SetMaterial(v.Selected(), "Document", func(m *record.Material) {
		if !slices.Contains(m.Document, id) {
			m.Document, m.How = append(m.Document, id), "document"
		}
	})
}

// Untie takes a document off the material shown.
func (v *Materials) Untie(id string) error {
	return v.s.SetMaterial(v.Selected(), "Document", func(m *record.Material) {
		m.Document = slices.DeleteFunc(m.Document, func(d string) bool { return d == id })
	})
}

// Gap says what the material shown lacks, "" for nothing.
func (v *Materials) Gap() string {
	if m := v.Chosen(); m != nil {
		return annotate.MaterialGap(v.s.Scene().Record, m)
	}
	return ""
}

// Cautions are those of the material shown; while none is listed, those that
// follow from what the entries name.
func (v *Materials) Cautions() []string {
	rec := v.s.Scene().Record
	if m := v.Chosen(); m != nil {
		return caution.Caution(*m, caution.HasDocument(rec, *m))
	}
	return caution.Cautions(rec)
}

// Sources says where the caution on the material shown is from, "" for none.
func (v *Materials) Sources() string {
	m := v.Chosen()
	if m == nil {
		return ""
	}
	t := caution.ByName(m.Name)
	if t == nil {
		return "The list of materials does not have it, so no caution of its own is shown."
	}
	var out []string
	for _, s := range t.Sources {
		out = append(out, fmt.Sprintf("%s (%s)", s.Text, map[string]string{"read": "read", "memory": "from memory, to be checked"}[s.How]))
	}
	return "Source: " + strings.Join(out, "; ") + "."
}

// Summary is the line under the title.
func (v *Materials) Summary() string {
	n, p := len(v.s.Scene().Record.Materials), len(v.Proposals())
	switch {
	case n == 0 && p == 0:
		return "None is listed, and no entry names one"
	case p == 0:
		return count(n, "material listed", "materials listed")
	case n == 0:
		return count(p, "named in the entries and not listed", "named in the entries and not listed")
	}
	return count(n, "listed", "listed") + ", " + count(p, "more named in the entries", "more named in the entries")
}

// Tab is the words of the tab: "Materials", with how many are listed.
func (v *Materials) Tab() string { return counted("Materials", len(v.s.Scene().Record.Materials)) }
