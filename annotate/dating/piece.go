package dating

import (
	"fmt"
	"strings"

	"wornwood/capture/record"
)

// Origin says where a piece of evidence comes from.
type Origin string

// The origins.
const (
	Listed        Origin = "listed"       // record.Evidence, by the examiner
	FromComponent Origin = "component"    // the code of a component of the electronics
	FromTable     Origin = "serial table" // the serial number in the shop's own table
)

// Piece is one piece of evidence and what it allows the instrument.
type Piece struct {
	ID     string              `json:"id"` // record.Evidence.ID, record.Component.ID, or "FILE:LINE" of a table
	Origin Origin              `json:"origin"`
	Kind   record.EvidenceKind `json:"kind"`
	What   string              `json:"what"`
	Code   string              `json:"code,omitempty"`
	Read   *Code               `json:"read,omitempty"` // the code, where it is a source-date code
	Bound  record.Bound        `json:"bound,omitempty"`
	Dated  Set                 `json:"dated,omitempty"`   // when the thing itself dates from
	Allows Set                 `json:"allows,omitempty"`  // the weeks it allows the instrument; empty when it has no date
	Aside  string              `json:"aside,omitempty"`   // why it does not count; "" when it counts
	Doubt  string              `json:"doubt,omitempty"`   // a remark on a piece that counts
	Undone string              `json:"undated,omitempty"` // why it has no date; "" when it has one
	Source string              `json:"source,omitempty"`
	Files  []string            `json:"files,omitempty"`
	Note   string              `json:"note,omitempty"`
}

// Counts says whether the piece is weighed.
func (p *Piece) Counts() bool { return p.Aside == "" && p.Undone == "" }

// Name is what sentences call the piece: "the tone potentiometer (137-6634)".
func (p *Piece) Name() string {
	s := p.What
	if p.Code != "" && p.Origin != FromTable {
		s += " (" + p.Code + ")"
	}
	return "the " + s
}

// says is what the piece is and what it allows.
func (p *Piece) says() string {
	var s string
	switch {
	case p.Undone != "":
		s = "no date, because " + p.Undone + "."
	case p.Read != nil && p.Bound == record.InOrAfter:
		s = p.Read.Words() + ". It allows " + p.Allows.Words() + "."
	case p.Read != nil:
		s = p.Read.Words() + ". Taken as “" + string(p.Bound) + "”, it allows " + p.Allows.Words() + "."
	default:
		s = "it allows " + p.Allows.Words() + "."
	}
	if p.Aside != "" {
		s += " Not counted: " + strings.TrimRight(p.Aside, ". ") + "."
	} else if p.Doubt != "" && p.Undone == "" {
		s += " " + p.Doubt
	}
	return s
}

func upper(s string) string {
	for i, r := range s {
		return strings.ToUpper(string(r)) + s[i+len(string(r)):]
	}
	return s
}

// UsualBound is what a kind of evidence allows when nothing else is said. A
// code dates a part that may have lain in stock, so the instrument is of then or
// later. A paper or an inscription shows that the instrument was there already.
func UsualBound(e *record.Evidence) record.Bound {
	switch e.Kind {
	case record.CodeEvidence:
		return record.InOrAfter
	case record.DocumentEvidence, record.InscribedDate:
		return record.InOrBefore
	case record.SerialEvidence:
		return record.Within
	}
	switch {
	case e.To == 0:
		return record.InOrAfter
	case e.From == 0:
		return record.InOrBefore
	}
	return record.Within
}

// Normal is the evidence as it is best kept: its bound said where the kind says
// it, a single year put where the bound looks for it, texts without blanks at
// their ends. A feature without a bound follows its years.
func Normal(e record.Evidence) record.Evidence {
	e.What, e.Code, e.Source = oneLine(e.What), oneLine(e.Code), oneLine(e.Source)
	e.Note, e.SetAside = strings.TrimSpace(e.Note), oneLine(e.SetAside)
	switch e.Kind {
	case record.FeatureEvidence, record.OtherEvidence:
	default:
		if e.Bound == "" {
			e.Bound = UsualBound(&e)
		}
	}
	if coded(&e) {
		return e // its years only choose among those of the code
	}
	switch {
	case e.Bound == record.InOrAfter && e.From == 0:
		e.From, e.To = e.To, 0
	case e.Bound == record.InOrBefore && e.To == 0:
		e.From, e.To = 0, e.From
	}
	return e
}

func oneLine(s string) string { return strings.Join(strings.Fields(s), " ") }

// coded says whether a piece is dated by a source-date code that can be read.
func coded(e *record.Evidence) bool {
	if e.Kind != record.CodeEvidence || e.Code == "" {
		return false
	}
	_, err := PotCodeIn(e.Code, spansOf(e, 0))
	return err == nil
}

// spansOf lets the years of a piece of evidence choose the decade of its code:
// a part of before 1950, or one that is known to be of the sixties.
func spansOf(e *record.Evidence, last int) Spans {
	sp := Spans{Last: last}
	if e.From != 0 {
		sp.First, sp.OneFirst = e.From, e.From
		if def := (Spans{Last: last}).orDefault(); e.From > def.OneLast {
			sp.OneLast = def.Last
		}
	}
	if e.To != 0 {
		sp.OneLast = e.To
		if last == 0 || e.To < last {
			sp.Last = e.To
		}
		if e.From == 0 && e.To < 1950 {
			sp.OneFirst = 1945
		}
	}
	return sp
}

// listed is a piece that the examiner listed. last is the year of the
// examination.
func listed(e record.Evidence, last int) Piece {
	e = Normal(e)
	if e.Bound == "" {
		e.Bound = UsualBound(&e)
	}
	p := Piece{ID: e.ID, Origin: Listed, Kind: e.Kind, What: e.What, Code: e.Code, Bound: e.Bound, Aside: e.SetAside, Source: e.Source, Files: e.Files, Note: e.Note}
	if p.What == "" {
		p.What = kindWord(e.Kind)
	}
	if e.Kind == record.CodeEvidence && e.Code != "" {
		c, err := PotCodeIn(e.Code, spansOf(&e, last))
		if err == nil {
			p.Read, p.Dated = &c, c.Set()
			p.Allows = bounded(e.Bound, p.Dated)
			p.Doubt = strings.Join(c.Remarks(), " ")
			return p
		}
		if e.From == 0 && e.To == 0 {
			p.Undone = why(err)
			return p
		}
		p.Doubt = "The code could not be read within the years entered, so the years alone count."
	}
	if e.From == 0 && e.To == 0 {
		p.Undone = "no year is entered"
		return p
	}
	p.Dated = Of(Years(e.From, e.To))
	p.Allows = boundedYears(e)
	if len(p.Allows) == 0 {
		p.Undone = fmt.Sprintf("its years run from %d back to %d", e.From, e.To)
	}
	return p
}

func kindWord(k record.EvidenceKind) string {
	switch k {
	case record.CodeEvidence:
		return "code"
	case record.SerialEvidence:
		return "serial number"
	case record.OtherEvidence:
		return "other evidence"
	}
	return string(k)
}

// why is the reason of an error, without the words of what was tried and of what
// to do: those stand under the field where it is typed.
func why(err error) string {
	s := err.Error()
	if _, rest, ok := strings.Cut(s, ": "); ok {
		s = rest
	}
	s, _, _ = strings.Cut(s, "; ")
	return s
}

// bounded turns when a thing dates from into what it allows the instrument.
func bounded(b record.Bound, dated Set) Set {
	if len(dated) == 0 {
		return nil
	}
	switch b {
	case record.InOrAfter:
		return Set{{From: dated.First()}}
	case record.InOrBefore:
		return Set{{To: dated.Last()}}
	}
	return dated
}

func boundedYears(e record.Evidence) Set {
	switch e.Bound {
	case record.InOrAfter:
		return Of(Years(e.From, 0))
	case record.InOrBefore:
		return Of(Years(0, e.To))
	}
	return Of(Years(e.From, e.To))
}
