package dating

import (
	"fmt"
	"strconv"
	"strings"
)

// Table is one of a shop's own tables, as far as it could be read.
type Table struct {
	File     string    `json:"file"`
	Serials  []Serial  `json:"serials,omitempty"`
	Features []Feature `json:"features,omitempty"`
	Bad      []BadLine `json:"bad,omitempty"`
}

// BadLine is a line that could not be used, and why.
type BadLine struct {
	File string `json:"file"`
	Line int    `json:"line"` // from 1; 0 for the file as a whole
	Why  string `json:"why"`
}

// Error is the sentence that names file, line and reason.
func (b BadLine) Error() string {
	if b.Line == 0 {
		return fmt.Sprintf("%s: %s", b.File, b.Why)
	}
	return fmt.Sprintf("%s, line %d: %s", b.File, b.Line, b.Why)
}

// The limits of a table. They are far above what a shop types and keep a
// hostile file from filling the memory.
const (
	MaxTableBytes = 8 << 20
	maxTableRows  = 50_000
	maxCell       = 500 // bytes
	maxBad        = 40  // lines that are named; more say the same
)

// The columns of the tables, in the order in which they are written.
var (
	serialColumns  = []string{"pattern", "first", "last", "from year", "to year", "for", "source", "note"}
	featureColumns = []string{"for", "feature", "in or after", "in or before", "source"}
)

// ReadSerials reads a table of serial numbers, CSV or a JSON list of objects.
// The first line of a CSV names its columns: pattern, first, last, from year, to
// year, for, source, note, in any order, pattern and one of the years being
// needed. Commas, semicolons or tabs part them. Lines that cannot be used are
// in Bad and left out.
func ReadSerials(file string, data []byte) Table {
	t := Table{File: file}
	t.read(data, serialColumns, []string{"pattern"}, func(r tableRow) error {
		s := Serial{Pattern: r.get("pattern"), First: r.get("first"), Last: r.get("last"), For: r.get("for"), Source: r.get("source"), Note: r.get("note"), Line: r.line}
		var err error
		if s.From, err = r.year("from year"); err != nil {
			return err
		}
		if s.To, err = r.year("to year"); err != nil {
			return err
		}
		if err := s.ready(); err != nil {
			return err
		}
		t.Serials = append(t.Serials, s)
		return nil
	})
	return t
}

// ReadFeatures reads a table of features as ReadSerials reads one of serial
// numbers. Its columns are for, feature, in or after, in or before, source.
func ReadFeatures(file string, data []byte) Table {
	t := Table{File: file}
	t.read(data, featureColumns, []string{"feature"}, func(r tableRow) error {
		f := Feature{For: r.get("for"), Feature: r.get("feature"), Source: r.get("source"), Line: r.line}
		if f.Feature == "" {
			return fmt.Errorf("it names no feature")
		}
		var err error
		if f.InOrAfter, err = r.year("in or after"); err != nil {
			return err
		}
		if f.InOrBefore, err = r.year("in or before"); err != nil {
			return err
		}
		if err := checkYears(f.InOrAfter, f.InOrBefore); err != nil {
			return err
		}
		t.Features = append(t.Features, f)
		return nil
	})
	return t
}

// bad notes a line that cannot be used.
func (t *Table) bad(line int, why string) {
	switch n := len(t.Bad); {
	case n < maxBad:
		t.Bad = append(t.Bad, BadLine{t.File, line, why})
	case n == maxBad:
		t.Bad = append(t.Bad, BadLine{t.File, 0, fmt.Sprintf("more than %d lines cannot be used; only the first are named", maxBad)})
	}
}

// tableRow is one line by the names of its columns.
type tableRow struct {
	line  int
	cells map[string]string
}

func (r tableRow) get(column string) string { return r.cells[column] }

func (r tableRow) year(column string) (int, error) {
	s := r.get(column)
	if s == "" {
		return 0, nil
	}
	y, err := strconv.Atoi(s)
	if err != nil || y < 1000 || y > 9999 {
		return 0, fmt.Errorf("%q in the column %q is no year of four digits", short(s), column)
	}
	return y, nil
}

func short(s string) string {
	if r := []rune(s); len(r) > 40 {
		return string(r[:39]) + "…"
	}
	return s
}

// columnName is a heading in the spelling of the tables.
func columnName(s string) string {
	s = strings.ToLower(strings.Join(strings.FieldsFunc(s, func(r rune) bool { return r == ' ' || r == '_' || r == '-' || r == '\t' }), " "))
	switch s {
	case "from", "fromyear":
		return "from year"
	case "to", "toyear":
		return "to year"
	case "inorafter":
		return "in or after"
	case "inorbefore":
		return "in or before"
	}
	return s
}
