package archivetest

import (
	"cmp"
	"fmt"
	"reflect"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"wornwood/pdfout/archive"
)

// Property compares an index with going through rows one by one: random rows
// filed in random batches, some removed again, random query lines in every order
// and page, all counts and suggestions. The index is emptied for each try;
// -rapid.checks says how many there are.
func Property(t *testing.T, x archive.Index) {
	rapid.Check(t, func(t *rapid.T) {
		if err := x.Reset(); err != nil {
			t.Fatal(err)
		}
		rows := fileSome(t, x)
		for range 6 {
			q := drawQuery(t)
			parsed, err := archive.ParseQuery(q.line)
			if err != nil {
				t.Fatalf("%s: %v", q.line, err)
			}
			want := q.answer(rows)
			sameRows(t, x, q.line, parsed, want)
			for _, field := range archive.CountFields() {
				got, err := x.Counts(parsed, field)
				if err != nil {
					t.Fatalf("%s by %s: %v", q.line, field, err)
				}
				if naive := countsOf(want, field); !slices.Equal(got, naive) {
					t.Fatalf("%s by %s: %v, want %v", q.line, field, got, naive)
				}
			}
		}
		for _, field := range archive.SuggestFields() {
			sameSuggestions(t, x, rows, field)
		}
		if err := x.Check(); err != nil {
			t.Fatal(err)
		}
	})
}

// fileSome files random rows and removes some; it gives those that are left.
func fileSome(t *rapid.T, x archive.Index) []archive.Row {
	rows := []archive.Row{}
	seq := int64(0)
	for range rapid.IntRange(1, 12).Draw(t, "batches") {
		var events []archive.Event
		for range rapid.IntRange(0, 6).Draw(t, "lines") {
			seq++
			if n := rapid.IntRange(0, 9).Draw(t, "what"); n == 0 && len(rows) > 0 {
				i := rapid.IntRange(0, len(rows)-1).Draw(t, "removed")
				events = append(events, archive.Event{Entry: archive.Entry{Seq: seq, Kind: archive.Removed, File: rows[i].Hash}})
				rows = slices.Delete(rows, i, i+1)
				continue
			} else if n == 1 {
				events = append(events, archive.Event{Entry: archive.Entry{Seq: seq, Kind: archive.Checked}})
				continue
			}
			r := drawRow(t, seq)
			rows = append(rows, r)
			events = append(events, archive.Event{Entry: archive.Entry{Seq: seq, Kind: archive.Filed, File: r.Hash, First: r.First}, Row: &r})
		}
		if err := x.Apply(events, archive.Position{Head: archive.Head{Seq: seq, Hash: sum(fmt.Append(nil, seq))}, End: seq * 400}); err != nil {
			t.Fatal(err)
		}
	}
	return rows
}

// sameRows wants the rows of a query, all of them and a page.
func sameRows(t *rapid.T, x archive.Index, line string, q *archive.Query, want []archive.Row) {
	for _, page := range [][2]int{{0, 1000}, {rapid.IntRange(0, 12).Draw(t, "from"), rapid.IntRange(1, 12).Draw(t, "most")}} {
		from := min(page[0], len(want))
		to := min(from+page[1], len(want))
		f, err := x.Find(q, page[0], page[1])
		if err != nil {
			t.Fatalf("%s: %v", line, err)
		}
		if f.More != (to < len(want)) {
			t.Fatalf("%s from %d: more is %v of %d", line, page[0], f.More, len(want))
		}
		if got, want := seqs(f.Rows), seqs(want[from:to]); !slices.Equal(got, want) {
			t.Fatalf("%s from %d: %v, want %v", line, page[0], got, want)
		}
		for i, r := range f.Rows {
			w := want[from+i]
			if w.Words = ""; !r.Filed.Equal(w.Filed) {
				t.Fatalf("filed %v, want %v", r.Filed, w.Filed)
			}
			if r.Filed = w.Filed; !reflect.DeepEqual(r, w) {
				t.Fatalf("row %+v, want %+v", r, w)
			}
		}
	}
}

func seqs(rows []archive.Row) []int64 {
	out := []int64{}
	for _, r := range rows {
		out = append(out, r.Seq)
	}
	return out
}

// valuesOf are a row's values of a field, each once, as Counts groups by them.
func valuesOf(r archive.Row, field string) []string {
	switch field {
	case "kind":
		return foldedOnce(r.Kinds)
	case "part":
		var list []string
		for _, p := range r.Parts {
			list = append(list, archive.FoldText(p.Part)+"="+archive.FoldText(p.State))
		}
		return foldedOnce(list)
	case "condition":
		return []string{fmt.Sprint(r.Condition)}
	case "purpose":
		return []string{archive.FoldText(r.Purpose)}
	}
	return []string{map[string]string{"maker": r.Maker, "model": r.Model, "class": r.Class, "year": r.Year, "serial": r.Serial, "date": r.Date,
		"examiner": r.Examiner, "shop": r.Shop, "key": r.Key, "verdict": r.Verdict, "number": r.Number}[field]}
}

func foldedOnce(list []string) []string {
	var out []string
	for _, s := range list {
		if s = archive.FoldText(s); !slices.Contains(out, s) {
			out = append(out, s)
		}
	}
	return out
}

func countsOf(rows []archive.Row, field string) []archive.Count {
	n := map[string]int{}
	for _, r := range rows {
		for _, v := range valuesOf(r, field) {
			n[v]++
		}
	}
	out := []archive.Count{}
	for v, n := range n {
		out = append(out, archive.Count{Value: v, N: n})
	}
	slices.SortFunc(out, func(a, b archive.Count) int {
		return cmp.Or(cmp.Compare(b.N, a.N), cmp.Compare(a.Value, b.Value))
	})
	return out
}

func sameSuggestions(t *rapid.T, x archive.Index, rows []archive.Row, field string) {
	key := archive.FoldText
	if field == "serial" {
		key = archive.SerialKey
	}
	begin := rapid.SampledFrom([]string{"", "l", "L4I", "HA", "øs", "m", "cr-", "front ", "s", "f", "x"}).Draw(t, "begin")
	most := rapid.IntRange(1, 6).Draw(t, "most suggested")
	values, n := map[string]string{}, map[string]int{}
	for _, r := range rows {
		list := valuesOf(r, field)
		if field == "part" {
			list = nil
			for _, p := range r.Parts {
				list = append(list, p.Part)
			}
			list = foldedOnce(list)
		}
		for _, v := range list {
			k := key(v)
			if k == "" || !strings.HasPrefix(k, key(begin)) {
				continue
			}
			if old, is := values[k]; !is || v < old {
				values[k] = v
			}
			n[k]++
		}
	}
	keys := make([]string, 0, len(values))
	for k := range values {
		keys = append(keys, k)
	}
	slices.Sort(keys)
	keys = keys[:min(len(keys), most)]
	got, err := x.Suggest(field, begin, most)
	if err != nil || len(got) != len(keys) {
		t.Fatalf("%s %q: %v, want %v of %v (%v)", field, begin, got, keys, values, err)
	}
	for i, k := range keys {
		if got[i].Value != values[k] || (got[i].N != 0 && got[i].N != n[k]) {
			t.Fatalf("%s %q: %v at %d, want %q of %d", field, begin, got[i], i, values[k], n[k])
		}
	}
}
