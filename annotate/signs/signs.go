// Package signs holds the signs by which the trade tells a first finish or
// fitting from a later one, part by part and family by family of instruments,
// and says what the answers to them speak for.
//
// Start with For, the signs of one part, and Weigh, which sets the answers
// beside what the part is stated to be. The table is common practice of the
// trade, from no published source; every sign can have an innocent cause.
// Nothing here decides what a part is, and no grade follows from an answer.
package signs

import (
	"bytes"
	_ "embed"
	"encoding/json"
	"fmt"
	"slices"
	"strings"

	"wornwood/capture/record"
)

//go:embed signs.json
var embedded []byte

// Speaks is what a sign speaks for when it is seen.
type Speaks string

// What signs speak for. Refinish, Replacement and Alteration speak against an
// original part; Repair leaves it original, mended.
const (
	Refinish    Speaks = "refinish"
	Replacement Speaks = "replacement"
	Alteration  Speaks = "alteration"
	Repair      Speaks = "repair"
	Original    Speaks = "original"
)

// Kinds lists what signs may speak for, in the order of lists and sentences.
func Kinds() []Speaks { return []Speaks{Refinish, Replacement, Alteration, Repair, Original} }

// Phrase is the kind in a sentence: "a refinish", "an original part".
func (s Speaks) Phrase() string {
	switch s {
	case Original:
		return "an original part"
	case Alteration:
		return "an alteration"
	}
	return "a " + string(s)
}

// Sign is one thing to look for on some parts of some instruments.
type Sign struct {
	ID       string          `json:"id"` // kept in records; never given to another sign
	Parts    []record.PartID `json:"parts"`
	Families []string        `json:"families,omitempty"` // of the table; none: every family
	Speaks   Speaks          `json:"speaks"`             // for what, when it is seen
	Ask      string          `json:"ask"`                // what is to be seen, in the trade's words
	Look     string          `json:"look"`               // where and how to look
	By       string          `json:"by"`                 // one of record.Methods
	Caution  string          `json:"caution,omitempty"`  // key of the table's cautions
}

// Table is a versioned list of signs.
type Table struct {
	Name     string              `json:"name"` // "wornwood.signs/1"
	Note     string              `json:"note"`
	Families map[string][]string `json:"families"` // the classes of each, by the first words of their names
	Cautions map[string]Caution  `json:"cautions"`
	Signs    []Sign              `json:"signs"`
}

// Caution is what to mind where looking can hurt somebody or something.
type Caution struct {
	Short string `json:"short"` // in a few words, beside the list
	Text  string `json:"text"`
}

var table = mustRead(embedded)

// Default is the table that comes with the program. The caller must not change
// it.
func Default() *Table { return table }

func mustRead(b []byte) *Table {
	t, err := read(b)
	if err != nil {
		panic(err) // the file is part of the program, and its test reads it
	}
	return t
}

// read reads a table and refuses one that does not hold together.
func read(b []byte) (*Table, error) {
	var t Table
	d := json.NewDecoder(bytes.NewReader(b))
	d.DisallowUnknownFields()
	if err := d.Decode(&t); err != nil {
		return nil, fmt.Errorf("read signs: %w", err)
	}
	seen := map[string]bool{}
	for _, s := range t.Signs {
		if err := t.check(s); err != nil {
			return nil, fmt.Errorf("read signs: sign %q %w", s.ID, err)
		}
		if seen[s.ID] {
			return nil, fmt.Errorf("read signs: sign %q is listed twice", s.ID)
		}
		seen[s.ID] = true
	}
	return &t, nil
}

func (t *Table) check(s Sign) error {
	switch {
	case s.ID == "" || s.Ask == "" || s.Look == "" || len(s.Parts) == 0:
		return fmt.Errorf("lacks its identity, question, how to look, or parts")
	case !slices.Contains(Kinds(), s.Speaks):
		return fmt.Errorf("speaks for %q, which is no kind", s.Speaks)
	case !slices.Contains(record.Methods(), s.By):
		return fmt.Errorf("is judged by %q, which is no method", s.By)
	case s.Caution != "" && t.Cautions[s.Caution].Text == "":
		return fmt.Errorf("names the caution %q, which is not listed", s.Caution)
	}
	for _, f := range s.Families {
		if len(t.Families[f]) == 0 {
			return fmt.Errorf("names the family %q, which is not listed", f)
		}
	}
	return nil
}

// For lists the signs of a part of a class of instruments, those that speak
// against an original part first. It is empty for a part or class the table
// does not know.
func For(class string, part record.PartID) []Sign { return table.For(class, part) }

// For is For on one table.
func (t *Table) For(class string, part record.PartID) []Sign {
	var out []Sign
	for _, k := range Kinds() {
		for _, s := range t.Signs {
			if s.Speaks == k && slices.Contains(s.Parts, part) && t.fits(s, class) {
				out = append(out, s)
			}
		}
	}
	return out
}

func (t *Table) fits(s Sign, class string) bool {
	if len(s.Families) == 0 {
		return true
	}
	return slices.ContainsFunc(s.Families, func(f string) bool {
		return slices.ContainsFunc(t.Families[f], func(c string) bool { return class == c || strings.HasPrefix(class, c+" ") })
	})
}

// ByID is the sign of that identity.
func ByID(id string) (Sign, bool) {
	i := slices.IndexFunc(table.Signs, func(s Sign) bool { return s.ID == id })
	if i < 0 {
		return Sign{}, false
	}
	return table.Signs[i], true
}

// Warnings lists the cautions of some signs, each once, in the order of the
// signs.
func Warnings(list []Sign) []Caution {
	var out []Caution
	for _, s := range list {
		if c, ok := table.Cautions[s.Caution]; ok && !slices.Contains(out, c) {
			out = append(out, c)
		}
	}
	return out
}
