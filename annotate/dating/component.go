package dating

import (
	"fmt"
	"strings"

	"wornwood/capture/record"
)

// fromComponent is the piece that a component's code makes; false for one
// without a code that dates it.
//
// Potentiometers and speakers are marked with source-date codes, so one that
// cannot be read is shown without a date. On other parts most figures are
// values: only seven digits or a parted code count there, since six may be a
// capacitance beside a voltage.
func fromComponent(rec *record.Record, c *record.Component, last int) (Piece, bool) {
	code := oneLine(c.Code)
	if code == "" {
		return Piece{}, false
	}
	p := Piece{ID: c.ID, Origin: FromComponent, Kind: record.CodeEvidence, What: componentWords(c), Code: code, Bound: record.InOrAfter, Source: "code on the part",
		Files: c.Photos, Note: c.Note}
	k, err := PotCodeIn(code, Spans{Last: last})
	marked := c.Kind == record.PotComponent || c.Kind == record.SpeakerComponent
	switch {
	case err != nil && !marked:
		return Piece{}, false
	case err != nil:
		p.Undone = why(err)
		return p, true
	case !marked && len(k.Digits) < 7:
		return Piece{}, false
	}
	p.Read, p.Dated = &k, k.Set()
	p.Allows = bounded(p.Bound, p.Dated)
	p.Aside, p.Doubt = standing(rec, c)
	p.Doubt = strings.TrimSpace(p.Doubt + " " + strings.Join(k.Remarks(), " "))
	return p, true
}

func componentWords(c *record.Component) string {
	place := oneLine(c.Place)
	if place == "" && c.Pot != nil && c.Pot.Role != "other" {
		place = c.Pot.Role
	}
	return strings.TrimSpace(place + " " + string(c.Kind))
}

// standing says why a component does not count, or what has to be said of it
// though it does. One that was not judged itself is judged with the electronics
// as a whole, where those were.
func standing(rec *record.Record, c *record.Component) (aside, doubt string) {
	kind := string(c.Kind)
	if c.State != "" && c.State != record.NotSeen {
		return notOriginal("the "+kind, c.State), ""
	}
	if e := rec.PartByID(record.Electronics); e != nil && e.State != "" && e.State != record.NotSeen {
		if s := notOriginal("the electronics", e.State); s != "" {
			return s + " and the " + kind + " was not judged by itself", ""
		}
	}
	return "", fmt.Sprintf("Whether the %s is original was not judged; it is counted as though it were.", kind)
}

// notOriginal is why a part in a state says nothing of the instrument; "" for
// an original one.
func notOriginal(what string, s record.State) string {
	switch s {
	case record.Original:
		return ""
	case record.PeriodReplacement, record.LaterReplacement:
		return what + verb(what) + " called a " + string(s)
	}
	return what + verb(what) + " called " + string(s)
}

func verb(what string) string {
	if strings.HasSuffix(what, "s") {
		return " are"
	}
	return " is"
}

// fromTables is the piece that the serial number makes. Several lines may hold
// it; nobody knows which is right, so together they are one piece that allows
// what any of them does.
func fromTables(in record.Instrument, tables []Table) (Piece, bool) {
	plain := plainSerial(in.Serial)
	if plain == "" {
		return Piece{}, false
	}
	var years []Range
	p := Piece{Origin: FromTable, Kind: record.SerialEvidence, What: "serial number " + oneLine(in.Serial), Code: oneLine(in.Serial), Bound: record.Within}
	var sources, notes []string
	for t := range tables {
		for i := range tables[t].Serials {
			s := &tables[t].Serials[i]
			if !s.has(plain) || !fits(s.For, in.Maker, in.Model, in.Class) {
				continue
			}
			years = append(years, Years(s.From, s.To))
			where := fmt.Sprintf("%s, line %d", tables[t].File, s.Line)
			if p.ID == "" {
				p.ID = fmt.Sprintf("%s:%d", tables[t].File, s.Line)
			}
			if s.Source != "" {
				where += " (" + s.Source + ")"
			}
			sources = append(sources, where)
			if s.Note != "" {
				notes = append(notes, s.Note)
			}
		}
	}
	if p.ID == "" {
		return Piece{}, false
	}
	p.Allows = Of(years...)
	p.Dated = p.Allows
	p.Source, p.Note = "own table "+strings.Join(few(sources), "; "), strings.Join(few(notes), " ")
	if len(sources) > 1 {
		p.Doubt = fmt.Sprintf("It stands in %d lines of the tables, so any of them may hold.", len(sources))
	}
	return p, true
}

// few is at most five of a list, with the number of the others.
func few(s []string) []string {
	if len(s) <= 5 {
		return s
	}
	return append(append([]string{}, s[:5]...), fmt.Sprintf("and %d more", len(s)-5))
}
