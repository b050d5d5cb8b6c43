package archive_test

import (
	"database/sql"
	"errors"
	"fmt"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"wornwood/pdfout/archive"
	"wornwood/pdfout/archive/archivetest"
)

// The index answers as going through the rows one by one does.
func TestSQLiteProperty(t *testing.T) {
	x, err := archive.OpenSQLite(t.TempDir()+"/index.db", false)
	if err != nil {
		t.Fatal(err)
	}
	defer x.Close()
	archivetest.Property(t, x)
}

// largeIndex files n rows in batches of uneven size, so that segments of all
// sizes are made and merged, and removes every row that gone names.
func largeIndex(t *testing.T, path string, n int, gone func(archive.Row) bool) (archive.Index, []archive.Row) {
	t.Helper()
	x, err := archive.OpenSQLite(path, false)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { x.Close() })
	sizes := []int{1, 700, 3, 40, 1, 1500, 9}
	for from, i := 1, 0; from <= n; i++ {
		size := min(sizes[i%len(sizes)], n-from+1)
		if err := x.Apply(archivetest.Events(from, size)); err != nil {
			t.Fatal(err)
		}
		from += size
	}
	var left []archive.Row
	var events []archive.Event
	seq := int64(n)
	for _, r := range archivetest.Rows(1, n) {
		if !gone(r) {
			left = append(left, r)
			continue
		}
		seq++
		events = append(events, archive.Event{Entry: archive.Entry{Seq: seq, Kind: archive.Removed, File: r.Hash}})
	}
	_, at := archivetest.Events(n, 1)
	for part := range slices.Chunk(events, 50) {
		if err := x.Apply(part, at); err != nil {
			t.Fatal(err)
		}
	}
	return x, left
}

// Thousands of rows, with many values of a field, long lists and dense ones, and
// with much removed from one place.
func TestSQLiteLarge(t *testing.T) {
	x, rows := largeIndex(t, t.TempDir()+"/index.db", 9000, func(r archive.Row) bool { return r.Seq%300 == 1 || (r.Seq > 4000 && r.Seq < 4400) })
	for line, is := range map[string]func(archive.Row) bool{
		"":                        func(archive.Row) bool { return true },
		"tolle":                   func(r archive.Row) bool { return r.Maker == "Tolle and Sons" },
		`"key number 4500"`:       func(r archive.Row) bool { return r.Seq == 4500 },
		`"light 77"`:              func(r archive.Row) bool { return r.Seq%1000 == 77 },
		"-wear":                   func(archive.Row) bool { return false },
		"450":                     func(r archive.Row) bool { return begins(r, "450") },
		"number:CR-2026-00":       func(r archive.Row) bool { return r.Seq < 10000 },
		"serial:L8o":              func(r archive.Row) bool { return strings.HasPrefix(archive.SerialKey(r.Serial), "L80") },
		"kind:ding -halden":       func(r archive.Row) bool { return slices.Contains(r.Kinds, "ding") && r.Maker != "Halden & Rowe" },
		"index:99.. violin":       func(r archive.Row) bool { return *r.Index >= 99 && r.Class == "violin" },
		"year:1950 merrow":        func(r archive.Row) bool { return r.YearFrom == 1950 && r.Maker == "Merrow & Finch" },
		"date:2025 verdict:known": func(r archive.Row) bool { return r.Date[:4] == "2025" && r.Verdict == "known" },
	} {
		q, err := archive.ParseQuery(line + " sort:-serial")
		if err != nil {
			t.Fatal(err)
		}
		var want []archive.Row
		makers := map[string]int{}
		for _, r := range rows {
			if is(r) {
				want = append(want, r)
				makers[r.Maker]++
			}
		}
		slices.SortFunc(want, func(a, b archive.Row) int {
			if c := strings.Compare(archive.SerialKey(b.Serial), archive.SerialKey(a.Serial)); c != 0 {
				return c
			}
			return int(b.Seq - a.Seq)
		})
		for _, page := range [][2]int{{0, 40}, {30, 3000}, {0, 20000}} {
			f, err := x.Find(q, page[0], page[1])
			if err != nil {
				t.Fatalf("%s: %v", line, err)
			}
			part := want[min(page[0], len(want)):min(page[0]+page[1], len(want))]
			if !slices.EqualFunc(f.Rows, part, func(a, b archive.Row) bool { return a.Hash == b.Hash }) || f.More != (page[0]+page[1] < len(want)) {
				t.Errorf("%s from %d: %d rows, want %d (more %v)", line, page[0], len(f.Rows), len(part), f.More)
			}
		}
		counts, err := x.Counts(q, "maker")
		if err != nil || len(counts) != len(makers) {
			t.Errorf("%s: %v, want %v (%v)", line, counts, makers, err)
		}
		for _, c := range counts {
			if makers[c.Value] != c.N {
				t.Errorf("%s: %v, want %v", line, c, makers)
			}
		}
	}
	if list, err := x.Suggest("serial", "l4oo", 10); err != nil || len(list) != 3 {
		t.Errorf("%v (%v)", list, err) // L-40 O0, L-400 O0 and L-4000 O0 are there, L-4001 O1 and the like were removed
	}
	if err := x.Check(); err != nil {
		t.Error(err)
	}
}

func begins(r archive.Row, word string) bool {
	return slices.ContainsFunc(archive.Words(r.Maker+" "+r.Model+" "+r.Class+" "+r.Examiner+" "+r.Shop+" "+r.Words), func(w string) bool { return strings.HasPrefix(w, word) }) ||
		strings.HasPrefix(archive.SerialKey(r.Serial), word)
}

// One who looks sees what another files, at once and never half of it.
func TestSQLiteTwoAtOnce(t *testing.T) {
	path := filepath.Join(t.TempDir(), "index.db")
	x, err := archive.OpenSQLite(path, false)
	if err != nil {
		t.Fatal(err)
	}
	defer x.Close()
	y, err := archive.OpenSQLite(path, true)
	if err != nil {
		t.Fatal(err)
	}
	defer y.Close()
	if err := y.Apply(archivetest.Events(1, 1)); err == nil {
		t.Error("open for reading, and it takes in a report")
	}
	q, err := archive.ParseQuery("sunburst sort:serial")
	if err != nil {
		t.Fatal(err)
	}
	done := make(chan error)
	go func() {
		for from := 1; from <= 400; from += 4 {
			if err := x.Apply(archivetest.Events(from, 4)); err != nil {
				done <- err
				return
			}
		}
		done <- nil
	}()
	for ended := false; !ended; {
		select {
		case err := <-done:
			if err != nil {
				t.Fatal(err)
			}
			ended = true
		default:
		}
		f, err := y.Find(q, 0, 500)
		if err != nil {
			t.Fatal(err)
		}
		if len(f.Rows)%4 != 0 || (ended && len(f.Rows) != 400) {
			t.Fatalf("%d rows", len(f.Rows))
		}
	}
}

// A byte altered anywhere in a segment is told by an error or changes what is
// found, but nothing breaks.
func TestSQLiteDamaged(t *testing.T) {
	path := filepath.Join(t.TempDir(), "index.db")
	x, _ := largeIndex(t, path, 60, func(archive.Row) bool { return false })
	if err := x.Close(); err != nil {
		t.Fatal(err)
	}
	for _, column := range []string{"segment.docs", "segment.dir", "segcolumn.data", "segblock.terms", "segblock.places"} {
		table, name, _ := strings.Cut(column, ".")
		told := 0
		for try := range 40 {
			if damageBlob(t, path, table, name, try) {
				told++
			}
		}
		if told == 0 && name != "places" {
			t.Errorf("%s: no damage was told", column)
		}
	}
}

// damageBlob alters one blob, asks for everything, and mends it.
func damageBlob(t *testing.T, path, table, name string, try int) (told bool) {
	t.Helper()
	db, err := sql.Open("sqlite", path)
	if err != nil {
		t.Fatal(err)
	}
	defer db.Close()
	var id int64
	var blob []byte
	if err := db.QueryRow(fmt.Sprintf(`SELECT id, %s FROM %s ORDER BY id LIMIT 1 OFFSET %d %% (SELECT count(*) FROM %s)`, name, table, try, table)).Scan(&id, &blob); err != nil {
		t.Fatal(err)
	}
	bad := slices.Clone(blob)
	bad[try*7919%len(bad)] ^= byte(1 + try*37)
	put := func(b []byte) {
		if _, err := db.Exec(fmt.Sprintf(`UPDATE %s SET %s = ? WHERE id = ?`, table, name), b, id); err != nil {
			t.Fatal(err)
		}
	}
	put(bad)
	x, err := archive.OpenSQLite(path, true)
	if err != nil {
		t.Fatal(err)
	}
	defer func() { x.Close(); put(blob) }()
	told = x.Check() != nil
	for _, line := range []string{"sunburst", `"case with key"`, "sort:serial year:1950..", "kind:ding part:tuners", "l -1"} {
		q, err := archive.ParseQuery(line)
		if err != nil {
			t.Fatal(err)
		}
		if _, err := x.Find(q, 0, 100); err != nil && !errors.Is(err, archive.ErrIndex) {
			t.Errorf("%s: %v", line, err)
		}
		if _, err := x.Counts(q, "part"); err != nil && !errors.Is(err, archive.ErrIndex) {
			t.Errorf("%s: %v", line, err)
		}
	}
	for _, field := range archive.SuggestFields() {
		if _, err := x.Suggest(field, "l", 5); err != nil && !errors.Is(err, archive.ErrIndex) {
			t.Errorf("%s: %v", field, err)
		}
	}
	return told
}
