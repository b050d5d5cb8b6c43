package archivetest

import (
	"encoding/json"
	"slices"
	"testing"

	"wornwood/pdfout/archive"
)

func notes(t *testing.T, b Backend) {
	fill(t, b.Index, 3)
	_, at := Events(4, 3)
	body := json.RawMessage(`{"a":[1,"two"]}`)
	must(t, b.Index.Apply([]archive.Event{
		{Entry: archive.Entry{Seq: 4, Kind: archive.Checked, Summary: "found nothing"}},
		{Entry: archive.Entry{Seq: 5, Kind: "something new", By: "R. Calloway", Body: body, Time: When.UTC()}},
		{Entry: archive.Entry{Seq: 6, Kind: archive.Restored, Area: archive.Records}},
	}, at))
	all, err := b.Index.Notes()
	must(t, err)
	if len(all) != 3 || all[0].Seq != 4 || all[2].Area != archive.Records {
		t.Errorf("notes %+v", all)
	}
	some, err := b.Index.Notes("something new", archive.Restored)
	must(t, err)
	if len(some) != 2 || some[0].By != "R. Calloway" || string(some[0].Body) != string(body) || !some[0].Time.Equal(When) {
		t.Errorf("notes %+v", some)
	}
	if none, err := b.Index.Notes("never"); err != nil || len(none) > 0 {
		t.Errorf("notes of no kind: %+v (%v)", none, err)
	}
}

func removal(t *testing.T, b Backend) {
	rows := fill(t, b.Index, 9)
	_, at := Events(10, 2)
	bad := sum([]byte("bad"))
	must(t, b.Index.Apply([]archive.Event{
		{Entry: archive.Entry{Seq: 10, Kind: archive.Rejected, File: bad}},
		{Entry: archive.Entry{Seq: 11, Kind: archive.Removed, File: rows[4].Hash}},
		{Entry: archive.Entry{Seq: 12, Kind: archive.Removed, File: bad}},
	}, at))
	if r, err := b.Index.Filed(rows[4].Hash); err != nil || r != nil {
		t.Errorf("still filed: %v (%v)", r, err)
	}
	if is, err := b.Index.Refused(bad); err != nil || is {
		t.Errorf("still refused (%v)", err)
	}
	for _, line := range []string{"sunburst", "", "kind:ding", "part:tuners", "sort:index ultraviolet"} {
		for _, r := range find(t, b.Index, line, 0, 50).Rows {
			if r.Seq == 5 {
				t.Errorf("%q still finds it", line)
			}
		}
	}
	if n := len(find(t, b.Index, "sunburst", 0, 50).Rows); n != 8 {
		t.Errorf("%d others, want 8", n)
	}
	must(t, b.Index.Check())
}

func suggestions(t *testing.T, b Backend) {
	fill(t, b.Index, 120)
	for _, c := range []struct {
		field, begin string
		want         []string
	}{
		{"maker", "ME", []string{"Merrow & Finch"}}, {"maker", "", []string{"Anselm Tarry", "Halden & Rowe", "Merrow & Finch", "Osterby Works", "Tolle and Sons"}},
		{"class", "v", []string{"violin"}}, {"serial", "l1o7", []string{"L-107 O7"}}, {"examiner", "examiner 5", []string{"Examiner 5", "Examiner 50", "Examiner 51", "Examiner 52"}},
		{"kind", "f", []string{"finish check", "fret wear"}}, {"part", "Front", []string{"front finish"}}, {"model", "nothing so", nil},
	} {
		list, err := b.Index.Suggest(c.field, c.begin, 10)
		must(t, err)
		var got []string
		for _, v := range list {
			got = append(got, v.Value)
		}
		if !slices.Equal(got, c.want) {
			t.Errorf("%s %q: %q, want %q", c.field, c.begin, got, c.want)
		}
	}
	if list, err := b.Index.Suggest("model", "larkfoot", 4); err != nil || len(list) != 4 {
		t.Errorf("%v (%v)", list, err)
	}
	if _, err := b.Index.Suggest("beauty", "", 4); err == nil {
		t.Error("suggested for beauty")
	}
}
