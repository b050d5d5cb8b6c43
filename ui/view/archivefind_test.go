package view

import (
	"context"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"wornwood/pdfout/archive"
	"wornwood/pdfout/archive/archivetest"
)

// rowsArchive is an archive opened to look, with so many invented rows in its
// index.
func rowsArchive(t *testing.T, n int) *archive.Archive {
	t.Helper()
	dir := filepath.Join(t.TempDir(), "archive")
	if err := archive.Make(dir, "Fen Street", false, archivetest.When); err != nil {
		t.Fatal(err)
	}
	store, err := archive.OpenFolder(dir)
	if err != nil {
		t.Fatal(err)
	}
	index, err := archive.OpenSQLite(filepath.Join(t.TempDir(), "index.db"), false)
	if err != nil {
		t.Fatal(err)
	}
	if n > 0 {
		events, at := archivetest.Events(1, n)
		if err := index.Apply(events, at); err != nil {
			t.Fatal(err)
		}
	}
	a, err := archive.Open(context.Background(), dir, archive.Options{Now: func() time.Time { return archivetest.When }, ReadOnly: true, Store: store, Index: index})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { a.Close() })
	return a
}

// answered asks a line and takes everything in.
func answered(t *testing.T, m *ArchiveFind, line string) {
	t.Helper()
	k, ok := m.Ask(line)
	if !ok {
		t.Fatalf("%q: %s", line, m.Trouble())
	}
	if !m.Take(k.Answer()) {
		t.Fatalf("the answer to %q is not taken", line)
	}
	for _, f := range CountFields() {
		if !m.TakeCounted(k.Counted(f)) {
			t.Fatalf("the counts of %s are not taken", f)
		}
	}
	if m.Trouble() != "" {
		t.Fatalf("%q: %s", line, m.Trouble())
	}
}

// TestArchiveFindPages goes through a long list, of which only pages are held.
func TestArchiveFindPages(t *testing.T) {
	const n = 7300 // more than the pages that are held
	m := NewArchiveFind(rowsArchive(t, n))
	k, _ := m.Ask("")
	if !m.Take(k.Answer()) || m.Hits() != "more than 100 reports" || m.Count() != 101 {
		t.Fatalf("after the first page %q, %d rows", m.Hits(), m.Count())
	}
	answered(t, m, "")
	if m.Count() != n || m.Hits() != "7 300 reports" {
		t.Fatalf("%d rows, %q", m.Count(), m.Hits())
	}
	seen := map[string]bool{}
	for i := range n {
		r, ok := m.Row(i)
		if !ok {
			k, ok := m.Want(i)
			if !ok {
				t.Fatalf("row %d is not asked for", i)
			}
			if _, again := m.Want(i); again {
				t.Fatal("a page is asked for twice")
			}
			if !m.Take(k.Answer()) {
				t.Fatal("a page is not taken")
			}
			r, ok = m.Row(i)
			if !ok {
				t.Fatalf("row %d is not there after its page", i)
			}
		}
		seen[r.Hash] = true
	}
	if len(seen) != n || len(m.pages) != archivePages || m.Count() != n {
		t.Errorf("%d different rows of %d, %d pages held", len(seen), m.Count(), len(m.pages))
	}
	if _, ok := m.Row(0); ok {
		t.Error("the first page is still held")
	}
	if _, ok := m.Want(n); ok {
		t.Error("a row behind the end is asked for")
	}
}

// TestArchiveFindStale: an answer to a line that is not asked any more is dropped,
// as are its counts and pages.
func TestArchiveFindStale(t *testing.T) {
	m := NewArchiveFind(rowsArchive(t, 500))
	old, _ := m.Ask("maker:halden")
	answer, counted := old.Answer(), old.Counted("maker")
	now, _ := m.Ask("maker:merrow")
	if m.Take(answer) || m.TakeCounted(counted) || m.Count() != 0 {
		t.Fatal("a stale answer is shown")
	}
	if m.TakeCounted(now.Counted("verdict")) {
		t.Error("counts are taken before the rows")
	}
	if !m.Take(now.Answer()) || m.TakeCounted(counted) || m.Count() != 100 {
		t.Errorf("%d rows", m.Count())
	}
	r, _ := m.Row(0)
	if !strings.HasPrefix(r.Title, "Merrow & Finch") {
		t.Errorf("the first row is %q", r.Title)
	}
	// What cannot be understood leaves the list as it is, and says why.
	if _, ok := m.Ask("colour:red"); ok || !strings.HasPrefix(m.Trouble(), `There is no field "colour"`) || m.Count() != 100 {
		t.Errorf("trouble %q, %d rows", m.Trouble(), m.Count())
	}
}

// TestArchiveHalfTyped: what is only half typed at the end is no mistake yet.
func TestArchiveHalfTyped(t *testing.T) {
	for line, want := range map[string]string{
		"crack maker:": "crack ", "crack maker:h": "crack maker:h", `kind:"headstock br`: `kind:"headstock br"`, `crack "`: "crack ", "crack maker: ": "crack maker: ", "": "", `maker:"`: "",
	} {
		if got := halfTyped(line); got != want {
			t.Errorf("%q asks %q, want %q", line, got, want)
		}
	}
}

// TestArchiveCounts narrows by values that are clicked: the line says so, the list
// has as many as was counted, and a second click takes it back.
func TestArchiveCounts(t *testing.T) {
	m := NewArchiveFind(rowsArchive(t, 900))
	answered(t, m, "larkfoot ")
	facets := m.Facets()
	if len(facets) < 7 || facets[0].Title != "Signer's key" || len(facets[0].Values) != 3 {
		t.Fatalf("%+v", facets)
	}
	for _, f := range facets {
		for _, v := range f.Values {
			line := m.Toggle(v.Field, v.Value)
			answered(t, m, line)
			if Grouped(m.Count()) != v.N {
				t.Errorf("%q finds %d, counted %s", line, m.Count(), v.N)
			}
			on := slices.ContainsFunc(m.Facets(), func(g ArchiveFacet) bool {
				return slices.ContainsFunc(g.Values, func(w ArchiveValue) bool { return w.On && w.Field == v.Field && w.Value == v.Value })
			})
			if !on {
				t.Errorf("%s is not shown as asked for", v.Text)
			}
			if back := m.Toggle(v.Field, v.Value); back != "larkfoot " {
				t.Errorf("taken back, the line is %q", back)
			}
			answered(t, m, "larkfoot ")
		}
	}
}

// TestArchiveSort turns orders by columns; there is one word for it in the line at
// most.
func TestArchiveSort(t *testing.T) {
	m := NewArchiveFind(rowsArchive(t, 50))
	line := "larkfoot"
	for _, s := range []struct {
		column int
		want   string
	}{{5, "larkfoot sort:filed "}, {5, "larkfoot "}, {2, "larkfoot sort:-index "}, {2, "larkfoot sort:index "}, {1, "larkfoot sort:serial "}, {1, "larkfoot sort:-serial "}, {4, "larkfoot sort:-serial "}, {0, "larkfoot sort:maker "}, {5, "larkfoot "}} {
		answered(t, m, line)
		if line = m.SortBy(s.column); line != s.want {
			t.Errorf("column %d makes %q, want %q", s.column, line, s.want)
		}
	}
	answered(t, m, "sort:-index")
	last := 200.0
	for i := range m.Count() {
		r, _ := m.Row(i)
		v := parse(t, r.Index)
		if v > last {
			t.Fatalf("row %d has %v after %v", i, v, last)
		}
		last = v
	}
	if c, down := m.Sorted(); c != 2 || !down {
		t.Errorf("sorted by %d, down %v", c, down)
	}
}

// TestArchiveTyping suggests fields, their words and values out of the archive,
// and gives the line with them and the place to go on.
func TestArchiveTyping(t *testing.T) {
	a := rowsArchive(t, 300)
	for _, c := range []struct {
		line  string
		caret int
		want  []string // text > line, | for the caret
	}{
		{"ma", 2, []string{"maker: > maker:|"}},
		{"-ma", 3, []string{"-maker: > -maker:|"}},
		{"crack ma rest", 8, []string{"maker: > crack maker:| rest"}},
		{"maker:hal", 9, []string{`maker:"Halden & Rowe" > maker:"Halden & Rowe" |`}},
		{"maker:hal year:1974", 9, []string{`maker:"Halden & Rowe" > maker:"Halden & Rowe" |year:1974`}},
		{"verdict:t", 9, []string{"verdict:trusted > verdict:trusted |"}},
		{"has:p", 5, []string{"has:photos > has:photos |"}},
		{"sort:-i", 7, []string{"sort:-index > sort:-index |"}},
		{`kind:"headst`, 12, []string{`kind:"headstock break" > kind:"headstock break" |`}},
		{`"two wor`, 8, nil},
		{"", 0, nil},
	} {
		typed, ok := Typing(c.line, c.caret)
		var got []string
		if ok {
			for _, s := range Suggested(typed.Fields(), typed.Values(a)) {
				letters := []rune(s.Line)
				got = append(got, s.Text+" > "+string(letters[:s.At])+"|"+string(letters[s.At:]))
			}
		}
		if !slices.Equal(got, c.want) {
			t.Errorf("%q: %q, want %q", c.line, got, c.want)
		}
	}
	// A bare word finds values of several fields.
	typed, _ := Typing("hea", 3)
	if list := typed.Values(a); len(list) != 1 || list[0].Text != `kind:"headstock break"` {
		t.Errorf("%+v", list)
	}
}

// TestArchiveTypedParses: whatever is suggested while something is typed can be
// understood, field names aside, which wait for a value.
func TestArchiveTypedParses(t *testing.T) {
	a := rowsArchive(t, 100)
	rapid.Check(t, func(t *rapid.T) {
		line := rapid.StringMatching(`([a-c]{0,3} ){0,2}-?(maker|kind|part|shop|sort|has|verdict|condition|serial)?:?"?[A-Za-z0-9 ]{0,4}`).Draw(t, "line")
		caret := rapid.IntRange(0, len([]rune(line))).Draw(t, "caret")
		typed, ok := Typing(line, caret)
		if !ok {
			return
		}
		for _, s := range append(typed.Fields(), typed.Values(a)...) {
			if s.At < 0 || s.At > len([]rune(s.Line)) {
				t.Fatalf("%q goes on at %d", s.Line, s.At)
			}
			if strings.HasSuffix(s.Text, ":") {
				continue
			}
			if _, err := archive.ParseQuery(s.Text); err != nil {
				t.Fatalf("%q suggests %q: %v", line, s.Text, err)
			}
		}
	})
}

// TestArchiveQueryHelp has every field in it.
func TestArchiveQueryHelp(t *testing.T) {
	text := ""
	for _, h := range ArchiveQueryHelp() {
		if h[0] == "" || h[1] == "" {
			t.Errorf("a line is half empty: %q", h)
		}
		text += h[0] + " " + h[1] + "\n"
	}
	for _, f := range archive.QueryFields() {
		if !strings.Contains(text, f+":") {
			t.Errorf("%s: is not explained", f)
		}
		if fieldNotes[f] == "" {
			t.Errorf("%s: is suggested without a word on what it is", f)
		}
	}
}
