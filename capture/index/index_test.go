package index

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"wornwood/capture/record"
)

var day = time.Date(2026, 3, 14, 9, 0, 0, 500, time.FixedZone("", 3600))

// item is an examination n of an instrument, n days later.
func item(n int, inst record.Instrument, change ...func(*record.Record)) Item {
	r := &record.Record{
		Examination: record.Examination{ID: fmt.Sprintf("exam%d", n), Instrument: "of " + inst.Serial, Purpose: record.Intake, Date: day.AddDate(0, 0, n)},
		Instrument:  inst,
	}
	for _, c := range change {
		c(r)
	}
	return Item{Record: r, Stamp: Stamp{Size: int64(100 + n), Changed: int64(n)}}
}

// shop is a filled index of the demo's instruments.
func shop(t *testing.T) *Index {
	t.Helper()
	items := []Item{
		item(1, record.Instrument{Class: "solid-body double-cutaway", Maker: "Halden & Rowe", Model: "Larkfoot Standard", Year: "1974", Serial: "41873", Colour: "tobacco sunburst"},
			func(r *record.Record) {
				r.Marks = []record.Mark{{Number: 1, Kind: "buckle rash", Note: "deep, beside the strap button"}}
				r.Photos = []record.Photo{{ID: "p1"}, {ID: "p2", View: "front"}}
			}),
		item(2, record.Instrument{Class: "flat-top", Maker: "Merrow & Finch", Model: "No. 3", Serial: "MF-00 318", Colour: "natural"},
			func(r *record.Record) { r.Examination.Note = "Smells of Käsekeller" }),
		item(3, record.Instrument{Class: "violin", Maker: "Anselm Tarry", Year: "1921", Serial: "41"}),
		item(4, record.Instrument{Class: "solid-body double-cutaway", Maker: "Halden & Rowe", Model: "Larkfoot Standard", Year: "1974", Serial: "41873", Colour: "sunburst"}),
	}
	x, err := Create(filepath.Join(t.TempDir(), "index.db"))
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if err := x.Close(); err != nil {
			t.Error(err)
		}
	})
	i := 0
	err = x.Fill(context.Background(), func() (*Item, error) {
		if i == len(items) {
			return nil, nil
		}
		i++
		return &items[i-1], nil
	})
	if err != nil {
		t.Fatal(err)
	}
	return x
}

func exams(rows []Row) string {
	var s []string
	for _, r := range rows {
		s = append(s, r.Exam)
	}
	return strings.Join(s, " ")
}

func TestSearch(t *testing.T) {
	x := shop(t)
	for q, want := range map[string]string{
		"":                         "exam4 exam3 exam2",
		"   -- ":                   "exam4 exam3 exam2",
		"lark":                     "exam4", // the newest of the instrument
		"LARKFOOT halden":          "exam4",
		"halden violin":            "",
		"tobacco":                  "exam4", // only the older examination says so
		"buckle":                   "exam4",
		"strap button":             "exam4",
		"kasekeller":               "exam2", // without its diacritics
		"41873":                    "exam4",
		"4-18 73":                  "exam4",
		"mf00318":                  "exam2",
		"MF 00-318":                "exam2",
		"0318":                     "exam2", // any part of a serial number
		"41":                       "exam3 exam4",
		"1921":                     "exam3",
		`"`:                        "exam4 exam3 exam2",
		`lark" OR "x`:              "",
		"NOT":                      "",
		"maker:halden":             "", // no syntax: two words, of which one is nowhere
		"lark*":                    "exam4",
		"(":                        "exam4 exam3 exam2",
		"%":                        "exam4 exam3 exam2",
		"_1873":                    "exam4",
		strings.Repeat("a ", 5000): "exam3",
	} {
		rows, err := x.Search(q)
		got := exams(rows)
		if q == "41" { // both match by serial number; their order is by words, then date
			l := strings.Fields(got)
			slices.Sort(l)
			got = strings.Join(l, " ")
		}
		if err != nil || got != want {
			t.Errorf("%.30q: got %q, want %q, %v", q, got, want, err)
		}
	}
}

func TestRows(t *testing.T) {
	x := shop(t)
	rows, err := x.Examinations("of 41873")
	if err != nil || exams(rows) != "exam4 exam1" {
		t.Fatalf("%v %v", exams(rows), err)
	}
	got, want := rows[1], Row{
		Instrument: "of 41873", Exam: "exam1", Title: "Halden & Rowe Larkfoot Standard", Class: "solid-body double-cutaway", Year: "1974",
		Serial: "41873", Date: day.AddDate(0, 0, 1), Purpose: record.Intake, Photo: "p2", Photos: 2, Marks: 1, Examinations: 2, Stamp: Stamp{Size: 101, Changed: 1},
	}
	if !got.Date.Equal(want.Date) {
		t.Errorf("date %v, want %v", got.Date, want.Date)
	}
	got.Date = want.Date
	if got != want {
		t.Errorf("got  %+v\nwant %+v", got, want)
	}
}

func TestPutReplaces(t *testing.T) {
	x := shop(t)
	it := item(1, record.Instrument{Maker: "Halden & Rowe", Model: "Wren", Serial: "41873"})
	it.Issued = &record.Issued{Number: "CR-2026-0007"}
	for range 3 {
		if err := x.Put(it); err != nil {
			t.Fatal(err)
		}
	}
	for q, want := range map[string]string{"tobacco": "", "wren": "exam4", "cr-2026-0007": "exam4"} {
		if rows, err := x.Search(q); err != nil || exams(rows) != want {
			t.Errorf("%q: %q %v", q, exams(rows), err)
		}
	}
	if n, err := x.HighestNumber("CR-2026-"); err != nil || n != 7 {
		t.Errorf("%d %v", n, err)
	}
	if err := x.Delete("exam1"); err != nil {
		t.Fatal(err)
	}
	if rows, err := x.Search("wren"); err != nil || len(rows) != 0 {
		t.Errorf("%v %v", rows, err)
	}
	st, err := x.Stamps()
	if err != nil || len(st) != 3 || st["exam4"] != (Stamp{104, 4}) {
		t.Errorf("%v %v", st, err)
	}
}

// sound makes a closed index of fifty examinations.
func sound(t *testing.T) (path string) {
	t.Helper()
	p := filepath.Join(t.TempDir(), "index.db")
	x, err := Create(p)
	if err != nil {
		t.Fatal(err)
	}
	if err := x.Fill(context.Background(), func() (*Item, error) { return nil, nil }); err != nil {
		t.Fatal(err)
	}
	for i := range 50 {
		if err := x.Put(item(i, record.Instrument{Maker: strings.Repeat("word ", 50), Serial: fmt.Sprint(i)})); err != nil {
			t.Fatal(err)
		}
	}
	if err := x.Close(); err != nil {
		t.Fatal(err)
	}
	return p
}

// edit and statement are ways of harming an index.
func edit(change func([]byte) []byte) func(*testing.T, string) {
	return func(t *testing.T, p string) {
		b, err := os.ReadFile(p)
		if err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(p, change(b), 0o644); err != nil {
			t.Fatal(err)
		}
	}
}

func statement(q string) func(*testing.T, string) {
	return func(t *testing.T, p string) {
		x, err := open(p)
		if err != nil {
			t.Fatal(err)
		}
		defer x.Close()
		if _, err := x.db.Exec(q); err != nil {
			t.Fatal(err)
		}
	}
}

func TestUnusable(t *testing.T) {
	for name, harm := range map[string]func(*testing.T, string){
		"missing":         func(t *testing.T, p string) { _ = os.Remove(p) },
		"empty":           edit(func(b []byte) []byte { return nil }),
		"text":            edit(func(b []byte) []byte { return []byte("this is not a database at all") }),
		"cut in half":     edit(func(b []byte) []byte { return b[:len(b)/2] }),
		"zeroed":          edit(func(b []byte) []byte { clear(b[4096:]); return b }),
		"another version": statement(`UPDATE about SET value = '0'`),
		"never filled":    statement(`DELETE FROM about`),
		"words gone":      statement(`DELETE FROM words_data WHERE id > 10`),
		"no tables":       statement(`DROP TABLE about`),
	} {
		t.Run(name, func(t *testing.T) {
			p := sound(t)
			if x, err := Open(p); err != nil {
				t.Fatal(err)
			} else if err := x.Close(); err != nil {
				t.Fatal(err)
			}
			harm(t, p)
			x, err := Open(p)
			if !errors.Is(err, ErrUnusable) {
				t.Fatalf("%v, %v", x, err)
			}
			if err := Remove(p); err != nil {
				t.Fatal(err)
			}
			if list, _ := os.ReadDir(filepath.Dir(p)); len(list) != 0 {
				t.Errorf("left: %v", list)
			}
		})
	}
}

func TestFillCutShort(t *testing.T) {
	p := filepath.Join(t.TempDir(), "a #?% folder", "index.db")
	if err := os.Mkdir(filepath.Dir(p), 0o755); err != nil {
		t.Fatal(err)
	}
	x, err := Create(p)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := os.Stat(p); err != nil {
		t.Fatal(err)
	}
	ctx, stop := context.WithCancel(context.Background())
	it := item(1, record.Instrument{Maker: "x"})
	err = x.Fill(ctx, func() (*Item, error) { stop(); return &it, nil })
	if !errors.Is(err, context.Canceled) {
		t.Fatal(err)
	}
	if err := x.Close(); err != nil {
		t.Fatal(err)
	}
	if _, err := Open(p); !errors.Is(err, ErrUnusable) {
		t.Error(err)
	}
}

// Whatever is typed, searching answers.
func TestAnyQuery(t *testing.T) {
	x := shop(t)
	rapid.Check(t, func(t *rapid.T) {
		q := rapid.OneOf(rapid.String(), rapid.StringMatching(`[a-z"*():^ -]{0,20}`)).Draw(t, "q")
		if _, err := x.Search(q); err != nil {
			t.Fatalf("%q: %v", q, err)
		}
	})
}

func TestSerialKey(t *testing.T) {
	for in, want := range map[string]string{"l-41 873": "L41873", "": "", "№ 7/ä": "7Ä", " – ": ""} {
		if got := SerialKey(in); got != want {
			t.Errorf("%q: %q", in, got)
		}
	}
}
