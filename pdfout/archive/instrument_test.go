package archive_test

import (
	"context"
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"wornwood/pdfout/archive"
	"wornwood/pdfout/archive/archivetest"
	"wornwood/pdfout/archive/servicetest"
)

// TestDecisionsAreInTheLog: what people decided is there after the index was made
// anew, for one who only reads, and as lines that name who and why.
func TestDecisionsAreInTheLog(t *testing.T) {
	a, h := filedYears(t)
	for name, err := range map[string]error{
		"without a name":     a.Join(" ", "why", h[0], h[1]),
		"without a reason":   a.Join("R. Calloway", "", h[0], h[1]),
		"one report":         a.Distinct("R. Calloway", "why", h[0]),
		"by itself":          a.Join("R. Calloway", "why", h[0], h[2]),
		"alone":              a.Part("R. Calloway", "why", h[1]),
		"distinct and one":   a.Distinct("R. Calloway", "why", h[0], h[2]),
		"nothing":            a.Join("R. Calloway", "why"),
		"no such report":     a.Join("R. Calloway", "why", h[0], strings.Repeat("0", 64)),
		"no hash":            a.Join("R. Calloway", "why", h[0], "../etc"),
		"too long a reason ": a.Part("R. Calloway", "why", "ffff"),
	} {
		if err == nil {
			t.Errorf("%s: decided all the same", name)
		}
	}
	if n := a.Head().Seq; n != 4 {
		t.Fatalf("the log has %d lines, want the four filings", n)
	}
	if err := a.Join("R. Calloway", "serial number", h[3], h[1]); err != nil {
		t.Fatal(err)
	}
	if err := a.Distinct("R. Calloway", "another headstock", h[3], h[0]); err != nil {
		t.Fatal(err)
	}
	see := func(a *archive.Archive) {
		t.Helper()
		if got := dates(instrument(t, a, h[3])); got != "2020-03-17 2026-06-30" {
			t.Errorf("joined: %s", got)
		}
		al, err := a.Alike(context.Background(), h[1], 5)
		if err != nil || len(al.Proposals) != 0 || al.Apart == 0 {
			t.Errorf("proposed after distinct: %+v (%v)", al, err)
		}
		if d := instrument(t, a, h[1]).Decisions; len(d) != 2 || d[0].Kind != archive.Joined || d[1].Why != "another headstock" {
			t.Errorf("decisions %+v", d)
		}
	}
	see(a)
	if _, err := a.Rebuild(context.Background()); err != nil {
		t.Fatal(err)
	}
	see(a)
	// Parting what the bench says is one takes the named report out for good.
	if err := a.Part("R. Calloway", "two were mixed up on that bench", h[2]); err != nil {
		t.Fatal(err)
	}
	if got := dates(instrument(t, a, h[0])); got != "2018-05-02" {
		t.Errorf("parted: %s", got)
	}
	if err := a.Part("R. Calloway", "again", h[2]); err == nil {
		t.Error("parted from nothing")
	}
	r, err := a.Check(context.Background(), archive.CheckOptions{Share: 1})
	if err != nil || len(r.Findings) != 0 {
		t.Errorf("check: %+v (%v)", r, err)
	}
}

// TestInstrumentsOfAQuery lists each instrument once, page by page.
func TestInstrumentsOfAQuery(t *testing.T) {
	a, h := filedYears(t)
	q, err := archive.ParseQuery("halden sort:date")
	if err != nil {
		t.Fatal(err)
	}
	list, next, err := a.Instruments(q, 0, 10)
	if err != nil || len(list) != 3 || next != 0 {
		t.Fatalf("%d instruments, next %d (%v)", len(list), next, err)
	}
	if !list[0].Has(h[0]) || !list[0].Has(h[2]) || list[1].Has(h[0]) {
		t.Errorf("the first has %s, the second %s", dates(list[0]), dates(list[1]))
	}
	first, next, err := a.Instruments(q, 0, 1)
	if err != nil || len(first) != 1 || next != 1 {
		t.Fatalf("first page: %d, next %d (%v)", len(first), next, err)
	}
	second, _, err := a.Instruments(q, next, 1)
	if err != nil || len(second) != 1 || !second[0].Has(h[1]) {
		t.Errorf("second page: %v (%v)", second, err)
	}
	rows := find(t, a, "halden sort:date")
	groups, err := a.Together(rows)
	if err != nil || len(groups) != 3 || len(groups[0]) != 2 || groups[0][1].Hash != h[2] {
		t.Errorf("together: %v (%v)", groups, err)
	}
}

// TestHistoryOfDamage: a record that cannot be read is named, and the rest told.
func TestHistoryOfDamage(t *testing.T) {
	a, h, dir := filedYearsIn(t)
	if err := a.Join("R. Calloway", "serial number", h[3], h[1], h[0]); err != nil {
		t.Fatal(err)
	}
	p := path(dir, archive.Ref{Area: archive.Verdicts, Hash: h[1]})
	if err := os.Chmod(p, 0o644); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(p, []byte(`{"ok":`), 0o644); err != nil {
		t.Fatal(err)
	}
	hist, err := a.History(instrument(t, a, h[0]))
	if err != nil {
		t.Fatal(err)
	}
	if len(hist.Looks) != 4 || !strings.Contains(hist.Looks[1].Trouble, "cannot be read") || hist.Looks[2].Trouble != "" {
		t.Fatalf("looks %+v", hist.Looks)
	}
	found := false
	for _, c := range hist.Looks[2].Changes {
		found = found || strings.HasPrefix(c.Text, "Grown: ding")
	}
	if !found {
		t.Errorf("not told across the damaged one: %+v", hist.Looks[2].Changes)
	}
	if _, err := a.Alike(context.Background(), h[1], 5); err == nil {
		t.Error("alike to a record that cannot be read")
	}
	if _, err := a.Photos(context.Background(), h[0], make([]string, 1000), 300); err == nil {
		t.Error("a thousand photos at once")
	}
	if _, err := a.Instrument("0123456789abcdef"); !errors.Is(err, archive.ErrMissing) {
		t.Errorf("no such report: %v", err)
	}
}

// TestInstrumentsOnPostgres: instruments, proposals and histories rest on the
// index's interface only, so that a shared one tells the same.
func TestInstrumentsOnPostgres(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "archive")
	if err := archive.Make(dir, "Fen Street", false, archivetest.When); err != nil {
		t.Fatal(err)
	}
	settings, err := os.ReadFile(filepath.Join(dir, "archive.json"))
	if err != nil {
		t.Fatal(err)
	}
	store, err := archive.OpenFolder(dir)
	if err != nil {
		t.Fatal(err)
	}
	a, err := archive.Open(context.Background(), dir, archive.Options{Store: store, Index: openPostgres(t, servicetest.Postgres(t), hash(settings))})
	if err != nil {
		t.Fatal(err)
	}
	defer a.Close()
	h := fileYears(t, a)
	if got := dates(instrument(t, a, h[0])); got != "2018-05-02 2022-09-08" {
		t.Errorf("by itself: %s", got)
	}
	al, err := a.Alike(context.Background(), h[3], 10)
	if err != nil || len(al.Proposals) != 2 || al.Proposals[1].Strength != archive.Strong {
		t.Fatalf("proposed: %+v (%v)", al, err)
	}
	if err := a.Join("R. Calloway", "serial number", h[3], h[1], h[0]); err != nil {
		t.Fatal(err)
	}
	hist, err := a.History(instrument(t, a, h[1]))
	if err != nil || len(hist.Looks) != 4 || len(hist.Marks) != len(wantMarks) {
		t.Errorf("history %+v (%v)", hist, err)
	}
}
