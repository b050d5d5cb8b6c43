package archive_test

import (
	"bytes"
	"context"
	"encoding/csv"
	"encoding/json"
	"os"
	"os/exec"
	"slices"
	"strings"
	"testing"
	"time"

	"wornwood/capture/record"
	"wornwood/pdfout/archive"
	"wornwood/pdfout/archive/archivetest"
	"wornwood/pdfout/sign"
)

// dues are what is due on a day: "kind day policies serial", an overdue one
// with "!" before it.
func dues(t *testing.T, a *archive.Archive, day string) []string {
	t.Helper()
	list, err := a.Due(context.Background(), at(day))
	must(t, err)
	var out []string
	for _, d := range list {
		late := ""
		if d.Overdue {
			late = "!"
		}
		out = append(out, late+strings.Join([]string{string(d.What), d.On, strings.Join(d.Policies, "+"), d.Serial}, " "))
	}
	return out
}

// insuredArchive has two policies: of one the report is old, of the other an
// instrument is only described, and the report names dates of its own.
func insuredArchive(t *testing.T) (a *archive.Archive, hashes []string) {
	t.Helper()
	a, _ = newArchive(t)
	h := put(t, a, looked(t, 0, "2025-01-31", nil), looked(t, 1, "2026-02-10", func(r *record.Record) {
		r.Examination.NextDue = "2026-08-15"
		r.Components = append(r.Components, record.Component{ID: "b1", Kind: record.BatteryComponent, Place: "preamplifier", Battery: &record.Battery{Type: "9 V block", Number: 1, Fitted: "2026-01-10", Every: 12}})
	}))
	items := itemsOf(t, a, h...)
	none, err := archive.Describe("Violin labelled Anselm Tarry, 1921", "")
	must(t, err)
	if _, err := a.Collect("P. Adler", "Fen Street", "2025-02-01", items[0], none); err != nil {
		t.Fatal(err)
	}
	must(t, a.Insure("P. Adler", archive.Policy{Number: "W 100", Holder: "M. Okafor", Collection: "Fen Street", From: "2025-02-01", To: "2027-01-31", ReportMonths: 13}))
	must(t, a.Insure("P. Adler", archive.Policy{Number: "W 200", Holder: "=T. Brandt", Items: items[1:], From: "2026-01-01", To: "2026-12-31"}))
	return a, h
}

func TestDue(t *testing.T) {
	a, _ := insuredArchive(t)
	// 13 months after 31 January 2025 is the last of February 2026.
	same(t, "in time", dues(t, a, "2026-02-20"),
		"!no report 2025-02-01 W 100 ", "report too old 2026-02-28 W 100 41000", "date in the report 2026-08-15 W 200 41001",
		"policy ends 2026-12-31 W 200 ", "date in the report 2027-01-10 W 200 41001", "policy ends 2027-01-31 W 100 ")
	same(t, "late", dues(t, a, "2026-09-01")[:3], "!no report 2025-02-01 W 100 ", "!report too old 2026-02-28 W 100 41000", "!date in the report 2026-08-15 W 200 41001")
	// Run out and not continued: for two months, then it is past.
	same(t, "ran out", dues(t, a, "2027-02-01"), "!policy ends 2026-12-31 W 200 ", "!policy ends 2027-01-31 W 100 ")
	same(t, "long ago", dues(t, a, "2027-06-01"))

	// A new examination answers the first; a countersigned copy altered on the
	// way back is refused, and shown until a good one comes.
	newer := looked(t, 0, "2026-09-02", nil)
	put(t, a, newer)
	altered := append(slices.Clone(newer), "\n% more"...)
	dir := t.TempDir()
	write(t, dir+"/back.pdf", altered)
	if tally, _ := file(t, a, dir); tally.Refused != 1 {
		t.Fatalf("%+v", tally)
	}
	list, err := a.Due(context.Background(), at("2026-09-03"))
	must(t, err)
	i := slices.IndexFunc(list, func(d archive.Due) bool { return d.What == archive.DueRefused })
	if i < 0 || !list[i].Overdue || list[i].Report != hash(newer) || list[i].Serial != "41000" || !strings.Contains(list[i].Text, "back.pdf, was refused: ") {
		t.Errorf("refused: %+v", list)
	}
	if slices.ContainsFunc(list, func(d archive.Due) bool { return d.What == archive.DueReport && d.Overdue }) {
		t.Error("the new examination does not count")
	}
	put(t, a, looked(t, 0, "2026-09-05", nil))
	if list := dues(t, a, "2026-09-06"); slices.ContainsFunc(list, func(s string) bool { return strings.Contains(s, "refused") }) {
		t.Errorf("a good one came since: %q", list)
	}
	if got := archive.Within(list, at("2026-09-03"), 0); slices.ContainsFunc(got, func(d archive.Due) bool { return d.On > "2026-09-03" }) || len(got) < 2 {
		t.Errorf("within: %+v", got)
	}
}

// heard is what annotate/due/testdata/read.py found in a calendar with two
// independent parsers: Debian's python3-icalendar and python3-vobject.
type heard struct {
	Name   string
	Events []struct {
		UID, On, Summary, Description string
		AllDay                        bool
	}
}

func calendar(t *testing.T, a *archive.Archive, list []archive.Due) heard {
	t.Helper()
	var b bytes.Buffer
	must(t, a.WriteCalendar(&b, list, time.Date(2026, 9, 1, 12, 0, 0, 0, time.UTC)))
	script, err := os.ReadFile("../../annotate/due/testdata/read.py")
	must(t, err)
	cmd := exec.Command("/usr/bin/python3", "-c", string(script)) // Debian's packages belong to the system's own Python
	cmd.Stdin = bytes.NewReader(b.Bytes())
	var errs bytes.Buffer
	cmd.Stderr = &errs
	out, err := cmd.Output()
	if err != nil {
		t.Fatalf("python3-icalendar, python3-vobject: %v\n%s\n%s", err, errs.String(), b.String())
	}
	var h heard
	must(t, json.Unmarshal(out, &h))
	return h
}

// Two parsers read from the calendar what is due, and the events keep their
// identities when days and words change.
func TestDueCalendar(t *testing.T) {
	a, _ := insuredArchive(t)
	uids := func(day string) map[string]string {
		list, err := a.Due(context.Background(), at(day))
		must(t, err)
		h := calendar(t, a, list)
		if h.Name != "Due at Test" || len(h.Events) != len(list) {
			t.Fatalf("%+v of %d", h, len(list))
		}
		out := map[string]string{}
		for i, e := range h.Events {
			d := list[i]
			if e.On != d.On || !e.AllDay || !strings.Contains(e.Summary, d.Title) || !strings.Contains(e.Description, d.Holder) {
				t.Errorf("%+v of %+v", e, d)
			}
			if out[e.UID] != "" {
				t.Errorf("%s is the identity of two", e.UID)
			}
			out[e.UID] = string(d.What) + d.Serial + d.Title
		}
		return out
	}
	before := uids("2026-02-20")
	put(t, a, looked(t, 0, "2026-08-02", nil))
	p, err := a.PolicyOf("W 200", at("2026-02-20"))
	must(t, err)
	p.To, p.On = "2027-12-31", ""
	must(t, a.Insure("P. Adler", p.Policy))
	after := uids("2026-12-01")
	if len(before) != 6 || len(after) != 6 {
		t.Fatalf("%d and %d events", len(before), len(after))
	}
	for id, what := range before {
		if after[id] != what {
			t.Errorf("%s was %s, is %q", id, what, after[id])
		}
	}
	// The same policy of another archive, made under another name, is another event.
	dir := t.TempDir() + "/other"
	must(t, archive.Make(dir, "Other", false, archivetest.When))
	b := reopen(t, dir, archive.Options{})
	if _, err := b.Collect("P. Adler", "x", "2025-01-01"); err != nil {
		t.Fatal(err)
	}
	must(t, b.Insure("P. Adler", archive.Policy{Number: "W 200", Holder: "T. Brandt", Collection: "x", From: "2026-01-01", To: "2026-12-31"}))
	list, err := b.Due(context.Background(), at("2026-02-20"))
	must(t, err)
	if h := calendar(t, b, list); len(h.Events) != 1 || before[h.Events[0].UID] != "" || h.Name != "Due at Other" {
		t.Errorf("%+v", h)
	}
}

// The CSV of what is due is read by a parser of its own kind and holds nothing
// that a spreadsheet would compute.
func TestDueCSV(t *testing.T) {
	a, _ := insuredArchive(t)
	list, err := a.Due(context.Background(), at("2026-02-20"))
	must(t, err)
	var b bytes.Buffer
	must(t, archive.WriteDueCSV(&b, list))
	rows, err := csv.NewReader(&b).ReadAll()
	must(t, err)
	if len(rows) != len(list)+1 || rows[0][0] != "what" {
		t.Fatalf("%q", rows)
	}
	for i, d := range list {
		holder := d.Holder
		if strings.HasPrefix(holder, "=") {
			holder = "'" + holder
		}
		if r := rows[i+1]; r[0] != string(d.What) || r[1] != d.On || r[4] != holder || r[9] != d.Text {
			t.Errorf("%q of %+v", r, d)
		}
	}
}

// A claim takes the last examination before the day and everything since, with
// all versions; it says whether the policy insured the instrument.
func TestClaimOf(t *testing.T) {
	a, _ := newArchive(t)
	h := put(t, a, looked(t, 0, "2025-03-01", nil), looked(t, 0, "2026-03-01", nil), looked(t, 0, "2026-06-10", nil), looked(t, 0, "2026-07-01", nil), looked(t, 1, "2026-01-01", nil))
	must(t, a.Insure("P. Adler", archive.Policy{Number: "W 1", Holder: "M. Okafor", Items: itemsOf(t, a, h[0]), From: "2026-01-01", To: "2026-12-31"}))
	for _, x := range []struct {
		hash, date string
		insured    bool
		why        string
		before     string
		hashes     []string
	}{
		{h[0], "2026-06-10", true, "", h[1], []string{h[1], h[2], h[3]}}, // the day itself is since
		{h[3][:12], "2026-06-11", true, "", h[2], []string{h[2], h[3]}},
		{h[2], "2025-03-01", false, "begins 2026-01-01", "", h[:4]},
		{h[2], "2027-03-01", false, "ended with 2026-12-31", h[3], h[3:4]},
		{h[4], "2026-06-10", false, "did not name the instrument", h[4], h[4:]},
	} {
		c, err := a.ClaimOf("w 1", x.hash, x.date)
		if err != nil {
			t.Fatal(err)
		}
		before := ""
		if c.Before != nil {
			before = c.Before.Hash
		}
		if c.Insured != x.insured || !strings.Contains(c.Why, x.why) || before != x.before || !slices.Equal(c.Hashes, x.hashes) {
			t.Errorf("%s on %s: %+v", x.hash[:8], x.date, c)
		}
	}
	for want, args := range map[string][3]string{"there is no policy": {"W 2", h[0], "2026-01-01"}, "is no day": {"W 1", h[0], "yesterday"}, "on which day": {"W 1", h[0], ""}, "not in the archive": {"W 1", strings.Repeat("0", 64), "2026-01-01"}} {
		if _, err := a.ClaimOf(args[0], args[1], args[2]); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%v, want %q", err, want)
		}
	}
}

// An instrument whose only report was removed stays insured, without a report;
// one with another report of the same instrument keeps that.
func TestDueOfRemovedReports(t *testing.T) {
	a, _ := newArchive(t)
	h := put(t, a, looked(t, 0, "2025-03-01", nil), looked(t, 1, "2025-04-01", nil), looked(t, 1, "2026-04-01", nil))
	must(t, a.Insure("P. Adler", archive.Policy{Number: "W 1", Holder: "M. Okafor", Items: itemsOf(t, a, h[0], h[2]), From: "2026-01-01", To: "2026-12-31", ReportMonths: 6}))
	keeper, err := archivetest.NewKey("P. Adler")
	must(t, err)
	for _, gone := range []string{h[0], h[2]} {
		if _, err := a.Remove(archive.Removal{Report: gone, Rule: "asked for by the owner", Reason: "asked for", Signers: []*sign.Identity{keeper}}); err != nil {
			t.Fatal(err)
		}
	}
	same(t, "insured", insuredOn(t, a, "2026-06-01"), "W 1  none", "W 1 41001 2025-04-01")
	same(t, "due", dues(t, a, "2026-06-01"), "!report too old 2025-10-01 W 1 41001", "!no report 2026-01-01 W 1 ", "policy ends 2026-12-31 W 1 ")
	list, err := a.Due(context.Background(), at("2026-06-01"))
	must(t, err)
	if list[1].Title != "Instrument of the report "+h[0][:12] {
		t.Errorf("%+v", list[1])
	}
}
