package archive_test

import (
	"bufio"
	"bytes"
	"context"
	"encoding/csv"
	"encoding/json"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"reflect"
	"runtime"
	"slices"
	"strings"
	"testing"
	"time"

	"wornwood/pdfout/archive"
	"wornwood/pdfout/archive/archivetest"
	"wornwood/pdfout/archive/servicetest"
)

// rowsArchive is an archive of which only the index has rows: n usual ones and
// some whose texts want to be more than texts.
func rowsArchive(t *testing.T, n int) (*archive.Archive, []archive.Row) {
	t.Helper()
	dir := filepath.Join(t.TempDir(), "archive")
	must(t, archive.Make(dir, "Test", false, archivetest.When))
	s, err := archive.OpenFolder(dir)
	must(t, err)
	x, err := archive.OpenSQLite(filepath.Join(dir, "rows.db"), false)
	must(t, err)
	events, _ := archivetest.Events(1, n)
	for i, text := range wildCells {
		r := archivetest.Rows(n+1+i, 1)[0]
		r.Maker, r.Model, r.Shop, r.Source, r.Edition = text, text+"x", "x"+text, text, "\""+text
		r.Kinds, r.Parts = []string{text, ""}, []archive.PartState{}
		r.Index, r.Condition, r.YearFrom, r.YearTo, r.Linked, r.Instrument = nil, 0, 0, 0, events[0].File, text
		switch i {
		case 0:
			r.Kinds = []string{}
		case 1:
			r.Date, r.Filed = "1969-12-31", time.Date(1969, 12, 31, 23, 59, 59, 999e6, time.UTC)
		case 2:
			r.Date = "0000-02-30" // no day
		}
		events = append(events, archive.Event{Entry: archive.Entry{Seq: r.Seq, Kind: archive.Filed, File: r.Hash, First: r.First}, Row: &r})
	}
	_, at := archivetest.Events(1, len(events))
	must(t, x.Apply(events, at))
	var rows []archive.Row
	for _, e := range slices.Backward(events) {
		rows = append(rows, *e.Row)
	}
	return reopen(t, dir, archive.Options{ReadOnly: true, Store: s, Index: x, Lock: s.(archive.Locker)}), rows
}

// wildCells are texts as a stranger may write them into a report.
var wildCells = []string{
	"=1+1", "+cmd", "-2+3", "@SUM(A1)", "\t=1", "\r=1", "\n=1", "  =1+1", "＝1", "=HYPERLINK(\"http://example.org\",\"x\")",
	"a,b", `say "so"`, "two\nlines", "two\r\nlines", "ends in a quote\"", "Łódź 🎻", "nul \x00 and bell \a", "'quoted", ";", " ",
}

func export(t *testing.T, a *archive.Archive, line string, to func(*bytes.Buffer) archive.Exporter) ([]byte, int) {
	t.Helper()
	q, err := archive.ParseQuery(line)
	must(t, err)
	var b bytes.Buffer
	n, err := a.Export(context.Background(), q, to(&b))
	must(t, err)
	return b.Bytes(), n
}

func lines(t *testing.T, a *archive.Archive, line string) []archive.Row {
	t.Helper()
	b, n := export(t, a, line, func(b *bytes.Buffer) archive.Exporter { return archive.NewLines(b) })
	var out []archive.Row
	for s := bufio.NewScanner(bytes.NewReader(b)); s.Scan(); {
		var r archive.Row
		must(t, json.Unmarshal(s.Bytes(), &r))
		out = append(out, r)
	}
	if len(out) != n {
		t.Errorf("%d lines, said %d", len(out), n)
	}
	return out
}

// An export goes on from page to page without leaving out or repeating a row,
// in every order, and gives what is found at once.
func TestExportIsComplete(t *testing.T) {
	a, all := rowsArchive(t, 5003)
	for _, line := range []string{"", "sort:filed", "sort:-filed", "sort:maker", "sort:-index", "halden", "maker:finch sort:filed", "index:20..60", "halden sort:date"} {
		q, err := archive.ParseQuery(line)
		must(t, err)
		want, err := a.Find(q, 0, 1<<40)
		must(t, err)
		got := lines(t, a, line)
		if len(got) != len(want.Rows) || line == "" && len(got) != len(all) {
			t.Errorf("%q: %d rows, found at once %d", line, len(got), len(want.Rows))
			continue
		}
		for i := range got {
			if got[i].Hash != want.Rows[i].Hash {
				t.Errorf("%q: row %d is another", line, i)
				break
			}
		}
	}
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	q, err := archive.ParseQuery("")
	must(t, err)
	if _, err := a.Export(ctx, q, archive.NewLines(&bytes.Buffer{})); err == nil {
		t.Error("cancelled, it goes on")
	}
}

// strictPython reads CSV with Python's parser in strict mode, without any of its
// own meanings, and prints it as JSON.
const strictPython = `
import csv, json, sys, io
data = sys.stdin.buffer.read().decode("utf-8")
rows = list(csv.reader(io.StringIO(data, newline=""), strict=True, delimiter=",", quotechar='"', doublequote=True, skipinitialspace=False))
print(json.dumps(rows))
`

// twoParsers reads CSV with Python's csv in strict mode and with Go's
// encoding/csv, which must agree but for the ends of lines within a field, which
// Go's gives as a line feed.
func twoParsers(t *testing.T, data []byte) [][]string {
	t.Helper()
	cmd := exec.Command("python3", "-c", strictPython)
	cmd.Stdin = bytes.NewReader(data)
	out, err := cmd.CombinedOutput()
	if err != nil {
		t.Fatalf("python3: %v: %s", err, out)
	}
	var rows [][]string
	must(t, json.Unmarshal(out, &rows))
	r := csv.NewReader(bytes.NewReader(data))
	r.LazyQuotes = false
	r.FieldsPerRecord = 0 // as many in each as in the first (RFC 4180, 2.4)
	other, err := r.ReadAll()
	must(t, err)
	for i := range rows {
		for k := range rows[i] {
			rows[i][k] = strings.ReplaceAll(rows[i][k], "\r\n", "\n")
		}
	}
	if !reflect.DeepEqual(rows, other) {
		t.Errorf("the parsers disagree:\n%q\n%q", rows, other)
	}
	return rows
}

// The examples of RFC 4180, section 2, points 1 to 7, as they stand there: what
// the parsers here make of them is what the text says.
func TestExamplesOfRFC4180(t *testing.T) {
	for data, want := range map[string][][]string{
		"aaa,bbb,ccc\r\nzzz,yyy,xxx\r\n":                                     {{"aaa", "bbb", "ccc"}, {"zzz", "yyy", "xxx"}},
		"aaa,bbb,ccc\r\nzzz,yyy,xxx":                                         {{"aaa", "bbb", "ccc"}, {"zzz", "yyy", "xxx"}},
		"field_name,field_name,field_name\r\naaa,bbb,ccc\r\nzzz,yyy,xxx\r\n": {{"field_name", "field_name", "field_name"}, {"aaa", "bbb", "ccc"}, {"zzz", "yyy", "xxx"}},
		"\"aaa\",\"bbb\",\"ccc\"\r\nzzz,yyy,xxx":                             {{"aaa", "bbb", "ccc"}, {"zzz", "yyy", "xxx"}},
		"\"aaa\",\"b\r\nbb\",\"ccc\"\r\nzzz,yyy,xxx":                         {{"aaa", "b\nbb", "ccc"}, {"zzz", "yyy", "xxx"}},
		"\"aaa\",\"b\"\"bb\",\"ccc\"":                                        {{"aaa", "b\"bb", "ccc"}},
	} {
		if got := twoParsers(t, []byte(data)); !reflect.DeepEqual(got, want) {
			t.Errorf("%q: %q, want %q", data, got, want)
		}
	}
}

// The CSV of an export is after RFC 4180: lines end with CRLF, all have as many
// fields, quotes are doubled, of control characters only tabs are left; two parsers read
// the same from it, and no cell begins like a formula.
func TestCSVIsReadByOthers(t *testing.T) {
	a, all := rowsArchive(t, 40)
	data, n := export(t, a, "", func(b *bytes.Buffer) archive.Exporter { return archive.NewCSV(b) })
	if n != len(all) || !bytes.HasSuffix(data, []byte("\r\n")) || bytes.Contains(bytes.ReplaceAll(data, []byte("\r\n"), nil), []byte("\n")) || bytes.ContainsAny(data, "\x00\a") {
		t.Errorf("the lines of %d rows end otherwise than with CRLF, or a control character is left", n)
	}
	rows := twoParsers(t, data)
	if len(rows) != len(all)+1 || !slices.Equal(rows[0], archive.Columns()) {
		t.Fatalf("%d rows", len(rows))
	}
	column := func(name string) int { return slices.Index(archive.Columns(), name) }
	for i, r := range all {
		got := rows[i+1]
		if got[column("sha256")] != r.Hash || got[column("date")] != r.Date || got[column("size")] != fmt.Sprint(r.Size) {
			t.Errorf("row %d: %q", i, got)
		}
		for name, want := range map[string]string{"maker": r.Maker, "model": r.Model, "shop": r.Shop, "edition": r.Edition, "source": r.Source} {
			cell := got[column(name)]
			if begin := strings.TrimLeft(cell, " \u00a0\n\r\t"); begin != "" && strings.ContainsRune("=+-@＝＋－＠\t\r", []rune(begin)[0]) {
				t.Errorf("%q is taken for a formula", cell)
			}
			// The text itself is kept, but for the apostrophe before it.
			want = strings.NewReplacer("\x00", " ", "\a", " ", "\r\n", "\n", "\r", "").Replace(want)
			if cell != want && cell != "'"+want {
				t.Errorf("%q for %q", cell, want)
			}
		}
	}
}

// plainRow is what the outside engine is to read of a row, from the JSON of it.
func plainRow(t *testing.T, r archive.Row) map[string]any {
	t.Helper()
	b, err := json.Marshal(r)
	must(t, err)
	d := json.NewDecoder(bytes.NewReader(b))
	d.UseNumber()
	var m map[string]any
	must(t, d.Decode(&m))
	for k, v := range m {
		if n, is := v.(json.Number); is {
			if i, err := n.Int64(); err == nil {
				m[k] = i
			} else {
				m[k], err = n.Float64()
				must(t, err)
			}
		}
	}
	for _, k := range []string{"yearFrom", "yearTo", "condition"} { // not known
		if m[k] == int64(0) {
			m[k] = nil
		}
	}
	for _, k := range []string{"linked", "instrument"} { // left out when empty
		if _, is := m[k]; !is {
			m[k] = nil
		}
	}
	m["filed"] = strings.TrimSuffix(strings.TrimRight(r.Filed.UTC().Format("2006-01-02 15:04:05.000"), "0"), ".") + "+00"
	if _, err := time.Parse(time.DateOnly, r.Date); err != nil {
		m["date"] = nil
	}
	return m
}

// An engine from outside reads every value of the Parquet file as JSON Lines has
// it, with dates and times as such; the file is written in row groups.
func TestParquetIsReadByAnotherEngine(t *testing.T) {
	a, _ := rowsArchive(t, 10_050)
	data, n := export(t, a, "", func(b *bytes.Buffer) archive.Exporter { return archive.NewParquet(b) })
	path := filepath.Join(t.TempDir(), "all.parquet")
	must(t, os.WriteFile(path, data, 0o644))
	got := servicetest.ReadParquet(t, path)
	want := lines(t, a, "")
	if len(got) != n || len(want) != n {
		t.Fatalf("%d rows read, %d lines, %d written", len(got), len(want), n)
	}
	wrong := 0
	for i, r := range want {
		w := plainRow(t, r)
		for k, v := range got[i] {
			if f, is := w[k].(float64); is {
				if n, is := v.(int64); is && float64(n) == f {
					continue
				}
			}
			if n, is := w[k].(int64); is && (k == "index" || k == "originality") {
				w[k] = float64(n)
				if f, is := v.(int64); is {
					v = float64(f)
				}
			}
			if !reflect.DeepEqual(v, w[k]) {
				if wrong++; wrong < 12 {
					t.Errorf("row %d, %s: %#v, want %#v", i, k, v, w[k])
				}
			}
			delete(w, k)
		}
		if len(w) > 0 {
			for k := range w {
				if _, is := got[i][k]; !is {
					t.Fatalf("row %d lacks %s", i, k)
				}
			}
		}
	}
	types := map[string]string{}
	for _, c := range servicetest.SQL(t, "DESCRIBE SELECT * FROM read_parquet('"+path+"')") {
		types[fmt.Sprint(c["column_name"])] = fmt.Sprint(c["column_type"])
	}
	for k, want := range map[string]string{"filed": "TIMESTAMP WITH TIME ZONE", "date": "DATE", "kinds": "VARCHAR[]", "parts": "STRUCT(part VARCHAR, state VARCHAR)[]", "index": "DOUBLE", "condition": "INTEGER", "size": "BIGINT", "stamped": "BOOLEAN", "maker": "VARCHAR"} {
		if types[k] != want {
			t.Errorf("%s is %s, want %s", k, types[k], want)
		}
	}
	groups := servicetest.SQL(t, "SELECT count(DISTINCT row_group_id) AS groups FROM parquet_metadata('"+path+"')")
	if g := groups[0]["groups"]; g != int64(2) {
		t.Errorf("%v row groups for %d rows", g, n)
	}
}

// An archive of nothing is exported as nothing, in every form.
func TestExportOfNothing(t *testing.T) {
	a, _ := newArchive(t)
	data, n := export(t, a, "", func(b *bytes.Buffer) archive.Exporter { return archive.NewParquet(b) })
	path := filepath.Join(t.TempDir(), "none.parquet")
	must(t, os.WriteFile(path, data, 0o644))
	if got := servicetest.ReadParquet(t, path); len(got) != 0 || n != 0 {
		t.Errorf("%v", got)
	}
	if data, _ := export(t, a, "", func(b *bytes.Buffer) archive.Exporter { return archive.NewCSV(b) }); len(twoParsers(t, data)) != 1 {
		t.Errorf("%s", data)
	}
	if got := lines(t, a, ""); len(got) != 0 {
		t.Errorf("%v", got)
	}
}

// moving is an index in which a report is filed between one page and the next.
type moving struct {
	archive.Index
	next func()
}

func (m *moving) Find(q *archive.Query, from, most int) (*archive.Found, error) {
	f, err := m.Index.Find(q, from, most)
	m.next()
	return f, err
}

// While somebody files, each report that was there before is exported once.
func TestExportWhileFiling(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "archive")
	must(t, archive.Make(dir, "Test", false, archivetest.When))
	s, err := archive.OpenFolder(dir)
	must(t, err)
	x, err := archive.OpenSQLite(filepath.Join(dir, "rows.db"), false)
	must(t, err)
	const before = 4500
	must(t, x.Apply(archivetest.Events(1, before)))
	n := before
	m := &moving{x, func() { n += 7; must(t, x.Apply(archivetest.Events(n-6, 7))) }}
	a := reopen(t, dir, archive.Options{ReadOnly: true, Store: s, Index: m, Lock: s.(archive.Locker)})
	for _, line := range []string{"", "sort:filed"} {
		times := map[string]int{}
		for _, r := range lines(t, a, line) {
			times[r.Hash]++
		}
		for _, r := range archivetest.Rows(1, before) {
			if times[r.Hash] != 1 {
				t.Fatalf("%q: %s is exported %d times", line, r.Number, times[r.Hash])
			}
		}
	}
	if n < before+6*7 {
		t.Errorf("only %d were filed meanwhile, so nothing was shown", n-before)
	}
}

// What an export holds in memory does not grow with the reports: at most 48 MiB
// while 200 000 are written, looked at at each row group.
func TestExportsAreStreamed(t *testing.T) {
	rows := archivetest.Rows(1, 1000)
	for name, form := range map[string]func(io.Writer) archive.Exporter{"parquet": archive.NewParquet, "csv": archive.NewCSV, "lines": archive.NewLines} {
		var m runtime.MemStats
		runtime.GC()
		runtime.ReadMemStats(&m)
		base, most := m.HeapAlloc, uint64(0)
		e := form(io.Discard)
		for n := range 200 {
			for i := range rows { // the hashes differ, as those of reports do
				rows[i].Hash, rows[i].First, rows[i].Seq = hash([]byte{byte(n), byte(i), byte(i >> 8)}), hash([]byte{byte(n), byte(i), byte(i >> 8), 1}), int64(1000*n+i)
				must(t, e.Write(rows[i]))
			}
			if n%10 == 8 { // before a row group is written
				runtime.GC()
				runtime.ReadMemStats(&m)
				most = max(most, m.HeapAlloc-min(base, m.HeapAlloc))
			}
		}
		must(t, e.Close())
		t.Logf("%s: at most %.1f MiB", name, float64(most)/(1<<20))
		if most > 48<<20 {
			t.Errorf("%s: %d MiB", name, most>>20)
		}
	}
}
