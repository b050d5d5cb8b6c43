package dating

import (
	"slices"
	"time"

	"wornwood/capture/record"
)

// Verdict says how a claimed year stands against the evidence.
type Verdict string

// The verdicts.
const (
	NotCompared  Verdict = "not compared"    // nothing that counts has a date
	Supported    Verdict = "supported"       // the evidence allows years of the claim and no others
	Allowed      Verdict = "allowed"         // every year of the claim is allowed, and others are too
	PartAllowed  Verdict = "allowed in part" // some years of the claim are allowed
	Contradicted Verdict = "contradicted"    // no year of the claim is allowed
	Undecided    Verdict = "undecided"       // the evidence contradicts itself and leaves no year
)

// Claim is one claimed year and how it stands.
type Claim struct {
	ID      string  `json:"id,omitempty"` // record.Claim.ID; "" for the instrument's claimed year
	Text    string  `json:"text"`         // as it was claimed
	Years   Set     `json:"years,omitempty"`
	Read    bool    `json:"read"` // whether years could be read in it
	Verdict Verdict `json:"verdict"`
	// Against are the pieces that contradict it, as indexes into
	// Result.Pieces: each set is enough by itself.
	Against [][]int `json:"against,omitempty"`
	Left    Set     `json:"left,omitempty"` // its years that the evidence allows
}

// Result is what the evidence of a record amounts to.
type Result struct {
	Pieces []Piece `json:"pieces"`
	Allows Set     `json:"allows,omitempty"` // what all pieces that count allow together
	// Counted is how many pieces count. Without any Allows is every week.
	Counted int `json:"counted"`
	// Contradictions are the smallest sets of pieces that cannot stand
	// together, as indexes into Pieces; empty when Allows is not.
	Contradictions [][]int `json:"contradictions,omitempty"`
	Claims         []Claim `json:"claims,omitempty"` // the instrument's claimed year first
}

// Reckon weighs the evidence of a record: what the examiner listed, the codes
// of its components, and its serial number in the shop's own tables. now is the
// time of the examination; codes are read up to its year.
func Reckon(rec *record.Record, tables []Table, now time.Time) *Result {
	last := now.Year()
	r := &Result{Pieces: []Piece{}}
	for _, e := range rec.Evidence {
		p := listed(e, last)
		if e.Kind == record.SerialEvidence && e.From == 0 && e.To == 0 {
			p = inTables(p, rec.Instrument, tables)
		}
		r.Pieces = append(r.Pieces, p)
	}
	for i := range rec.Components {
		if p, ok := fromComponent(rec, &rec.Components[i], last); ok {
			r.Pieces = append(r.Pieces, p)
		}
	}
	if p, ok := fromTables(rec.Instrument, tables); ok {
		r.Pieces = append(r.Pieces, p)
	}
	r.weigh()
	r.compare(rec)
	return r
}

// OfRecord is Reckon at the time of the examination, or at now where the record has
// none: window, report and verbs read codes to the same year.
func OfRecord(rec *record.Record, tables []Table, now time.Time) *Result {
	if d := rec.Examination.Date; !d.IsZero() {
		now = d
	}
	return Reckon(rec, tables, now)
}

// inTables dates a listed serial number without years by the tables.
func inTables(p Piece, in record.Instrument, tables []Table) Piece {
	if p.Code != "" {
		in.Serial = p.Code
	}
	found, ok := fromTables(in, tables)
	if !ok {
		return p
	}
	p.Undone, p.Dated = "", found.Dated
	p.Allows = bounded(p.Bound, p.Dated)
	p.Doubt = found.Doubt
	if p.Source == "" {
		p.Source = found.Source
	}
	return p
}

// counted are the pieces that count, as indexes.
func (r *Result) counted() []int {
	var out []int
	for i := range r.Pieces {
		if r.Pieces[i].Counts() {
			out = append(out, i)
		}
	}
	return out
}

func (r *Result) weigh() {
	r.Allows = All()
	idx := r.counted()
	r.Counted = len(idx)
	sets := make([]Set, len(idx))
	for k, i := range idx {
		sets[k] = r.Pieces[i].Allows
		r.Allows = r.Allows.And(sets[k])
	}
	r.Contradictions = named(conflicts(sets), idx)
}

// named turns indexes into a selection into those of what was selected from.
func named(sets [][]int, idx []int) [][]int {
	for _, s := range sets {
		for k := range s {
			s[k] = idx[s[k]]
		}
	}
	return sets
}

// compare holds every claimed year against the evidence.
func (r *Result) compare(rec *record.Record) {
	if y := oneLine(rec.Instrument.Year); y != "" {
		r.Claims = append(r.Claims, r.claim("", y))
	}
	for _, c := range rec.Claims {
		text := oneLine(c.Text)
		if c.About != "year" || text == "" || slices.ContainsFunc(r.Claims, func(d Claim) bool { return d.Text == text }) {
			continue // the same claim said twice is compared once
		}
		r.Claims = append(r.Claims, r.claim(c.ID, text))
	}
}

func (r *Result) claim(id, text string) Claim {
	c := Claim{ID: id, Text: text, Verdict: NotCompared}
	from, to, ok := ClaimedYears(text)
	if !ok {
		return c
	}
	c.Read, c.Years = true, Of(Years(from, to))
	if r.Counted == 0 {
		return c
	}
	c.Left = c.Years.And(r.Allows)
	c.Against = r.against(c.Years)
	switch {
	case len(c.Against) > 0:
		c.Verdict = Contradicted
	case len(r.Allows) == 0:
		c.Verdict = Undecided
	case r.Allows.Within(c.Years):
		c.Verdict = Supported
	case c.Years.Within(r.Allows):
		c.Verdict = Allowed
	default:
		c.Verdict = PartAllowed
	}
	return c
}

// against are the sets of pieces that leave no week of a claim: single pieces
// first; only where none does and the evidence itself can stand, several
// together.
func (r *Result) against(years Set) [][]int {
	var out [][]int
	idx := r.counted()
	for _, i := range idx {
		if len(years.And(r.Pieces[i].Allows)) == 0 {
			out = append(out, []int{i})
		}
	}
	if len(out) > 0 || len(r.Allows) == 0 || len(years.And(r.Allows)) > 0 {
		return out
	}
	var sets []Set
	for _, i := range idx {
		if in := years.And(r.Pieces[i].Allows); !slices.Equal(in, years) {
			sets = append(sets, in)
		} else {
			sets = append(sets, All()) // says nothing against the claim
		}
	}
	return named(conflicts(sets), idx)
}
