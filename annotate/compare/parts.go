package compare

import (
	"fmt"
	"slices"
	"strings"
	"unicode"

	"wornwood/capture/record"
)

// PartChange is a part that two records call something else.
type PartChange struct {
	Part    record.PartID
	Was, Is record.State
	Verdict PartVerdict
}

// PartVerdict says what two states of a part say together.
type PartVerdict string

// The verdicts.
const (
	Learnt    PartVerdict = "seen for the first time"  // not seen before, or not seen now
	Changed   PartVerdict = "changed, or wrong before" // original, later not
	Undone    PartVerdict = "put back, or wrong"       // not original, later original: of a part that can be put back
	Cannot    PartVerdict = "one of the two is wrong"  // a finish does not become original again
	Differing PartVerdict = "called something else"    // both not original
)

// finishes are parts that are a surface: nobody puts an original one back.
var finishes = []record.PartID{record.FrontFinish, record.BackFinish, record.SidesFinish}

// IsFinish says whether a part is a surface.
func IsFinish(p record.PartID) bool { return slices.Contains(finishes, p) }

// Parts lists the parts that two records call something else, in the order of
// the later record, then of the earlier.
func Parts(a, b *record.Record) []PartChange {
	var out []PartChange
	for _, p := range b.Parts {
		was := stateOf(a, p.ID)
		if v, differs := partVerdict(p.ID, was, word(p.State)); differs {
			out = append(out, PartChange{p.ID, was, word(p.State), v})
		}
	}
	return out
}

func stateOf(r *record.Record, id record.PartID) record.State {
	if p := r.PartByID(id); p != nil {
		return word(p.State)
	}
	return record.NotSeen
}

func word(s record.State) record.State {
	if s == "" {
		return record.NotSeen
	}
	return s
}

func partVerdict(id record.PartID, was, is record.State) (PartVerdict, bool) {
	blind := func(s record.State) bool { return s == record.NotSeen }
	switch {
	case was == is || blind(is):
		return "", false
	case blind(was):
		return Learnt, true
	case was == record.Original:
		return Changed, true
	case is == record.Original && (was == record.Refinished || was == record.Altered || IsFinish(id)):
		return Cannot, true
	case is == record.Original:
		return Undone, true
	}
	return Differing, true
}

// Facts are properties of the instrument itself that two records give
// differently, as sentences without a full stop.
func Facts(a, b *record.Instrument) []string {
	var out []string
	text := func(what, was, is string) {
		if was, is = strings.TrimSpace(was), strings.TrimSpace(is); was != "" && is != "" && !strings.EqualFold(was, is) {
			out = append(out, what+" “"+was+"”, then “"+is+"”")
		}
	}
	text("maker", a.Maker, b.Maker)
	text("model", a.Model, b.Model)
	if plain(a.Serial) != plain(b.Serial) {
		text("serial number", a.Serial, b.Serial)
	}
	text("year", a.Year, b.Year)
	text("colour", a.Colour, b.Colour)
	text("class", a.Class, b.Class)
	text("kind of finish", a.Coating, b.Coating)
	if a.LeftHanded != b.LeftHanded {
		text("hand", hand(a.LeftHanded), hand(b.LeftHanded))
	}
	number := func(what, unit string, was, is, within float64) {
		if was > 0 && is > 0 && abs(was-is) > within {
			out = append(out, what+" "+figure(was)+", then "+figure(is)+unit)
		}
	}
	number("number of frets", "", float64(a.Frets), float64(b.Frets), 0)
	number("number of strings", "", float64(a.Strings), float64(b.Strings), 0)
	number("scale length", " mm", a.ScaleLength, b.ScaleLength, ScaleWithin)
	if a.Mass > 0 && b.Mass > 0 && abs(a.Mass-b.Mass) > MassWithin {
		out = append(out, "weight "+kilos(a.Mass)+", then "+kilos(b.Mass)+" kg")
	}
	return out
}

// What the same instrument, measured twice, may differ by (common practice):
// scales read with a tape and rounded, weights with and without strings or strap
// buttons, on kitchen scales.
const (
	ScaleWithin = 3.0  // mm
	MassWithin  = 0.15 // kg
)

// plain is a serial number without blanks, dashes and the size of its letters.
func plain(s string) string {
	return strings.Map(func(r rune) rune {
		if unicode.IsLetter(r) || unicode.IsDigit(r) {
			return unicode.ToUpper(r)
		}
		return -1
	}, s)
}

func hand(left bool) string {
	if left {
		return "left"
	}
	return "right"
}

func abs(v float64) float64 { return max(v, -v) }

func kilos(v float64) string {
	return strings.TrimRight(strings.TrimRight(fmt.Sprintf("%.2f", v), "0"), ".")
}
