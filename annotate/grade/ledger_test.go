package grade

import (
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"wornwood/capture/record"
)

// Largest remainder by hand: 0.04 0.04 0.04 are 0.1 together; 1.26 1.26 1.28
// are 3.8, and the two tenths go to those that were cut most.
func TestShownTenthsByHand(t *testing.T) {
	for _, c := range []struct {
		points []float64
		total  int
		want   []float64
	}{
		{[]float64{0.04, 0.04, 0.04}, 1, []float64{0.1, 0, 0}},
		{[]float64{1.26, 1.26, 1.28}, 38, []float64{1.3, 1.2, 1.3}},
		{[]float64{3, 2}, 50, []float64{3, 2}},
		{[]float64{0.1 + 0.2, 0.7}, 10, []float64{0.3, 0.7}},
		{nil, 0, nil},
	} {
		var lines []Line
		for _, p := range c.points {
			lines = append(lines, Line{Points: p})
		}
		showTenths(lines, c.total)
		for i, l := range lines {
			if l.Shown != c.want[i] {
				t.Errorf("%v: shown %v at %d, want %v", c.points, l.Shown, i, c.want[i])
			}
		}
	}
}

func TestShownTenthsAddUp(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		points := rapid.SliceOfN(rapid.Float64Range(0, 5), 1, 20).Draw(t, "points")
		sum := 0.0
		var lines []Line
		for _, p := range points {
			sum += p
			lines = append(lines, Line{Points: p})
		}
		total := 1000 - Tenths(100-sum)
		showTenths(lines, total)
		for _, l := range lines {
			total -= Tenths(l.Shown)
			if math.Abs(l.Shown-l.Points) >= 0.1 {
				t.Fatalf("%v is shown as %v", l.Points, l.Shown)
			}
		}
		if total != 0 {
			t.Fatalf("%d tenths are missing", total)
		}
	})
}

func TestWorst(t *testing.T) {
	res := mustGrade(t, inspectedRecord(t,
		at("ding", record.InFinish, statedOn(record.FrontFinish, 0.1)),
		at("ding", record.IntoWood, statedOn(record.BackFinish, 0.5)),
		record.Mark{Kind: "ding", Depth: record.InFinish},
		at("fret wear", record.Through, statedOn(record.Frets, 0.5))), testDrawing())
	var got []int
	for _, l := range res.Worst(3) {
		got = append(got, l.Mark)
	}
	// 0.12 x 0.5 x 0.30 over 0.10 x 0.5 x 0.30 over 0.18 x 0.1 x 0.02; mark 3 costs nothing.
	if !slices.Equal(got, []int{2, 4, 1}) {
		t.Errorf("worst %v", got)
	}
	if n := len(res.Worst(10)); n != 3 {
		t.Errorf("%d marks cost something, want 3", n)
	}
	near(t, "mark 2 against mark 4", res.MarkPoints(2)/res.MarkPoints(4), 1.2, 1e-9)
	if res.MarkPoints(0) != 0 || res.MarkPoints(9) != 0 || res.Line(0) != nil {
		t.Error("a mark that is not there costs something")
	}
}

// Equal marks: the ledger goes by number whatever the record's order, the worst
// by number among equals, and the cap names the lowest.
func TestOrderOfEquals(t *testing.T) {
	rec := inspectedRecord(t, at("twist", record.IntoWood, statedOn(record.Neck, 0.3)), at("twist", record.IntoWood, statedOn(record.Neck, 0.3)), at("twist", record.IntoWood, statedOn(record.Neck, 0.3)))
	slices.Reverse(rec.Marks)
	res := mustGrade(t, rec, testDrawing())
	for i, l := range res.Worst(3) {
		if l.Mark != i+1 || res.Ledger[i].Mark != i+1 {
			t.Errorf("at %d: worst is mark %d, the ledger has mark %d", i, l.Mark, res.Ledger[i].Mark)
		}
	}
	if res.Cap == nil || res.Cap.Mark != 1 {
		t.Errorf("cap %+v", res.Cap)
	}
	// Equally bad, but the second covers more of its part.
	rec.Marks[1].On[0] = statedOn(record.Neck, 0.4)
	if res = mustGrade(t, rec, testDrawing()); res.Cap == nil || res.Cap.Mark != 2 || res.Cap.FlawClass != 5 {
		t.Errorf("cap %+v", res.Cap)
	}
}

// A mark stated twice on a part covers it once.
func TestStatedTwice(t *testing.T) {
	res := mustGrade(t, inspectedRecord(t, at("ding", record.IntoWood, statedOn(record.Neck, 0.8), statedOn(record.Neck, 0.8)), at("dent", record.IntoWood, statedOn(record.Neck, 1))), testDrawing())
	near(t, "mark 1 against mark 2", res.MarkPoints(1)/res.MarkPoints(2), 1, 1e-12)
}
