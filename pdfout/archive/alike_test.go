package archive

import (
	"context"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"wornwood/capture/record"
)

func TestNearness(t *testing.T) {
	for _, c := range []struct {
		a, b string
		want SerialNearness
	}{
		{"41873", "41873", SerialSame}, {"41873", "41874", SerialNeighbor}, {"41873", "41878", SerialNeighbor}, // 3 and 8 are misread, and a run's numbers all the same
		{"841873", "B41873", SerialSlip}, {"41873", "4187", SerialSlip}, {"41873", "418773", SerialSlip}, {"41873", "14873", SerialSlip}, {"41873", "41793", SerialOther},
		{"41873", "91873", SerialSlip}, {"41873", "71873", SerialOneOff}, {"41873", "", SerialOther}, {"41873", "52984", SerialOther}, {"L41873", "L41883", SerialNeighbor}, {"41873", "41880", SerialOther}, {"41837", "41873", SerialSlip},
	} {
		for _, p := range [][2]string{{c.a, c.b}, {c.b, c.a}} {
			if got := Nearness(p[0], p[1]); got != c.want {
				t.Errorf("%s and %s: %d, want %d", p[0], p[1], got, c.want)
			}
		}
	}
}

// TestVariantsFindSlips: whatever slip makes of a number of figures is among the
// numbers that are looked up, and everything looked up is a slip of it.
func TestVariantsFindSlips(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		key := rapid.StringMatching(`[0-9]{5,9}`).Draw(t, "key")
		b := []byte(key)
		i := rapid.IntRange(0, len(b)-2).Draw(t, "at")
		switch rapid.IntRange(0, 3).Draw(t, "slip") {
		case 0:
			b[i] = '0' + byte(rapid.IntRange(0, 9).Draw(t, "figure"))
		case 1:
			b = slices.Delete(b, i, i+1)
		case 2:
			b = slices.Insert(b, i, '0'+byte(rapid.IntRange(0, 9).Draw(t, "figure")))
		default:
			b[i], b[i+1] = b[i+1], b[i]
		}
		list := variants(key)
		if string(b) != key && !slices.Contains(list, string(b)) {
			t.Errorf("%s is not looked up for %s", b, key)
		}
		for _, v := range list {
			if n := Nearness(key, v); n == SerialSame || n == SerialOther {
				if !(n == SerialOther && numbersNear(key, v)) {
					t.Errorf("%s is looked up for %s, and counts as %d", v, key, n)
				}
			}
		}
	})
}

// TestWeighWords: what speaks for and against is said, in both directions alike.
func TestWeighWords(t *testing.T) {
	at := func(y int) record.Examination {
		return record.Examination{ID: fmt.Sprint(y), Number: fmt.Sprintf("CR-%d-0001", y), Date: time.Date(y, 5, 1, 0, 0, 0, 0, time.UTC)}
	}
	base := record.Instrument{Class: "solid-body double-cutaway", Maker: "Halden & Rowe", Model: "Larkfoot Standard", Year: "1974", Serial: "41873", Mass: 3.42, ScaleLength: 648}
	for _, c := range []struct {
		rule, text string
		change     func(*record.Record)
	}{
		{"serial same", "The serial number is the same, 4I 873.", func(r *record.Record) { r.Instrument.Serial = "4I 873" }},
		{"serial same, short", "repeat.", func(r *record.Record) { r.Instrument.Maker = "" }},
		{"serial neighbours", "of one run.", func(r *record.Record) { r.Instrument.Serial = "41875" }},
		{"serial other", "are different.", func(r *record.Record) { r.Instrument.Serial = "77520" }},
		{"weight other", "3.42 and 3.9 kg.", func(r *record.Record) { r.Instrument.Mass = 3.9 }},
		{"weight same", "3.42 and 3.45 kg.", func(r *record.Record) { r.Instrument.Mass = 3.45 }},
		{"scale other", "648 and 628 mm.", func(r *record.Record) { r.Instrument.ScaleLength = 628 }},
		{"years apart", "1974 and after 1990.", func(r *record.Record) { r.Instrument.Year = "after 1990" }},
		{"hand other", "left-handed", func(r *record.Record) { r.Instrument.LeftHanded = true }},
		{"maker other", "Merrow & Finch", func(r *record.Record) { r.Instrument.Maker = "Merrow & Finch" }},
		{"named", "names report CR-2018-0001", func(r *record.Record) {
			r.Claims = []record.Claim{{Text: "Examined before", Support: "report CR-2018-0001, of 2018"}}
		}},
		{"photo", "the same photo file, front.jpg.", func(r *record.Record) { r.Photos = []record.Photo{{ID: "p1", Name: "front.jpg"}} }},
		{"code", "the tone potentiometer carries the same code, 137 7432", func(r *record.Record) {
			r.Components = []record.Component{{Kind: "potentiometer", Place: "tone", Code: "137 7432"}}
		}},
	} {
		a := &record.Record{Examination: at(2018), Instrument: base, Photos: []record.Photo{{ID: "p1", Name: "f.jpg"}}, Components: []record.Component{{Kind: "potentiometer", Place: "tone", Code: "137-7432"}}}
		b := &record.Record{Examination: at(2022), Instrument: base}
		c.change(b)
		one, two := Weigh(lookOf(a, "k1"), lookOf(b, "k2")), Weigh(lookOf(b, "k2"), lookOf(a, "k1"))
		if one.Points != two.Points || one.Strength != two.Strength {
			t.Errorf("%s: %.2f points one way, %.2f the other", c.rule, one.Points, two.Points)
		}
		found := false
		for _, e := range append(one.For, one.Against...) {
			found = found || (e.Rule == c.rule && strings.Contains(strings.ToLower(e.Text), strings.ToLower(c.text)))
		}
		if !found {
			t.Errorf("%s is not said: %+v", c.rule, one)
		}
	}
}

// TestManyMarksByChance: two instruments with very many marks each are not
// proposed for those that happen to meet.
func TestManyMarksByChance(t *testing.T) {
	ofRun := func(seed uint64, y int) *record.Record {
		r := &record.Record{Examination: record.Examination{ID: fmt.Sprint(y), Date: time.Date(y, 5, 1, 0, 0, 0, 0, time.UTC)}, Instrument: record.Instrument{Class: "solid-body double-cutaway", Maker: "Halden & Rowe", Model: "Larkfoot Standard", Year: "1974"}}
		draw := rand.New(rand.NewPCG(7, seed))
		for i := range 200 {
			r.Marks = append(r.Marks, record.Mark{Number: i + 1, Kind: "ding", Depth: record.InFinish, On: []record.Place{{Side: "front", Shape: record.PointShape,
				Points: []record.Point{{X: 260*draw.Float64() - 130, Y: 480 + 290*draw.Float64()}}}}})
		}
		return r
	}
	for seed := range uint64(20) {
		if p := Weigh(lookOf(ofRun(0, 2018), "a"), lookOf(ofRun(seed+1, 2022), "b")); p.Strength == Strong || p.Strength == Fair {
			t.Errorf("seed %d: proposed as %s with %.1f points", seed, p.Strength, p.Points)
		}
	}
	if p := Weigh(lookOf(ofRun(0, 2018), "a"), lookOf(ofRun(0, 2022), "b")); p.Strength != Strong {
		t.Errorf("two hundred marks at the same places are %q with %.1f points", p.Strength, p.Points)
	}
}

// BenchmarkCandidates looks for candidates among many rows of ten makers; records
// are not read. WORNWOOD_ARCHIVE_ROWS names how many.
func BenchmarkCandidates(b *testing.B) {
	n := 100_000
	if s := os.Getenv("WORNWOOD_ARCHIVE_ROWS"); s != "" {
		n, _ = strconv.Atoi(s)
	}
	x, err := OpenSQLite(filepath.Join(b.TempDir(), "index.db"), false)
	if err != nil {
		b.Fatal(err)
	}
	defer x.Close()
	var rows []Event
	at := Position{}
	for i := range n {
		r := &Row{Hash: sum(fmt.Append(nil, i)), First: fmt.Sprint("f", i), Seq: int64(i + 1), Maker: fmt.Sprint("Maker", i%10), Model: fmt.Sprint("Larkfoot ", i%7), Serial: fmt.Sprint(100_000 + i*7%900_000), Date: "2024-05-01", Kinds: []string{"ding", "chip"}, Key: "ab", Number: fmt.Sprint("CR-", i)}
		at.Head = Head{r.Seq, "h"}
		if rows = append(rows, Event{Entry: Entry{Seq: r.Seq, Kind: Filed, File: r.Hash}, Row: r}); len(rows) == 5000 || i == n-1 {
			if err := x.Apply(rows, at); err != nil {
				b.Fatal(err)
			}
			rows = rows[:0]
		}
	}
	a := &Archive{index: x}
	for b.Loop() {
		row, err := x.Filed(sum(fmt.Append(nil, n/2)))
		if err != nil {
			b.Fatal(err)
		}
		list, err := a.candidates(context.Background(), newReplay(), &Look{Report: *row, rec: &record.Record{}}, &Alike{})
		if err != nil || len(list) == 0 {
			b.Fatalf("%d candidates (%v)", len(list), err)
		}
	}
}
