package archive_test

import (
	"bytes"
	"context"
	"fmt"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"wornwood/capture/record"
	"wornwood/icons"
	"wornwood/pdfout"
	"wornwood/pdfout/archive"
	"wornwood/pdfout/archive/archivetest"
	"wornwood/pdfout/reporttest"
	"wornwood/pdfout/sign"
)

// signed is a report of the demo's instrument after an edit of its record.
func signed(t *testing.T, edit func(*record.Record)) []byte {
	t.Helper()
	rec := reporttest.Demo(1)
	edit(rec)
	var drawn, out bytes.Buffer
	ctx := context.Background()
	_, err := pdfout.Build(ctx, pdfout.Input{Record: rec, Photos: &reporttest.Photos{Small: true}, Created: archivetest.When, Signer: pdfout.SignerOf(dealer())}, &drawn, nil)
	if err == nil {
		err = sign.Sign(ctx, bytes.NewReader(drawn.Bytes()), int64(drawn.Len()), &out, dealer(), sign.SignOptions{
			Field: sign.FieldExaminer, Now: archivetest.When, Reason: "Report issued", Appearance: []string{"Signed in a test"}, Font: icons.Font("sans")})
	}
	if err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}

// instrumentID is one as a bench gives it.
func instrumentID(n int) string { return strings.Repeat("a", 25) + string(rune('a'+n)) }

// looked is a report of instrument n, examined on a day.
func looked(t *testing.T, n int, day string, edit func(*record.Record)) []byte {
	t.Helper()
	return signed(t, func(r *record.Record) {
		at, err := time.Parse(time.DateOnly, day)
		if err != nil {
			t.Fatal(err)
		}
		r.Examination.Date, r.Examination.Instrument = at, instrumentID(n)
		r.Examination.Number = fmt.Sprintf("CR-%s-%d", day[:4], n)
		r.Instrument.Serial = fmt.Sprint(41000 + n)
		r.Examination.Purpose = record.Periodic
		if edit != nil {
			edit(r)
		}
	})
}

// put files reports and gives their hashes.
func put(t *testing.T, a *archive.Archive, reports ...[]byte) []string {
	t.Helper()
	dir := t.TempDir()
	var out []string
	for i, b := range reports {
		write(t, filepath.Join(dir, fmt.Sprintf("r%03d.pdf", i)), b)
		out = append(out, hash(b))
	}
	if tally, _ := file(t, a, dir); tally.Filed != len(reports) {
		t.Fatalf("%+v of %d", tally, len(reports))
	}
	return out
}

func at(day string) time.Time {
	t, err := time.Parse(time.DateOnly, day)
	if err != nil {
		panic(err)
	}
	return t
}

func itemsOf(t *testing.T, a *archive.Archive, hashes ...string) []archive.Item {
	t.Helper()
	var out []archive.Item
	for _, h := range hashes {
		i, err := a.ItemOf(h)
		if err != nil {
			t.Fatal(err)
		}
		out = append(out, i)
	}
	return out
}

func must(t *testing.T, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}

// insuredTitles is "POLICY serial latest-date" of everything insured on a day.
func insuredOn(t *testing.T, a *archive.Archive, day string) []string {
	t.Helper()
	list, err := a.Insured(context.Background(), at(day))
	must(t, err)
	var out []string
	for _, i := range list {
		date := "none"
		if i.Latest != nil {
			date = i.Latest.Date
		}
		out = append(out, strings.Join([]string{i.Policy, i.Serial, date}, " "))
	}
	return out
}

func same(t *testing.T, what string, got []string, want ...string) {
	t.Helper()
	if !slices.Equal(got, want) {
		t.Errorf("%s: %q, want %q", what, got, want)
	}
}

// Three instruments, the first examined twice: into a collection, insured,
// changed in the middle, taken out, ended; each day keeps what held on it.
func TestPoliciesByDay(t *testing.T) {
	a, dir := newArchive(t)
	h := put(t, a, looked(t, 0, "2025-03-01", nil), looked(t, 0, "2026-03-01", nil), looked(t, 1, "2025-05-01", nil), looked(t, 2, "2025-06-01", nil))
	items := itemsOf(t, a, h...)
	described, err := archive.Describe("violin labelled Anselm Tarry, 1921", "")
	must(t, err)

	// Both reports of the first instrument count once.
	n, err := a.Collect("P. Adler", "Fen Street", "2025-01-01", append(items[:3:3], described)...)
	if err != nil || n != 3 {
		t.Fatalf("%d put in (%v)", n, err)
	}
	if n, err := a.Collect("P. Adler", "fen  street", "2025-01-01", items[1]); err != nil || n != 0 {
		t.Errorf("again: %d (%v)", n, err)
	}
	p := archive.Policy{Number: "W 100", Holder: "M. Okafor", Collection: "fen street", From: "2025-01-01", To: "2026-12-31", Sum: "250000.00", Currency: "eur", ReportMonths: 12}
	must(t, a.Insure("P. Adler", p))
	same(t, "2025-07-01", insuredOn(t, a, "2025-07-01"), "W 100 41000 2025-03-01", "W 100 41001 2025-05-01", "W 100  none")
	same(t, "the day before", insuredOn(t, a, "2024-12-31"))
	same(t, "the last day", insuredOn(t, a, "2026-12-31"), "W 100 41000 2026-03-01", "W 100 41001 2025-05-01", "W 100  none")
	same(t, "the day after", insuredOn(t, a, "2027-01-01"))

	// One out, one in; the sum changed; each from a day on.
	if n, err := a.TakeOut("P. Adler", "Fen Street", "2026-02-01", "sold", items[2]); err != nil || n != 1 {
		t.Errorf("out: %d (%v)", n, err)
	}
	if n, err := a.Collect("P. Adler", "Fen Street", "2026-02-01", items[3]); err != nil || n != 1 {
		t.Errorf("in: %d (%v)", n, err)
	}
	p.Sum, p.On, p.Number = "300000", "2026-02-01", "w 100"
	must(t, a.Insure("P. Adler", p))
	same(t, "before", insuredOn(t, a, "2026-01-31"), "W 100 41000 2025-03-01", "W 100 41001 2025-05-01", "W 100  none")
	same(t, "after", insuredOn(t, a, "2026-02-01"), "W 100 41000 2025-03-01", "W 100  none", "W 100 41002 2025-06-01")
	for day, sum := range map[string]string{"2026-01-31": "250000.00", "2026-02-01": "300000", "2020-01-01": "250000.00"} {
		q, err := a.PolicyOf("W 100", at(day))
		if err != nil || q.Sum != sum || q.Currency != "EUR" || q.Number != "W 100" || len(q.Lines) != 2 {
			t.Errorf("%s: %+v (%v)", day, q, err)
		}
	}

	// A second policy over one of them; a join makes two of them one.
	must(t, a.Insure("P. Adler", archive.Policy{Number: "W 200", Holder: "T. Brandt", Items: items[3:4], From: "2026-01-01", To: "2026-12-31"}))
	list, err := a.Insured(context.Background(), at("2026-05-01"))
	if err != nil || len(list) != 4 || !slices.Equal(list[2].Others, []string{"W 200"}) || !slices.Equal(list[3].Others, []string{"W 100"}) || len(list[0].Others) > 0 {
		t.Errorf("twice insured: %+v (%v)", list, err)
	}
	must(t, a.Join("P. Adler", "the same neck", h[0], h[3]))
	same(t, "joined", insuredOn(t, a, "2026-05-01"), "W 100 41000 2026-03-01", "W 100  none", "W 200 41000 2026-03-01")

	must(t, a.EndPolicy("P. Adler", "w 100", "2026-06-30", "cancelled"))
	same(t, "ended", insuredOn(t, a, "2026-07-01"), "W 200 41000 2026-03-01")
	same(t, "the day of the end", insuredOn(t, a, "2026-06-30"), "W 100 41000 2026-03-01", "W 100  none", "W 200 41000 2026-03-01")
	if q, err := a.PolicyOf("W 100", at("2026-07-01")); err != nil || q.State != archive.Ended {
		t.Errorf("%+v (%v)", q, err)
	}

	// The log alone carries it: a new index says the same.
	clean(t, a)
	before := insuredOn(t, a, "2026-05-01")
	if _, err := a.Rebuild(context.Background()); err != nil {
		t.Fatal(err)
	}
	must(t, a.Close())
	same(t, "after a rebuild", insuredOn(t, reopen(t, dir, archive.Options{ReadOnly: true}), "2026-05-01"), before...)
}

// What cannot be a policy or collection is said in a sentence and not written.
func TestPoliciesRefused(t *testing.T) {
	a, _ := newArchive(t)
	h := put(t, a, looked(t, 0, "2025-03-01", nil))
	items := itemsOf(t, a, h...)
	good := archive.Policy{Number: "W 1", Holder: "M. Okafor", Items: items, From: "2026-01-01", To: "2026-12-31", Sum: "1000", Currency: "EUR"}
	head := a.Head()
	for want, edit := range map[string]func(*archive.Policy){
		"needs its number":           func(p *archive.Policy) { p.Number = " " },
		"name the holder":            func(p *archive.Policy) { p.Holder = "" },
		"from which day":             func(p *archive.Policy) { p.To = "" },
		"before it begins":           func(p *archive.Policy) { p.To = "2025-12-31" },
		"is no day":                  func(p *archive.Policy) { p.From = "1.1.2026" },
		"name the collection or":     func(p *archive.Policy) { p.Items = nil },
		"there is no collection":     func(p *archive.Policy) { p.Collection = "Nowhere" },
		"is no sum":                  func(p *archive.Policy) { p.Sum = "1,000" },
		"is no currency":             func(p *archive.Policy) { p.Currency = "ZZZ" },
		"in JPY has 0 decimals":      func(p *archive.Policy) { p.Sum, p.Currency = "10.5", "JPY" },
		"in KWD has 3 decimals":      func(p *archive.Policy) { p.Sum, p.Currency = "10.5555", "KWD" },
		"1 to 600 months":            func(p *archive.Policy) { p.ReportMonths = 601 },
		"put them into a collection": func(p *archive.Policy) { p.Items = slices.Repeat(items, 101) },
	} {
		p := good
		edit(&p)
		if err := a.Insure("P. Adler", p); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%v, want %q", err, want)
		}
	}
	for want, err := range map[string]error{
		"say who decides":         a.Insure("", good),
		"there is no policy":      a.EndPolicy("P. Adler", "W 9", "", ""),
		"8 to 64 of the digits":   func() error { _, err := a.ItemOf("xyz"); return err }(),
		"say what the instrument": func() error { _, err := archive.Describe("  ", "1"); return err }(),
		"there is no collection":  func() error { _, err := a.TakeOut("P. Adler", "x", "", ""); return err }(),
		"name the collection":     func() error { _, err := a.Collect("P. Adler", "", ""); return err }(),
	} {
		if err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%v, want %q", err, want)
		}
	}
	if a.Head() != head {
		t.Error("something was written")
	}
}
