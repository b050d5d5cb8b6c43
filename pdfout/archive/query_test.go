package archive_test

import (
	"context"
	"slices"
	"strings"
	"testing"

	"wornwood/pdfout/archive"
	"wornwood/pdfout/archive/archivetest"
)

func TestQueryMistakes(t *testing.T) {
	for line, want := range map[string]string{
		`colour:red`:             "there is no field",
		`kind:"headstock`:        "not closed",
		`kind:`:                  "followed by nothing",
		`maker:&`:                "no word",
		`year:now`:               "no year",
		`index:80..x`:            "no index",
		`index:..`:               "names no value",
		`date:14.11.2026`:        "no date",
		`condition:9`:            "class from 1 to 6",
		`part:tuners=lovely`:     "never \"lovely\"",
		`has:charm`:              "not known",
		`verdict:good`:           "known, trusted or unknown",
		`key:xyz`:                "fingerprint",
		`sort:beauty`:            "cannot be sorted",
		strings.Repeat("a ", 40): "more than 32",
	} {
		if _, err := archive.ParseQuery(line); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%s: %v, want %q", line, err, want)
		}
	}
}

// Everything in the help is a query, and any line at all either parses to one
// that the index answers or gives a sentence.
func FuzzQuery(f *testing.F) {
	for _, s := range []string{`halden "honest wear" -crack`, `part:tuners=replaced year:1970..1979`, `index:80.. sort:-index`, `"`, `-`, `:`, `-:x`, `a"b"c`, `words MATCH "`, `* OR NEAR(`, "\x00", `kind:"`, `serial:--`} {
		f.Add(s)
	}
	x, err := archive.OpenSQLite(f.TempDir()+"/index.db", false)
	if err != nil {
		f.Fatal(err)
	}
	defer x.Close()
	if err := x.Apply(archivetest.Events(1, 3)); err != nil {
		f.Fatal(err)
	}
	f.Fuzz(func(t *testing.T, line string) {
		q, err := archive.ParseQuery(line)
		if err != nil {
			return
		}
		if _, err := x.Find(q, 0, 2); err != nil {
			t.Errorf("%q: %v", line, err)
		}
		if _, err := x.Counts(q, "part"); err != nil {
			t.Errorf("%q: %v", line, err)
		}
	})
}

// The verbs' and the window's way: real reports, found by what is in them.
func TestFindRealReports(t *testing.T) {
	a, _ := newArchive(t)
	file(t, a, folderOf(t, 4))
	for line, want := range map[string]int{
		"":                                4,
		"merrow":                          2,
		"maker:merrow examiner:østergard": 2, // å is found as a
		"year:1960..1964":                 2,
		"year:1974 date:2026-11":          2,
		"date:2027..":                     0,
		"serial:4I0-O2":                   1,
		"41002":                           1,
		"number:CR-2026-0003":             1,
		`purpose:"before listing"`:        4,
		"has:photos has:marks":            4,
		"has:originals":                   0,
		"has:timestamp":                   0,
		"verdict:unknown":                 4,
		`"One of 60"`:                     4,
		`-"One of 60"`:                    0,
	} {
		if got := len(find(t, a, line)); got != want {
			t.Errorf("%s: %d, want %d", line, got, want)
		}
	}
	q, err := archive.ParseQuery("")
	if err != nil {
		t.Fatal(err)
	}
	for _, field := range archive.CountFields() {
		if _, err := a.Counts(q, field); err != nil {
			t.Errorf("%s: %v", field, err)
		}
	}
	n, err := a.Counts(q, "maker")
	if want := []archive.Count{{Value: "Halden & Rowe", N: 2}, {Value: "Merrow & Finch", N: 2}}; err != nil || !slices.Equal(n, want) {
		t.Errorf("%v, want %v (%v)", n, want, err)
	}
}

// The store and the index of one machine pass what any must pass.
func TestConformance(t *testing.T) {
	archivetest.Run(t, func(t *testing.T) archivetest.Backend {
		dir := t.TempDir() + "/archive"
		if err := archive.Make(dir, "Test", false, archivetest.When); err != nil {
			t.Fatal(err)
		}
		s, err := archive.OpenFolder(dir)
		if err != nil {
			t.Fatal(err)
		}
		x, err := archive.OpenSQLite(dir+"/index.db", false)
		if err != nil {
			t.Fatal(err)
		}
		t.Cleanup(func() { x.Close() })
		return archivetest.Backend{Store: s, Index: x, Lock: s.(archive.Locker), Damage: func(r archive.Ref) error { return damage(dir, r) }}
	})
}

// An archive works on any store and index given to it.
func TestOtherBackend(t *testing.T) {
	first, dir := newArchive(t)
	if err := first.Close(); err != nil {
		t.Fatal(err)
	}
	s, err := archive.OpenFolder(dir)
	if err != nil {
		t.Fatal(err)
	}
	x, err := archive.OpenSQLite(t.TempDir()+"/elsewhere.db", false)
	if err != nil {
		t.Fatal(err)
	}
	a, err := archive.Open(context.Background(), t.TempDir(), archive.Options{Store: s, Index: x})
	if err != nil {
		t.Fatal(err)
	}
	defer a.Close()
	if tally, _ := file(t, a, folderOf(t, 2)); tally.Filed != 2 {
		t.Errorf("%+v", tally)
	}
	clean(t, a)
}
