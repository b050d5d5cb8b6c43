package view

import (
	"fmt"
	"slices"
	"strings"

	"wornwood/annotate"
	"wornwood/annotate/signs"
	"wornwood/capture/record"
)

// PartDetail is everything the panel shows of the selected part.
type PartDetail struct {
	Part           record.PartID
	Title          string
	Beside         string // share, marks and what they cost
	State          record.State
	Inspected      bool
	Judged         []string
	AsksReversible bool
	Reversible     int    // index into Reversibles
	Answered       string // "3 of 12 answered"
	Signs          []SignRow
	Says           []signs.Sentence
	Cautions       []signs.Caution
	Note           string
	Marks          []MarkRow
}

// SignRow is one line of the checklist.
type SignRow struct {
	ID      string
	Heading string // the kind, on the first line of a kind only
	Ask     string
	Look    string
	Answer  int // index into record.SignAnswers, -1 for none
}

// Reversibles are the answers to whether work could be undone, in the order of
// the panel.
func Reversibles() []string { return []string{"yes", "no", "not said"} }

// ReversibleAnswer is what the record holds for the i-th of Reversibles.
func ReversibleAnswer(i int) string {
	if i < 0 || i > 1 {
		return ""
	}
	return Reversibles()[i]
}

// Detail describes the selected part.
func (v *Parts) Detail() PartDetail {
	sc := v.s.Scene()
	id := v.Selected()
	list := v.s.PartSigns(id)
	p := record.Part{ID: id}
	if q := sc.Record.PartByID(id); q != nil {
		p = *q
	}
	d := PartDetail{Part: id, Title: Capital(string(id)), State: p.State, Inspected: p.Inspected, Judged: p.Judged, AsksReversible: annotate.Reversible(p.State),
		Reversible: 2, Says: signs.Weigh(p, list), Cautions: signs.Warnings(list), Note: p.Note}
	if d.State == "" {
		d.State = record.NotSeen
	}
	if i := slices.Index(Reversibles(), p.Reversible); i >= 0 {
		d.Reversible = i
	}
	d.Signs, d.Answered = signRows(p, list)
	for _, r := range v.Rows() {
		if r.Part == id {
			d.Inspected, d.Beside = r.Inspected, beside(r)
		}
	}
	for _, r := range NewMarks(v.s).Rows() {
		if m := sc.Record.MarkByNumber(r.Number); m != nil && lies(sc, m, id) {
			r.Selected = false
			d.Marks = append(d.Marks, r)
		}
	}
	return d
}

func signRows(p record.Part, list []signs.Sign) (rows []SignRow, answered string) {
	last, n := signs.Speaks(""), 0
	for _, s := range list {
		r := SignRow{ID: s.ID, Ask: s.Ask, Look: s.Look, Answer: slices.Index(record.SignAnswers(), signs.Answer(p, s.ID))}
		if s.Speaks != last {
			r.Heading, last = "Signs of "+s.Speaks.Phrase(), s.Speaks
		}
		if r.Answer >= 0 {
			n++
		}
		rows = append(rows, r)
	}
	return rows, fmt.Sprintf("%d of %d answered", n, len(list))
}

func beside(r PartRow) string {
	s := fmt.Sprintf("%.0f %% of the whole", r.Share)
	if r.Marks > 0 {
		s += ", " + count(r.Marks, "mark costs ", "marks cost ") + fmt.Sprintf("%.1f", r.Points) + " points"
	}
	return s
}

// ShortCautions are a part's cautions in one line, "" for none.
func (d PartDetail) ShortCautions() string {
	var out []string
	for _, c := range d.Cautions {
		out = append(out, c.Short)
	}
	return strings.Join(out, " · ")
}

// PhotoTie is a photo of the examination, tied to something or not.
type PhotoTie struct {
	ID      string
	Caption string
	Tied    bool
}

// Photos lists the photos of the examination and whether each is tied to the
// selected part.
func (v *Parts) Photos() []PhotoTie {
	var tied []string
	if p := v.s.Scene().Record.PartByID(v.Selected()); p != nil {
		tied = p.Photos
	}
	return photoTies(v.s.Scene().Record, tied)
}

func photoTies(rec *record.Record, tied []string) []PhotoTie {
	var out []PhotoTie
	for _, p := range rec.Photos {
		t := PhotoTie{ID: p.ID, Caption: p.Caption, Tied: slices.Contains(tied, p.ID)}
		if t.Caption == "" {
			t.Caption = p.View
		}
		if t.Caption == "" || t.Caption == annotate.CloseUp {
			t.Caption = p.Name
		}
		out = append(out, t)
	}
	return out
}

// contradicted counts the parts of which signs were seen that do not go with
// what they are stated to be.
func contradicted(sc *annotate.Scene) int {
	n := 0
	for _, p := range sc.Record.Parts {
		if len(signs.Against(p, signs.For(sc.Drawing.Class, p.ID))) > 0 {
			n++
		}
	}
	return n
}
