package view

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"wornwood/annotate"
	"wornwood/annotate/dating"
	"wornwood/capture/record"
)

// Dating is the screen of what the dated things allow.
type Dating struct {
	s    *annotate.Session
	load func() []dating.Table
	now  func() time.Time

	tables   []dating.Table
	read     bool // tables were loaded
	seen     *record.Record
	result   *dating.Result
	selected string // key of a row
}

// NewDating makes the model on a session. load reads the shop's own tables; it
// is called once, and again after Reload. now is the clock for a record without
// a date.
func NewDating(s *annotate.Session, load func() []dating.Table, now func() time.Time) *Dating {
	return &Dating{s: s, load: load, now: now}
}

// Reload reads the tables again.
func (v *Dating) Reload() { v.read, v.seen = false, nil }

// Tables are the shop's own tables.
func (v *Dating) Tables() []dating.Table {
	if !v.read {
		v.tables, v.read = v.load(), true
	}
	return v.tables
}

// Result is what the evidence of the record amounts to. It is computed once for
// each state of the record.
func (v *Dating) Result() *dating.Result {
	rec := v.s.Scene().Record
	if v.seen != rec || v.result == nil {
		v.result, v.seen = dating.OfRecord(rec, v.Tables(), v.now()), rec
	}
	return v.result
}

// EvidenceRow is one piece as list and chart show it.
type EvidenceRow struct {
	Key       string
	Number    int    // from 1, by which other rows name it
	Name      string // "Tone potentiometer"
	Brief     string // "week 34 of 1966 or later"
	Sign      string // "≠", "–", "?" or ""
	SignWords string
	Sentence  string // everything that is said of it
	Listed    bool   // by the examiner, so it can be changed here
	Selected  bool
	Chart     dating.ChartRow
}

// Chart is the result over years, with its rows in words.
func (v *Dating) Chart() (*dating.Chart, []EvidenceRow) {
	r := v.Result()
	c := r.Chart()
	var rows []EvidenceRow
	for i := range c.Rows {
		p := &r.Pieces[i]
		key := keyOf(p)
		rows = append(rows, EvidenceRow{Key: key, Number: i + 1, Name: Capital(p.What), Brief: p.Brief(), Sign: r.Sign(&c.Rows[i]), SignWords: r.SignWords(&c.Rows[i]),
			Sentence: r.Told(i), Listed: p.Origin == dating.Listed, Selected: key == v.selected, Chart: c.Rows[i]})
	}
	return c, rows
}

// keyOf tells pieces of different origins apart, whose IDs may be the same.
func keyOf(p *dating.Piece) string { return string(p.Origin) + "/" + p.ID }

func listedKey(id string) string { return string(dating.Listed) + "/" + id }

// Select makes a row the selected one, "" none.
func (v *Dating) Select(key string) { v.selected = key }

// Selected is the selected piece, nil for none.
func (v *Dating) Selected() *dating.Piece {
	r := v.Result()
	for i := range r.Pieces {
		if keyOf(&r.Pieces[i]) == v.selected {
			return &r.Pieces[i]
		}
	}
	return nil
}

// evidence is the selected piece of the examiner's list, nil for none.
func (v *Dating) evidence() *record.Evidence {
	rec := v.s.Scene().Record
	for i := range rec.Evidence {
		if listedKey(rec.Evidence[i].ID) == v.selected {
			return &rec.Evidence[i]
		}
	}
	return nil
}

// Add lists a new piece of a kind and selects it.
func (v *Dating) Add(kind record.EvidenceKind) error { return v.add(record.Evidence{Kind: kind}) }

func (v *Dating) add(e record.Evidence) error {
	id, err := v.s.AddEvidence(e)
	if err == nil {
		v.selected = listedKey(id)
	}
	return err
}

// Remove takes the selected piece away and selects none.
func (v *Dating) Remove() error {
	e := v.evidence()
	if e == nil {
		return fmt.Errorf("remove evidence: select a piece that is listed here first")
	}
	err := v.s.RemoveEvidence(e.ID)
	if err == nil {
		v.selected = ""
	}
	return err
}

// Features are the ways of building from the shop's own table that may be on
// this instrument, by the words that offer them.
func (v *Dating) Features() []string {
	var out []string
	for _, f := range v.features() {
		out = append(out, featureWords(f))
	}
	return out
}

func (v *Dating) features() []dating.Feature {
	in := v.s.Scene().Record.Instrument
	return dating.FeaturesFor(v.Tables(), in.Maker, in.Model, in.Class)
}

func featureWords(f dating.Feature) string {
	return f.Feature + ", " + dating.Of(dating.Years(f.InOrAfter, f.InOrBefore)).Words()
}

// TakeFeature gives the selected piece what the shop's own table says of a
// feature, chosen by the words of Features.
func (v *Dating) TakeFeature(words string) error {
	e := v.evidence()
	if e == nil {
		return fmt.Errorf("take feature: select a piece that is listed here first")
	}
	for _, f := range v.features() {
		if featureWords(f) == words {
			return v.s.SetEvidence(e.ID, "Feature", func(e *record.Evidence) {
				e.Kind, e.What, e.From, e.To, e.Source = record.FeatureEvidence, f.Feature, f.InOrAfter, f.InOrBefore, f.Source
				e.Bound = dating.UsualBound(e)
			})
		}
	}
	return fmt.Errorf("take feature: the tables have no such line any more")
}

// Decode says what a code typed so far means, in words, for the line under its
// field; bad tells that it cannot be read.
func (v *Dating) Decode(code string) (words string, bad bool) {
	if code = strings.TrimSpace(code); code == "" {
		return "as it stands on the part: 137-6634, 304 6422", false
	}
	last := v.now().Year()
	if d := v.s.Scene().Record.Examination.Date; !d.IsZero() {
		last = d.Year()
	}
	c, err := dating.PotCodeIn(code, dating.Spans{Last: last})
	if err != nil {
		return Words(err), true
	}
	return strings.Join(append([]string{Capital(c.Words()) + ".", c.Season()}, c.Remarks()...), " "), false
}

// Sentences are what is said of the evidence as a whole.
func (v *Dating) Sentences() []string { return v.Result().Sentences() }

// Files are the names of the photos and attachments that a piece may show, in
// the order of the record, and the IDs beside them.
func (v *Dating) Files() (names, ids []string) {
	rec := v.s.Scene().Record
	for _, p := range rec.Photos {
		names, ids = append(names, p.Name), append(ids, p.ID)
	}
	for _, a := range rec.Attachments {
		names, ids = append(names, a.Name), append(ids, a.ID)
	}
	return names, ids
}

// FileNames are the names of the selected piece's files.
func (v *Dating) FileNames() []string {
	p := v.Selected()
	if p == nil {
		return nil
	}
	names, ids := v.Files()
	var out []string
	for _, f := range p.Files {
		name := "a file that is not here any more"
		if i := slices.Index(ids, f); i >= 0 {
			name = names[i]
		}
		out = append(out, name)
	}
	return out
}

// ToggleFile ties a photo or attachment, by its name, to the selected piece, or
// unties it.
func (v *Dating) ToggleFile(name string) error {
	names, ids := v.Files()
	k, e := slices.Index(names, name), v.evidence()
	if e == nil || k < 0 {
		return fmt.Errorf("tie file: select a piece that is listed here, and a photo or attachment of this examination")
	}
	return v.s.SetEvidence(e.ID, "Files", func(e *record.Evidence) {
		if i := slices.Index(e.Files, ids[k]); i >= 0 {
			e.Files = slices.Delete(e.Files, i, i+1)
			return
		}
		e.Files = append(e.Files, ids[k])
	})
}

func datingItem(sc *annotate.Scene) RailItem {
	r := dating.OfRecord(sc.Record, nil, sc.SavedAt)
	it := RailItem{DatingScreen, "dating", Complete, ""}
	undated := 0
	for i := range r.Pieces {
		if r.Pieces[i].Undone != "" {
			undated++
		}
	}
	switch {
	case len(r.Pieces) == 0:
		return RailItem{DatingScreen, "dating", NotStarted, "no dated thing listed yet"}
	case len(r.Contradictions) > 0:
		it.Progress, it.Why = SomethingMissing, "the evidence contradicts itself"
	case len(r.Claims) > 0 && r.Claims[0].Verdict == dating.Contradicted:
		it.Progress, it.Why = SomethingMissing, "the evidence contradicts the claimed year"
	case undated > 0:
		it.Progress, it.Why = SomethingMissing, count(undated, "piece of evidence has no date", "pieces of evidence have no date")
	}
	return it
}
