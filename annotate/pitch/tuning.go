package pitch

import (
	"fmt"
	"strings"
)

// Tuning is the notes of the open strings, string 1 (at the treble side) first.
type Tuning []Note

// String writes the notes as ParseTuning reads them.
func (t Tuning) String() string {
	var out []string
	for _, n := range t {
		out = append(out, n.String())
	}
	return strings.Join(out, " ")
}

// ParseTuning reads "E4 B3 G3 D3 A2 E2", string 1 first; commas and dashes may
// stand between the notes.
func ParseTuning(s string) (Tuning, error) {
	words := strings.FieldsFunc(s, func(r rune) bool { return r == ' ' || r == ',' || r == '-' || r == '\t' || r == ';' })
	if len(words) == 0 || len(words) > 64 {
		return nil, fmt.Errorf("read tuning: give the open strings' notes from string 1 on, as in E4 B3 G3 D3 A2 E2")
	}
	var t Tuning
	for _, w := range words {
		n, err := ParseNote(w)
		if err != nil {
			return nil, fmt.Errorf("read tuning: %w", err)
		}
		t = append(t, n)
	}
	return t, nil
}

// usual are common tunings by family and number of strings, string 1 first.
// They are common practice in the trade, no published source; the order within
// a twelve-string's octave pairs differs between makers.
var usual = map[string][]string{
	"guitar": {"E4 B3 G3 D3 A2 E2", "E4 B3 G3 D3 A2 E2 B1", "E4 B3 G3 D3 A2 E2 B1 F#1", "E4 E4 B3 B3 G3 G4 D3 D4 A2 A3 E2 E3",
		"E4 B3 G3 D3"},
	"lap steel": {"E4 C4 A3 G3 E3 C3", "G4 E4 C4 A3 G3 E3 C3", "G4 E4 C4 A3 G3 E3 C3 A2"},
	"bass":      {"G2 D2 A1 E1", "G2 D2 A1 E1 B0", "C3 G2 D2 A1 E1 B0"},
	"mandolin":  {"E5 E5 A4 A4 D4 D4 G3 G3", "E5 A4 D4 G3", "E5 E5 A4 A4 D4 D4 G3 G3 C3 C3"},
	"banjo":     {"D4 B3 G3 D3 G4", "A4 D4 G3 C3", "E4 B3 G3 D3 A2 E2"},
	"ukulele":   {"A4 E4 C4 G4", "A4 E4 C4 C5 G4 G4", "A4 A4 E4 E4 C4 C5 G4 G4"},
	"baritone":  {"E4 B3 G3 D3"},
	"violin":    {"E5 A4 D4 G3", "E5 A4 D4 G3 C3"},
	"viola":     {"A4 D4 G3 C3", "E5 A4 D4 G3 C3"},
	"cello":     {"A3 D3 G2 C2", "E4 A3 D3 G2 C2"},
	"double":    {"G2 D2 A1 E1", "G2 D2 A1 E1 B0", "G2 D2 A1"},
}

// family finds the tunings that belong to a class of annotate/outline.
func family(class string) string {
	for _, f := range []struct{ word, family string }{
		{"ukulele baritone", "baritone"}, {"ukulele", "ukulele"}, {"double bass", "double"}, {"bass", "bass"}, {"mandolin", "mandolin"},
		{"banjo", "banjo"}, {"lap steel", "lap steel"}, {"violin", "violin"}, {"viola", "viola"}, {"cello", "cello"},
	} {
		if strings.Contains(class, f.word) {
			return f.family
		}
	}
	return "guitar"
}

// Usual is the usual tuning of a class with so many strings, 0 for the class's
// usual number; nil where there is no usual one.
func Usual(class string, strings int) Tuning {
	for _, s := range usual[family(class)] {
		t, err := ParseTuning(s)
		if err == nil && (strings == 0 || len(t) == strings) {
			return t
		}
	}
	return nil
}

// shortBy is the fret at which a string begins: 0, but 5 for the short fifth
// string of a banjo.
func shortBy(class string, strings, str int) int {
	if family(class) == "banjo" && strings == 5 && str == 5 {
		return 5
	}
	return 0
}

// Semitones is how many semitones a string sounds above its open note when it
// is stopped at a fret.
func Semitones(class string, strings, str, fret int) int {
	return max(0, fret-shortBy(class, strings, str))
}

// OctaveFret is the fret at which a string sounds its octave: the twelfth, or
// for a string that begins at the fifth fret the seventeenth.
func OctaveFret(class string, strings, str int) int { return 12 + shortBy(class, strings, str) }
