package view

import (
	"context"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"wornwood/pdfout/archive"
	"wornwood/pdfout/archive/archivetest"
)

// TestArchiveDue enters policies as typed, and reads what the lists say of them.
func TestArchiveDue(t *testing.T) {
	check := func(err error) {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
	}
	id, err := archivetest.NewKey("R. Calloway")
	check(err)
	in, dir := t.TempDir(), filepath.Join(t.TempDir(), "archive")
	_, err = archivetest.Write(in, id, 2)
	check(err)
	now := time.Date(2026, 11, 14, 16, 0, 0, 0, time.UTC)
	check(archive.Make(dir, "Fen Street", false, now))
	a, err := archive.Open(context.Background(), dir, archive.Options{Now: func() time.Time { return now }})
	check(err)
	t.Cleanup(func() { a.Close() })
	var hashes []string
	_, err = a.File(context.Background(), []string{in}, archive.FileOptions{Done: func(o archive.Outcome) { hashes = append(hashes, o.Hash) }})
	check(err)
	read := func() *ArchiveDue {
		t.Helper()
		m, err := ReadArchiveDue(context.Background(), a, now)
		check(err)
		return m
	}
	if m := read(); m.Second() != "No policy is entered yet." || m.Count()+m.InsuredCount()+m.PolicyCount()+m.CollectionCount() != 0 {
		t.Errorf("of nothing: %q", m.Second())
	}
	if n, err := Collect(a, CollectionEntry{Name: "M. Okafor", What: "Violin", Serial: "7", Since: "2026-11-01", By: "P. Adler"}, hashes...); n != 3 || err != nil {
		t.Fatalf("%d put in (%v)", n, err)
	}
	if _, err := Collect(a, CollectionEntry{Name: "M. Okafor", Serial: "7", By: "P. Adler"}); err == nil {
		t.Error("an instrument that is only a serial number is taken")
	}
	m := read()
	e := PolicyEntry{Number: "W 1", Holder: "M. Okafor", Collection: "M. Okafor", From: "2026-11-01", To: "2027-10-31", Sum: "250000.00 EUR", Months: "two", By: "P. Adler"}
	if err := m.WritePolicy(a, -1, e); err == nil || !strings.Contains(err.Error(), "no number of months") {
		t.Errorf("%v", err)
	}
	e.Months = "2"
	check(m.WritePolicy(a, -1, e))
	if err := m.WritePolicy(a, -1, e); err == nil || !strings.Contains(err.Error(), "is there already") {
		t.Errorf("%v", err)
	}
	m = read()
	if m.Second() != "3 instruments insured under 1 policy on 2026-11-14; 1 overdue" {
		t.Errorf("%q", m.Second())
	}
	if l := m.Line(0); l.What != "No report" || l.Title != "Violin, No. 7" || !l.Overdue || l.Hash != "" || len(l.Details) != 3 {
		t.Errorf("%+v", l)
	}
	counts := map[int]int{}
	for i := range Horizons {
		m.SetHorizon(i)
		counts[i] = m.Count()
	}
	if counts[0] != 1 || counts[1] != 3 || counts[2] != 5 || counts[3] != 6 || counts[4] != 6 {
		t.Errorf("by horizon %v", counts) // 2 countersignatures after 30 days, 2 reports too old after 61, the end after 351
	}
	ics := filepath.Join(t.TempDir(), "due.ics")
	check(m.SaveCalendar(ics))
	if b, err := os.ReadFile(ics); err != nil || strings.Count(string(b), "BEGIN:VEVENT") != 6 {
		t.Errorf("%v: %s", err, b)
	}
	changed := m.Entry(0)
	if changed.Sum != "250000.00 EUR" || changed.Months != "2" {
		t.Errorf("%+v", changed)
	}
	changed.Holder, changed.Months, changed.By, changed.Why = "T. Brandt", "", "P. Adler", "sold"
	check(m.WritePolicy(a, 0, changed))
	check(read().EndPolicy(a, 0, "P. Adler", "2026-12-31", "cancelled"))
	p := read().PolicyRow(0)
	if p.Holder != "T. Brandt" || p.Last != "2026-12-31" || !p.Open || p.Details[1] != "A report may be of any age." || !strings.Contains(strings.Join(p.Details, " "), "holds from 2026-11-14: sold.") {
		t.Errorf("%+v", p)
	}
	check(read().EndCollection(a, 0, "P. Adler", "", "sold"))
	if m := read(); m.InsuredCount() != 0 || m.CollectionRow(0).Instruments != "0" || m.CollectionDetails(0)[0] != "Nothing is in it today." {
		t.Errorf("%d insured, %+v", m.InsuredCount(), m.CollectionRow(0))
	}
}
