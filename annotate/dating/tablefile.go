package dating

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"
)

// read hands every line of a table to use and notes those that cannot be used.
func (t *Table) read(data []byte, columns, needed []string, use func(tableRow) error) {
	data = bytes.TrimPrefix(data, []byte("\ufeff"))
	switch {
	case len(data) > MaxTableBytes:
		t.bad(0, fmt.Sprintf("it is larger than %d MiB", MaxTableBytes>>20))
		return
	case !utf8.Valid(data):
		t.bad(0, "it is not in UTF-8; save it as CSV in UTF-8")
		return
	}
	rows := 0
	each := func(r tableRow) bool {
		if rows++; rows > maxTableRows {
			t.bad(r.line, fmt.Sprintf("a table has at most %d lines; the rest was left out", maxTableRows))
			return false
		}
		for c, v := range r.cells {
			if v = strings.TrimSpace(v); len(v) > maxCell || strings.ContainsFunc(v, unicode.IsControl) {
				t.bad(r.line, fmt.Sprintf("what stands under %q is longer than %d bytes or holds control characters", c, maxCell))
				return true
			}
			r.cells[c] = v
		}
		if err := use(r); err != nil {
			t.bad(r.line, err.Error())
		}
		return true
	}
	if s := bytes.TrimSpace(data); len(s) > 0 && s[0] == '[' {
		t.readJSON(data, columns, each)
		return
	}
	t.readCSV(data, columns, needed, each)
}

// separator is what parts the columns of the first line: the sign that occurs
// most often in it.
func separator(data []byte) rune {
	line, _, _ := bytes.Cut(data, []byte("\n"))
	best, most := ',', 0
	for _, r := range ",;\t" {
		if n := bytes.Count(line, []byte(string(r))); n > most {
			best, most = r, n
		}
	}
	return best
}

func (t *Table) readCSV(data []byte, columns, needed []string, each func(tableRow) bool) {
	r := csv.NewReader(bytes.NewReader(data))
	r.Comma, r.FieldsPerRecord = separator(data), -1
	head, err := r.Read()
	if err != nil {
		t.bad(1, "there is no line that names the columns: "+strings.Join(columns, ", "))
		return
	}
	if err := checkHead(head, columns, needed); err != nil {
		t.bad(1, err.Error())
		return
	}
	for {
		cells, err := r.Read()
		if errors.Is(err, io.EOF) {
			return
		}
		var broken *csv.ParseError
		if errors.As(err, &broken) {
			// Behind a broken quotation mark nobody knows where lines begin.
			t.bad(broken.StartLine, "a quotation mark is not closed or stands inside a cell; this line and all below it were left out")
			return
		} else if err != nil {
			t.bad(0, err.Error())
			return
		}
		line, _ := r.FieldPos(0)
		if !slices.ContainsFunc(cells, func(s string) bool { return strings.TrimSpace(s) != "" }) {
			continue
		}
		if len(cells) > len(head) && slices.ContainsFunc(cells[len(head):], func(s string) bool { return strings.TrimSpace(s) != "" }) {
			t.bad(line, fmt.Sprintf("it has %d cells and the first line names %d columns", len(cells), len(head)))
			continue
		}
		row := tableRow{line, map[string]string{}}
		for i, h := range head {
			if i < len(cells) {
				row.cells[h] = cells[i]
			}
		}
		if !each(row) {
			return
		}
	}
}

// checkHead brings the names of the columns to one spelling and refuses those
// that no table has: a misspelt one would lose its cells unseen.
func checkHead(head, columns, needed []string) error {
	seen := map[string]bool{}
	for i, h := range head {
		h = columnName(strings.TrimSpace(h))
		if head[i] = h; h == "" {
			continue
		}
		if !slices.Contains(columns, h) {
			return fmt.Errorf("there is no column %q; the columns are %s", short(h), strings.Join(columns, ", "))
		}
		if seen[h] {
			return fmt.Errorf("the column %q stands there twice", h)
		}
		seen[h] = true
	}
	for _, n := range needed {
		if !seen[n] {
			return fmt.Errorf("the column %q is missing; the columns are %s", n, strings.Join(columns, ", "))
		}
	}
	return nil
}

// readJSON reads a list of objects entry by entry, so that a long one is not
// held twice.
func (t *Table) readJSON(data []byte, columns []string, each func(tableRow) bool) {
	d := json.NewDecoder(bytes.NewReader(data))
	d.UseNumber()
	line, counted := 1, 0
	lineAt := func() int { // lines are counted once, however many entries there are
		if to := min(int(d.InputOffset()), len(data)); to > counted {
			line += bytes.Count(data[counted:to], []byte("\n"))
			counted = to
		}
		return line
	}
	if _, err := d.Token(); err != nil {
		t.bad(1, "it is no JSON list: "+err.Error())
		return
	}
	for d.More() {
		began := lineAt()
		var entry map[string]any
		if err := d.Decode(&entry); err != nil {
			t.bad(began, "this entry and all below it were left out, as it is no JSON object: "+err.Error())
			return
		}
		row, err := jsonRow(lineAt(), entry, columns)
		if err != nil {
			t.bad(row.line, err.Error())
			continue
		}
		if !each(row) {
			return
		}
	}
	if _, err := d.Token(); err != nil {
		t.bad(lineAt(), "the list does not end: "+err.Error())
	}
}

func jsonRow(line int, entry map[string]any, columns []string) (tableRow, error) {
	row := tableRow{line, map[string]string{}}
	for k, v := range entry {
		c := columnName(k)
		if !slices.Contains(columns, c) {
			return row, fmt.Errorf("there is no column %q; the columns are %s", short(k), strings.Join(columns, ", "))
		}
		switch v := v.(type) {
		case string:
			row.cells[c] = v
		case json.Number:
			row.cells[c] = v.String()
		case nil:
		default:
			return row, fmt.Errorf("%q is neither text nor a number", short(k))
		}
	}
	return row, nil
}

// WriteSerials is a table of serial numbers as CSV, as ReadSerials reads it.
func WriteSerials(list []Serial) ([]byte, error) {
	rows := [][]string{serialColumns}
	for _, s := range list {
		rows = append(rows, []string{s.Pattern, s.First, s.Last, yearText(s.From), yearText(s.To), s.For, s.Source, s.Note})
	}
	return writeCSV(rows)
}

// WriteFeatures is a table of features as CSV, as ReadFeatures reads it.
func WriteFeatures(list []Feature) ([]byte, error) {
	rows := [][]string{featureColumns}
	for _, f := range list {
		rows = append(rows, []string{f.For, f.Feature, yearText(f.InOrAfter), yearText(f.InOrBefore), f.Source})
	}
	return writeCSV(rows)
}

func writeCSV(rows [][]string) ([]byte, error) {
	var b bytes.Buffer
	w := csv.NewWriter(&b)
	if err := w.WriteAll(rows); err != nil {
		return nil, fmt.Errorf("write table: %w", err)
	}
	return b.Bytes(), nil
}

func yearText(y int) string {
	if y == 0 {
		return ""
	}
	return strconv.Itoa(y)
}
