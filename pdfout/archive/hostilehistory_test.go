package archive

import (
	"fmt"
	"math"
	"testing"
	"time"

	"pgregory.net/rapid"

	"wornwood/annotate/grade"
	"wornwood/capture/record"
	"wornwood/pdfout"
	"wornwood/pdfout/reporttest"
)

// TestHistoryOfAnything follows random records, as strangers may sign them: no
// panic, every mark of a record in one cell of its column, at most so many rows.
func TestHistoryOfAnything(t *testing.T) {
	kinds := grade.Default().Kinds()
	rapid.Check(t, func(t *rapid.T) {
		h := &History{}
		for i := range rapid.IntRange(1, 5).Draw(t, "examinations") {
			r := reporttest.Random(t, kinds)
			r.Examination.ID = fmt.Sprint(i)
			r.Examination.Date = time.Date(2018+i, 1, 1, 0, 0, 0, 0, time.UTC)
			if rapid.IntRange(0, 5).Draw(t, "odd") == 0 {
				oddMarks(r)
			}
			l := *lookOf(r, "k")
			l.v = verdictOf(r)
			l.Marks = len(r.Marks)
			h.Looks = append(h.Looks, l)
		}
		h.follow()
		for i := range h.Looks {
			n := map[int]int{}
			for _, m := range h.Marks {
				if len(m.Cells) != len(h.Looks) {
					t.Fatalf("%d cells of %d examinations", len(m.Cells), len(h.Looks))
				}
				if c := m.Cells[i]; c.Listed() {
					n[c.Number]++
				}
			}
			for _, m := range h.Looks[i].rec.Marks {
				if n[m.Number] != 1 {
					t.Errorf("examination %d: mark %d stands in %d rows", i, m.Number, n[m.Number])
				}
			}
		}
		if len(h.Looks) > 1 {
			Weigh(&h.Looks[0], &h.Looks[1])
		}
	})
}

// oddMarks adds what no examiner draws.
func oddMarks(r *record.Record) {
	odd := []record.Place{{Side: "front", Shape: record.AreaShape, Points: []record.Point{{}, {}, {}}}, {Side: "nowhere", Shape: record.LineShape, Points: []record.Point{{X: 1e300, Y: -1e300}, {X: -1e300, Y: 1e300}}},
		{Part: "no such part", Pieces: []int{-1}}, {Side: "front", Shape: record.PointShape}, {Side: "front", Shape: record.LineShape, Points: []record.Point{{X: math.MaxFloat64}, {X: -math.MaxFloat64}}}}
	for _, p := range odd {
		r.Marks = append(r.Marks, record.Mark{Number: r.NextNumber(), Kind: "ding", On: []record.Place{p}, Length: &record.Quantity{Value: math.MaxFloat64}})
	}
}

// TestHistoryIsBounded: a stranger's records of very many marks are followed as
// far as the bounds go, and it is said.
func TestHistoryIsBounded(t *testing.T) {
	h := &History{}
	for i := range 5 {
		r := reporttest.Many(maxHistoryMarks, 0)
		for k := range r.Marks {
			r.Marks[k].On[0].Points[0] = record.Point{X: float64(k%20)*12 - 120, Y: 400 + float64(k/20)*10 + 400*float64(i)}
		}
		r.Examination.Date = time.Date(2018+i, 1, 1, 0, 0, 0, 0, time.UTC)
		l := *lookOf(r, "k")
		l.v, l.Marks = verdictOf(r), maxHistoryMarks+5000
		h.Looks = append(h.Looks, l)
	}
	begin := time.Now()
	h.follow()
	if len(h.Marks) != maxStories || !h.MoreMarks {
		t.Errorf("%d marks followed, more: %v", len(h.Marks), h.MoreMarks)
	}
	t.Logf("%d marks through %d examinations in %v", len(h.Marks), len(h.Looks), time.Since(begin))
}

func verdictOf(r *record.Record) *pdfout.Verdict { return &pdfout.Verdict{OK: true, Record: r} }
