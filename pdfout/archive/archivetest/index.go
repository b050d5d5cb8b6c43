package archivetest

import (
	"fmt"
	"slices"
	"testing"
	"time"

	"wornwood/pdfout/archive"
)

// Rows are invented rows from number from on, n of them. Each is unlike the
// others; years, makers, marks and parts repeat as in a real archive.
func Rows(from, n int) []archive.Row {
	makers := []string{"Halden & Rowe", "Merrow & Finch", "Anselm Tarry", "Osterby Works", "Tolle and Sons"}
	classes := []string{"solid-body double-cutaway", "flat-top", "violin"}
	kinds := []string{"ding", "scratch", "finish check", "headstock break", "fret wear", "buckle rash"}
	states := []string{"original", "period replacement", "later replacement", "refinished"}
	out := make([]archive.Row, 0, n)
	for i := from; i < from+n; i++ {
		index := float64(i*7919%1000) / 10
		year := 1900 + i*31%100
		r := archive.Row{Hash: sum(fmt.Appendf(nil, "file %d", i)), Seq: int64(i), Filed: When.Add(time.Duration(i) * time.Minute), Source: fmt.Sprintf("report-%d.pdf", i), Size: 200_000 + int64(i),
			Number: fmt.Sprintf("CR-2026-%06d", i), Maker: makers[i%len(makers)], Model: fmt.Sprintf("Larkfoot %d", i%97), Class: classes[i%len(classes)], Year: fmt.Sprint(year), YearFrom: year, YearTo: year,
			Serial: fmt.Sprintf("L-%d O%d", i, i%10), Date: When.AddDate(0, 0, -i%900).Format(time.DateOnly), Purpose: "before listing", Examiner: fmt.Sprintf("Examiner %d", i%53), Shop: "Fen Street Instruments",
			Index: &index, Condition: 1 + i%6, Photos: i % 4, Key: sum(fmt.Appendf(nil, "key %d", i%200)), KeyName: fmt.Sprintf("Dealer %d", i%200), Verdict: []string{archive.KnownKey, archive.TrustedKey, archive.UnknownKey}[i%3],
			Countersigned: i%5 == 0, Stamped: i%7 == 0, First: sum(fmt.Appendf(nil, "first %d", i)), Kinds: []string{kinds[i%6], kinds[(i+2)%6]},
			Parts: []archive.PartState{{Part: "tuners", State: states[i%4]}, {Part: "front finish", State: states[(i/4)%4]}},
			Words: fmt.Sprintf("sunburst nitrocellulose case with key number %d, light wear on the edges, seen under ultraviolet light %d", i, i%1000)}
		out = append(out, r)
	}
	return out
}

// Events are the lines of a log, and its end, for rows from number from on.
func Events(from, n int) ([]archive.Event, archive.Position) {
	var out []archive.Event
	for _, r := range Rows(from, n) {
		out = append(out, archive.Event{Entry: archive.Entry{Seq: r.Seq, Kind: archive.Filed, File: r.Hash, First: r.First}, Row: &r})
	}
	return out, archive.Position{Head: archive.Head{Seq: int64(from + n - 1), Hash: sum(fmt.Appendf(nil, "line %d", from+n-1))}, End: int64(from+n) * 400}
}

func fill(t *testing.T, x archive.Index, n int) []archive.Row {
	t.Helper()
	must(t, x.Apply(Events(1, n)))
	return Rows(1, n)
}

func find(t *testing.T, x archive.Index, line string, from, most int) *archive.Found {
	t.Helper()
	q, err := archive.ParseQuery(line)
	must(t, err)
	f, err := x.Find(q, from, most)
	if err != nil {
		t.Fatalf("%s: %v", line, err)
	}
	return f
}

func positions(t *testing.T, b Backend) {
	x := b.Index
	if at, err := x.At(); err != nil || at != (archive.Position{}) {
		t.Errorf("a new index is at %v (%v)", at, err)
	}
	rows := fill(t, x, 3)
	_, want := Events(1, 3)
	if at, err := x.At(); err != nil || at != want {
		t.Errorf("at %v, want %v (%v)", at, want, err)
	}
	// All or nothing: the second of these is there already.
	twice, at := Events(4, 1)
	again, _ := Events(2, 1)
	if err := x.Apply(append(twice, again...), at); err == nil {
		t.Error("a report is filed twice")
	}
	if got, err := x.At(); err != nil || got != want {
		t.Errorf("after a failure at %v (%v)", got, err)
	}
	if r, err := x.Filed(sum([]byte("file 4"))); err != nil || r != nil {
		t.Errorf("half of a failure is there: %v (%v)", r, err)
	}
	r, err := x.Filed(rows[1].Hash)
	if must(t, err); r == nil || r.Serial != rows[1].Serial || *r.Index != *rows[1].Index || !slices.Equal(r.Kinds, rows[1].Kinds) {
		t.Errorf("row %+v", r)
	}
	bad := archive.Event{Entry: archive.Entry{Seq: 4, Kind: archive.Rejected, File: sum([]byte("bad"))}}
	must(t, x.Apply([]archive.Event{bad, {Entry: archive.Entry{Seq: 5, Kind: "something new"}}}, at))
	if is, err := x.Refused(bad.File); err != nil || !is {
		t.Errorf("refused: %v (%v)", is, err)
	}
	if is, err := x.Refused(rows[0].Hash); err != nil || is {
		t.Errorf("not refused: %v (%v)", is, err)
	}
	must(t, x.Check())
	must(t, x.Reset())
	if f := find(t, x, "", 0, 10); len(f.Rows) > 0 {
		t.Errorf("%d rows after emptying it", len(f.Rows))
	}
	fill(t, x, 2)
}

// fieldsFound compares each field of a query with going through the rows one by
// one.
func fieldsFound(t *testing.T, b Backend) {
	const n = 300
	rows := fill(t, b.Index, n)
	has := func(list []string, s string) bool { return slices.Contains(list, s) }
	for line, is := range map[string]func(r archive.Row) bool{
		"":                                     func(archive.Row) bool { return true },
		"maker:halden":                         func(r archive.Row) bool { return r.Maker == "Halden & Rowe" },
		`maker:"FINCH mer"`:                    func(r archive.Row) bool { return r.Maker == "Merrow & Finch" },
		"-maker:halden":                        func(r archive.Row) bool { return r.Maker != "Halden & Rowe" },
		"class:viol":                           func(r archive.Row) bool { return r.Class == "violin" },
		"tarry flat":                           func(r archive.Row) bool { return r.Maker == "Anselm Tarry" && r.Class == "flat-top" },
		"sunburst ultraviolet":                 func(archive.Row) bool { return true },
		`"case with key"`:                      func(archive.Row) bool { return true },
		`"key case"`:                           func(archive.Row) bool { return false },
		"year:1970..1979":                      func(r archive.Row) bool { return r.YearFrom >= 1970 && r.YearTo <= 1979 },
		"year:..1905":                          func(r archive.Row) bool { return r.YearFrom <= 1905 },
		"date:2026-11":                         func(r archive.Row) bool { return r.Date[:7] == "2026-11" },
		"date:2025-02..2026":                   func(r archive.Row) bool { return r.Date >= "2025-02" },
		"filed:..2026-11-14":                   func(r archive.Row) bool { return r.Filed.UTC().Format(time.DateOnly) <= "2026-11-14" },
		"index:80..":                           func(r archive.Row) bool { return *r.Index >= 80 },
		"index:80":                             func(r archive.Row) bool { return *r.Index >= 80 && *r.Index < 81 },
		"-index:20..80":                        func(r archive.Row) bool { return *r.Index < 20 || *r.Index > 80 },
		"condition:2":                          func(r archive.Row) bool { return r.Condition == 2 },
		"condition:5..":                        func(r archive.Row) bool { return r.Condition >= 5 },
		`kind:"headstock break" verdict:known`: func(r archive.Row) bool { return has(r.Kinds, "headstock break") && r.Verdict == "known" },
		"-kind:ding":                           func(r archive.Row) bool { return !has(r.Kinds, "ding") },
		"part:tuners=replaced": func(r archive.Row) bool {
			return r.Parts[0].State == "period replacement" || r.Parts[0].State == "later replacement"
		},
		`part:"front finish"=refinished`:       func(r archive.Row) bool { return r.Parts[1].State == "refinished" },
		"part:tuners":                          func(archive.Row) bool { return true },
		"part:neck":                            func(archive.Row) bool { return false },
		"has:countersignature":                 func(r archive.Row) bool { return r.Countersigned },
		"-has:timestamp":                       func(r archive.Row) bool { return !r.Stamped },
		"has:photos":                           func(r archive.Row) bool { return r.Photos > 0 },
		"serial:L-I7o7":                        func(r archive.Row) bool { return r.Seq == 17 },
		"l-17.o7":                              func(r archive.Row) bool { return r.Seq == 17 },
		"number:CR-2026-00012":                 func(r archive.Row) bool { return r.Seq >= 120 && r.Seq < 130 },
		"key:" + sum([]byte("key 7"))[:16]:     func(r archive.Row) bool { return r.Seq%200 == 7 },
		`examiner:"examiner 7" -examiner:"70"`: func(r archive.Row) bool { return r.Examiner == "Examiner 7" },
	} {
		var want []int64
		for _, r := range slices.Backward(rows) {
			if is(r) {
				want = append(want, r.Seq)
			}
		}
		var got []int64
		for _, r := range find(t, b.Index, line, 0, n).Rows {
			got = append(got, r.Seq)
		}
		if !slices.Equal(got, want) {
			t.Errorf("%s: %d found, want %d: %v, want %v", line, len(got), len(want), got[:min(8, len(got))], want[:min(8, len(want))])
		}
	}
}

func ordered(t *testing.T, b Backend) {
	rows := fill(t, b.Index, 120)
	for line, less := range map[string]func(a, b archive.Row) bool{
		"sort:index":       func(a, b archive.Row) bool { return *a.Index < *b.Index },
		"sort:-index":      func(a, b archive.Row) bool { return *a.Index > *b.Index },
		"sort:maker":       func(a, b archive.Row) bool { return a.Maker < b.Maker },
		"sort:date":        func(a, b archive.Row) bool { return a.Date < b.Date },
		"sort:year":        func(a, b archive.Row) bool { return a.YearFrom < b.YearFrom },
		"sort:filed":       func(a, b archive.Row) bool { return a.Seq < b.Seq },
		"sort:-size":       func(a, b archive.Row) bool { return a.Size > b.Size },
		"sort:number wear": func(a, b archive.Row) bool { return a.Number < b.Number },
	} {
		f := find(t, b.Index, line, 0, 500)
		if len(f.Rows) != len(rows) || f.More {
			t.Errorf("%s: %d rows, more %v", line, len(f.Rows), f.More)
		}
		for i := 1; i < len(f.Rows); i++ {
			if less(f.Rows[i], f.Rows[i-1]) {
				t.Errorf("%s: row %d is out of order", line, i)
				break
			}
		}
		// Page by page it is the same list.
		var paged []archive.Row
		for from := 0; ; from += 50 {
			p := find(t, b.Index, line, from, 50)
			paged = append(paged, p.Rows...)
			if !p.More {
				break
			}
		}
		if !slices.EqualFunc(paged, f.Rows, func(a, b archive.Row) bool { return a.Hash == b.Hash }) {
			t.Errorf("%s: the pages are another list", line)
		}
	}
}

func counted(t *testing.T, b Backend) {
	rows := fill(t, b.Index, 60)
	q, err := archive.ParseQuery("index:50..")
	must(t, err)
	for field, of := range map[string]func(archive.Row) []string{
		"maker": func(r archive.Row) []string { return []string{r.Maker} }, "condition": func(r archive.Row) []string { return []string{fmt.Sprint(r.Condition)} },
		"kind": func(r archive.Row) []string { return r.Kinds }, "part": func(r archive.Row) []string {
			return []string{r.Parts[0].Part + "=" + r.Parts[0].State, r.Parts[1].Part + "=" + r.Parts[1].State}
		},
	} {
		want := map[string]int{}
		for _, r := range rows {
			if *r.Index >= 50 {
				for _, v := range of(r) {
					want[v]++
				}
			}
		}
		got, err := b.Index.Counts(q, field)
		must(t, err)
		for i, c := range got {
			if want[c.Value] != c.N || (i > 0 && got[i-1].N < c.N) {
				t.Errorf("%s: %+v at %d, want %d", field, c, i, want[c.Value])
			}
		}
		if len(got) != len(want) {
			t.Errorf("%s: %d values, want %d", field, len(got), len(want))
		}
	}
	if _, err := b.Index.Counts(q, "beauty"); err == nil {
		t.Error("counted by beauty")
	}
}

func versions(t *testing.T, b Backend) {
	events, at := Events(1, 5)
	for _, i := range []int{1, 3, 4} {
		events[i].Row.First = events[1].Row.First
	}
	must(t, b.Index.Apply(events, at))
	rows, err := b.Index.Versions(events[1].Row.First)
	must(t, err)
	if len(rows) != 3 || rows[0].Seq != 2 || rows[2].Seq != 5 {
		t.Errorf("%d versions", len(rows))
	}
	if rows, err := b.Index.Versions("none"); err != nil || len(rows) > 0 {
		t.Errorf("versions of none: %d (%v)", len(rows), err)
	}
}
