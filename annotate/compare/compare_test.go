package compare_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"wornwood/annotate/compare"
	"wornwood/annotate/grade"
	"wornwood/annotate/outline"
	"wornwood/capture/record"
)

func at(side string, pts ...record.Point) []record.Place {
	sh := record.PointShape
	switch {
	case len(pts) == 2:
		sh = record.LineShape
	case len(pts) > 2:
		sh = record.AreaShape
	}
	return []record.Place{{Side: side, Shape: sh, Points: pts}}
}

func xy(x, y float64) record.Point { return record.Point{X: x, Y: y} }

func mm(v float64) *record.Quantity { return &record.Quantity{Value: v, Uncertainty: 0.3} }

func drawing(t interface{ Fatal(...any) }) *outline.Drawing {
	d, err := grade.DrawingFor(record.Instrument{Class: "solid-body double-cutaway"})
	if err != nil {
		t.Fatal(err)
	}
	return d
}

// TestFates: what became of a mark, one case for each fate and each way to it.
func TestFates(t *testing.T) {
	ding := record.Mark{Number: 1, Kind: "ding", Depth: record.InFinish, On: at("front", xy(-60, 720)), Length: mm(3)}
	crack := record.Mark{Number: 2, Kind: "closed crack", Depth: record.Through, On: at("back", xy(-20, 600), xy(-20, 640)), Length: mm(40)}
	wear := record.Mark{Number: 3, Kind: "fret wear", Reading: &record.MarkReading{Kind: record.CrownReading, Quantity: record.Quantity{Value: 1.1, Uncertainty: 0.03}}, On: []record.Place{{Part: record.Frets, Pieces: []int{1, 2}}}}
	for _, c := range []struct {
		name   string
		was    record.Mark
		change func(*record.Mark)
		fate   compare.Fate
		words  string
	}{
		{"as it was", ding, func(*record.Mark) {}, compare.Same, ""},
		{"another hand", ding, func(m *record.Mark) { m.On = at("front", xy(-57, 724)); m.Length = mm(3.4) }, compare.Same, ""},
		{"called a dent", ding, func(m *record.Mark) { m.Kind = "dent" }, compare.Same, "called ding before"},
		{"grown", ding, func(m *record.Mark) { m.Length = mm(5.5) }, compare.Grown, "3 to 5.5 mm"},
		{"a little larger, within what measuring leaves open", ding, func(m *record.Mark) { m.Length = mm(3.8) }, compare.Same, ""},
		{"smaller", ding, func(m *record.Mark) { m.Length = mm(1.2) }, compare.Smaller, "3 to 1.2 mm"},
		{"deeper", ding, func(m *record.Mark) { m.Depth = record.IntoWood }, compare.Deeper, "in the finish to into the wood"},
		{"a crack that ran on", crack, func(m *record.Mark) { m.On = at("back", xy(-21, 602), xy(-19, 700)); m.Length = mm(98) }, compare.Grown, "40 to 98 mm"},
		{"glued", crack, func(m *record.Mark) { m.Kind = "repaired crack" }, compare.Repaired, "now a repaired crack"},
		{"said to be repaired", crack, func(m *record.Mark) { m.Since = "repaired" }, compare.Repaired, ""},
		{"crowns worn lower", wear, func(m *record.Mark) {
			m.Reading = &record.MarkReading{Kind: record.CrownReading, Quantity: record.Quantity{Value: 0.9, Uncertainty: 0.03}}
		}, compare.Grown, "fret crown height 1.10 ± 0.03 to 0.90 ± 0.03"},
		{"on one fret in common", wear, func(m *record.Mark) { m.On = []record.Place{{Part: record.Frets, Pieces: []int{2, 9}}} }, compare.Same, ""},
	} {
		is := c.was
		c.change(&is)
		pairs := compare.Pairs([]record.Mark{c.was}, []record.Mark{is}, nil, nil)
		if len(pairs) != 1 || pairs[0].Earlier != 0 || pairs[0].Later != 0 {
			t.Errorf("%s: paired %+v", c.name, pairs)
			continue
		}
		if got := compare.Between(&c.was, &is); got.Fate != c.fate || got.Words != c.words {
			t.Errorf("%s: %s, %q; want %s, %q", c.name, got.Fate, got.Words, c.fate, c.words)
		}
	}
}

// TestNotTheSame: what is never one mark.
func TestNotTheSame(t *testing.T) {
	ding := record.Mark{Number: 1, Kind: "ding", On: at("front", xy(-60, 720)), Length: mm(3)}
	for name, other := range map[string]record.Mark{
		"far off":           {Number: 1, Kind: "ding", On: at("front", xy(-60, 700)), Length: mm(3)},
		"on the other side": {Number: 1, Kind: "ding", On: at("back", xy(-60, 720)), Length: mm(3)},
		"of another kind":   {Number: 1, Kind: "fade", On: at("front", xy(-60, 720)), Length: mm(3)},
		"on a part only":    {Number: 1, Kind: "ding", On: []record.Place{{Part: record.Neck}}},
	} {
		if p := compare.Pairs([]record.Mark{ding}, []record.Mark{other}, drawing(t), drawing(t)); len(p) != 2 {
			t.Errorf("%s: paired %+v", name, p)
		}
	}
}

// TestLost: why a mark is not listed any more.
func TestLost(t *testing.T) {
	d := drawing(t)
	m := record.Mark{Number: 1, Kind: "chip", On: []record.Place{{Side: "front", Region: "front/body", Shape: record.PointShape, Points: []record.Point{xy(70, 735)}}}}
	before := compare.Look{Record: &record.Record{Parts: []record.Part{{ID: record.FrontFinish, State: record.Original, Inspected: true}}}, Drawing: d}
	for _, c := range []struct {
		is   record.Part
		want compare.Fate
	}{
		{record.Part{ID: record.FrontFinish, State: record.Original, Inspected: true}, compare.NotListed},
		{record.Part{ID: record.FrontFinish, State: record.Refinished, Inspected: true}, compare.GoneWith},
		{record.Part{ID: record.FrontFinish, State: record.NotSeen}, compare.NotSeen},
		{record.Part{ID: record.BackFinish, State: record.Refinished, Inspected: true}, compare.NotSeen},
	} {
		after := compare.Look{Record: &record.Record{Parts: []record.Part{c.is}}, Drawing: d}
		if got := compare.Lost(&m, before, after).Fate; got != c.want {
			t.Errorf("%+v: %s, want %s", c.is, got, c.want)
		}
	}
}

// TestPairsAreComplete: every mark is in one pair, and the order of the lists
// changes nothing.
func TestPairsAreComplete(t *testing.T) {
	draw := func(t *rapid.T, what string) []record.Mark {
		var out []record.Mark
		for i := range rapid.IntRange(0, 14).Draw(t, what) {
			x, y := rapid.Float64Range(-40, 40).Draw(t, "x"), rapid.Float64Range(600, 660).Draw(t, "y")
			pts := []record.Point{xy(x, y)}
			for k := range rapid.IntRange(0, 3).Draw(t, "points") {
				pts = append(pts, xy(x+float64(7*k), y+float64(11*(k%2))))
			}
			out = append(out, record.Mark{Number: i + 1, Kind: rapid.SampledFrom([]record.Kind{"ding", "dent", "scratch", "repaired crack", "closed crack"}).Draw(t, "kind"), On: at("front", pts...), Length: mm(1 + x*x/100)})
		}
		return out
	}
	words := func(pairs []compare.Pair, a, b []record.Mark) string {
		var out []string
		for _, p := range pairs {
			x, y := "-", "-"
			if p.Earlier >= 0 {
				x = fmt.Sprint(a[p.Earlier].Number)
			}
			if p.Later >= 0 {
				y = fmt.Sprint(b[p.Later].Number)
			}
			out = append(out, x+":"+y)
		}
		slices.Sort(out)
		return strings.Join(out, " ")
	}
	rapid.Check(t, func(t *rapid.T) {
		a, b := draw(t, "earlier"), draw(t, "later")
		pairs := compare.Pairs(a, b, nil, nil)
		seenA, seenB := map[int]int{}, map[int]int{}
		for _, p := range pairs {
			seenA[p.Earlier]++
			seenB[p.Later]++
		}
		for i := range a {
			if seenA[i] != 1 {
				t.Errorf("earlier mark %d is in %d pairs", i, seenA[i])
			}
		}
		for i := range b {
			if seenB[i] != 1 {
				t.Errorf("later mark %d is in %d pairs", i, seenB[i])
			}
		}
		turned := slices.Clone(b)
		slices.Reverse(turned)
		if got, want := words(compare.Pairs(a, turned, nil, nil), a, turned), words(pairs, a, b); got != want {
			t.Errorf("in another order %s, before %s", got, want)
		}
	})
}

func TestParts(t *testing.T) {
	part := func(id record.PartID, s record.State) *record.Record {
		return &record.Record{Parts: []record.Part{{ID: id, State: s}}}
	}
	for _, c := range []struct {
		id      record.PartID
		was, is record.State
		want    compare.PartVerdict
	}{
		{record.Tuners, record.Original, record.LaterReplacement, compare.Changed},
		{record.Tuners, record.LaterReplacement, record.Original, compare.Undone},
		{record.FrontFinish, record.Refinished, record.Original, compare.Cannot},
		{record.Neck, record.Refinished, record.Original, compare.Cannot},
		{record.Nut, "", record.PeriodReplacement, compare.Learnt},
		{record.Nut, record.PeriodReplacement, record.LaterReplacement, compare.Differing},
	} {
		got := compare.Parts(part(c.id, c.was), part(c.id, c.is))
		if len(got) != 1 || got[0].Verdict != c.want {
			t.Errorf("%s, %q then %q: %+v", c.id, c.was, c.is, got)
		}
	}
	if got := compare.Parts(part(record.Nut, record.Original), part(record.Nut, record.NotSeen)); len(got) > 0 {
		t.Errorf("not seen later: %+v", got)
	}
}

func TestFacts(t *testing.T) {
	a := record.Instrument{Maker: "Halden & Rowe", Serial: "L-41873", Mass: 3.42, ScaleLength: 648, Frets: 22}
	b := a
	b.Serial, b.Mass, b.ScaleLength = "l 41873", 3.5, 647
	if got := compare.Facts(&a, &b); len(got) > 0 {
		t.Errorf("the same within measuring: %q", got)
	}
	b.Serial, b.Mass, b.Frets, b.LeftHanded = "41878", 3.9, 21, true
	want := []string{"serial number “L-41873”, then “41878”", "hand “right”, then “left”", "number of frets 22, then 21", "weight 3.42, then 3.9 kg"}
	if got := compare.Facts(&a, &b); !slices.Equal(got, want) {
		t.Errorf("%q", got)
	}
}
