// Package caution knows the materials on instruments whose trade the law may
// regulate, and what to say of them in short. It spots them in free text and
// words a caution; it never says what a piece is, what the law of a country is,
// or what anybody may do.
//
// Start with Find, Proposals and Cautions. The table is materials.json; each
// line names its sources, whether they were read or are from memory, and the
// month as of which it holds. A look cannot tell a species, so every material
// "appears to be" what it is called until a document that names it is attached.
package caution

import (
	"bytes"
	_ "embed"
	"encoding/json"
	"fmt"
	"slices"
	"strings"
	"time"
)

//go:embed materials.json
var embedded []byte

// Material is one line of the table.
type Material struct {
	Name    string   `json:"name"`  // as record.Material.Name has it
	Latin   string   `json:"latin"` // species, genus, or another name; "" for none
	Group   string   `json:"group"` // materials that are taken for one another share it
	Legal   bool     `json:"legal"` // an authority is to be asked; false for what is only confused with such
	Words   []string `json:"words"` // how texts name it
	Except  []string `json:"except,omitempty"`
	Look    string   `json:"look"` // why a look does not tell
	Text    string   `json:"text"` // the caution
	Sources []Source `json:"sources"`
	AsOf    string   `json:"asOf"` // "2025-12": as known in that month
}

// Source is where a caution is from.
type Source struct {
	Text string `json:"text"`
	How  string `json:"how"` // "read" or "memory"
}

var table = mustLoad()

// mustLoad reads the table that is part of the program; a test loads it too.
func mustLoad() []Material {
	d := json.NewDecoder(bytes.NewReader(embedded))
	d.DisallowUnknownFields()
	var list []Material
	if err := d.Decode(&list); err != nil {
		panic(fmt.Sprintf("the table of materials cannot be read: %v", err))
	}
	return list
}

// All lists the table in its order, for a form.
func All() []Material { return slices.Clone(table) }

// Names are the names of the table in its order.
func Names() []string {
	var out []string
	for _, m := range table {
		out = append(out, m.Name)
	}
	return out
}

// ByName is the material of that name, whatever its capitals, or of that Latin
// name; nil for one that the table does not have.
func ByName(name string) *Material {
	name = strings.TrimSpace(name)
	for i := range table {
		if m := &table[i]; strings.EqualFold(m.Name, name) || (m.Latin != "" && strings.EqualFold(m.Latin, name)) {
			return m
		}
	}
	return nil
}

// Called is the material in a sentence: "Brazilian rosewood (Dalbergia nigra)".
func (m *Material) Called() string {
	s := m.Name
	if s != "Brazilian rosewood" {
		s = strings.ToLower(s[:1]) + s[1:]
	}
	if m.Latin != "" {
		s += " (" + m.Latin + ")"
	}
	return s
}

// AsOfWords is the month of the note in words: "December 2025".
func (m *Material) AsOfWords() string {
	t, err := time.Parse("2006-01", m.AsOf)
	if err != nil {
		return m.AsOf
	}
	return t.Format("January 2006")
}
