package view

import (
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"wornwood/annotate/dating"
	"wornwood/capture/bench"
)

// OwnTables is the sheet of the shop's own tables.
type OwnTables struct {
	b    *bench.Bench
	line dating.Serial // the line being typed
}

// NewOwnTables makes the model on a bench.
func NewOwnTables(b *bench.Bench) *OwnTables { return &OwnTables{b: b} }

// TableView is one table as the sheet shows it.
type TableView struct {
	Title string
	Lines []TableLine
	Bad   []string // lines that cannot be used, in sentences
}

// TableLine is one line of a table.
type TableLine struct {
	Words    string
	Editable bool // it can be removed here
	File     string
	Line     int
}

// mostLines is how many lines of a table the sheet lists.
const mostLines = 60

// Help says what the tables are.
func (v *OwnTables) Help() []string {
	return []string{"A table of serial numbers says which years its ranges belong to; a table of features says since or until when something was built. " +
		"They are this shop's own and lie in the bench's folder “tables”, as CSV or JSON."}
}

// Tables lists what is loaded.
func (v *OwnTables) Tables() []TableView {
	var out []TableView
	for _, t := range dating.Load(v.b) {
		tv := TableView{Title: fmt.Sprintf("%s: %s", t.File, count(len(t.Serials)+len(t.Features), "line", "lines"))}
		for _, b := range t.Bad {
			tv.Bad = append(tv.Bad, b.Error())
		}
		for _, s := range t.Serials {
			tv.Lines = append(tv.Lines, TableLine{serialWords(s), t.File == serialFile && len(t.Bad) == 0, t.File, s.Line})
		}
		for _, f := range t.Features {
			tv.Lines = append(tv.Lines, TableLine{Words: joinWords(featureWords(f), f.For, f.Source), File: t.File, Line: f.Line})
		}
		if n := len(tv.Lines) - mostLines; n > 0 {
			tv.Lines = append(tv.Lines[:mostLines], TableLine{Words: fmt.Sprintf("and %d more", n)})
		}
		out = append(out, tv)
	}
	if len(out) == 0 {
		out = append(out, TableView{Title: "No table is there yet."})
	}
	return out
}

func serialWords(s dating.Serial) string {
	return joinWords(s.Words()+": "+dating.Of(dating.Years(s.From, s.To)).Words(), s.For, s.Source, s.Note)
}

func joinWords(first string, more ...string) string {
	for _, m := range more {
		if m != "" {
			first += " · " + m
		}
	}
	return first
}

// serialFile is the table to which lines are added.
const serialFile = "tables/serials.csv"

// Import makes a file the table of a kind, "serials" or "features". A file with
// a line that cannot be used is refused, and nothing changes. It says what was
// done.
func (v *OwnTables) Import(kind, path string) (string, error) {
	ext := strings.ToLower(filepath.Ext(path))
	if ext != ".csv" && ext != ".json" {
		return "", fmt.Errorf("bring table: %s is neither .csv nor .json", filepath.Base(path))
	}
	st, err := os.Stat(path)
	if err != nil {
		return "", fmt.Errorf("bring table: %w", err)
	}
	if st.Size() > dating.MaxTableBytes || !st.Mode().IsRegular() {
		return "", fmt.Errorf("bring table: %s is no file of at most %d MiB", filepath.Base(path), dating.MaxTableBytes>>20)
	}
	data, err := os.ReadFile(path)
	if err != nil {
		return "", fmt.Errorf("bring table: %w", err)
	}
	read := dating.ReadSerials
	if bench.TableKind(kind) == bench.FeatureTable {
		read = dating.ReadFeatures
	}
	t := read(filepath.Base(path), data)
	if err := badLines(t); err != nil {
		return "", fmt.Errorf("bring table: %w", err)
	}
	kept, err := v.b.SetTable(bench.TableKind(kind), ext, data)
	if err != nil {
		return "", fmt.Errorf("bring table: %w", err)
	}
	said := fmt.Sprintf("%s brought in", count(len(t.Serials)+len(t.Features), "line", "lines"))
	if kept != "" {
		said += "; the table before is kept as " + kept
	}
	return said, nil
}

// badLines is one error for the lines of a table that cannot be used, nil for
// none. The first few are named.
func badLines(t dating.Table) error {
	if len(t.Bad) == 0 {
		return nil
	}
	var out []string
	for i, b := range t.Bad {
		if i == 5 {
			out = append(out, fmt.Sprintf("and %d more", len(t.Bad)-i))
			break
		}
		out = append(out, b.Error())
	}
	return fmt.Errorf("%s; nothing was changed", strings.Join(out, "; "))
}

// serials is the table to which lines are added.
func (v *OwnTables) serials() (dating.Table, error) {
	for _, t := range dating.Load(v.b) {
		if t.File == serialFile {
			return t, badLines(t)
		}
	}
	return dating.Table{File: serialFile}, nil
}

// NewLine begins a line of the table of serial numbers and gives its form.
func (v *OwnTables) NewLine() []Field {
	v.line = dating.Serial{}
	text := func(label, hint string, at *string) Field {
		return Field{Label: label, Hint: hint, Get: func() string { return *at }, Set: func(t string) error { *at = strings.TrimSpace(t); return nil }}
	}
	year := func(label string, at *int) Field {
		return Field{Label: label, Unit: "year", Hint: "open", Get: func() string { return yearWords(*at) }, Set: func(t string) (err error) {
			y, err := Year(t)
			if err == nil {
				*at = y
			}
			return err
		}}
	}
	l := &v.line
	return []Field{text("Pattern", "L##### is L and five digits", &l.Pattern), text("For", "maker, model or class; empty: any", &l.For),
		text("First number", "empty: all of the pattern", &l.First), text("Last number", "empty: all of the pattern", &l.Last),
		year("From", &l.From), year("To", &l.To), text("Source", "which list, whose", &l.Source), text("Note", "", &l.Note)}
}

// AddLine puts the line that was typed into the table.
func (v *OwnTables) AddLine() error { return v.Add(v.line) }

// Add puts a line into the table of serial numbers.
func (v *OwnTables) Add(s dating.Serial) error {
	t, err := v.serials()
	if err != nil {
		return fmt.Errorf("add line: mend the table first: %w", err)
	}
	return v.write("add line", append(t.Serials, s))
}

// Remove takes a line out of the table of serial numbers.
func (v *OwnTables) Remove(l TableLine) error { return v.RemoveLine(l.Line) }

// RemoveLine takes the line of a number, as its file counts them, out of the
// table of serial numbers.
func (v *OwnTables) RemoveLine(line int) error {
	t, err := v.serials()
	if err != nil {
		return fmt.Errorf("remove line: mend the table first: %w", err)
	}
	i := slices.IndexFunc(t.Serials, func(s dating.Serial) bool { return s.Line == line })
	if i < 0 {
		return fmt.Errorf("remove line: %s has no entry in line %d", serialFile, line)
	}
	return v.write("remove line", slices.Delete(t.Serials, i, i+1))
}

// write checks a table by reading it as it will be read again, and keeps it.
func (v *OwnTables) write(what string, list []dating.Serial) error {
	data, err := dating.WriteSerials(list)
	if err != nil {
		return fmt.Errorf("%s: %w", what, err)
	}
	if err := badLines(dating.ReadSerials(serialFile, data)); err != nil {
		return fmt.Errorf("%s: %w", what, err)
	}
	if _, err := v.b.SetTable(bench.SerialTable, ".csv", data); err != nil {
		return fmt.Errorf("%s: %w", what, err)
	}
	return nil
}
