package dating

import (
	"slices"
	"testing"

	"pgregory.net/rapid"
)

// drawSet draws up to three ranges of a few years, some open, so that sets
// touch and overlap often.
func drawSet(t *rapid.T, name string) Set {
	var rs []Range
	for range rapid.IntRange(1, 3).Draw(t, name) {
		a, b := rapid.IntRange(0, 12).Draw(t, "a"), rapid.IntRange(0, 12).Draw(t, "b")
		r := Range{From: Week{1970 + a/3, 1 + a%3*26}, To: Week{1970 + b/3, 1 + b%3*26}}
		switch rapid.IntRange(0, 5).Draw(t, "open") {
		case 0:
			r.From = Week{}
		case 1:
			r.To = Week{}
		}
		rs = append(rs, r)
	}
	return Of(rs...)
}

// sample is every week near what drawSet draws.
func sample() []Week {
	var out []Week
	for i := (Week{1968, 1}).index(); i <= (Week{1976, 53}).index(); i++ {
		out = append(out, weekAt(i))
	}
	return out
}

// Intersection and union are those of the weeks, one by one.
func TestSetsWeekByWeek(t *testing.T) {
	ws := sample()
	rapid.Check(t, func(t *rapid.T) {
		a, b := drawSet(t, "a"), drawSet(t, "b")
		and, or := a.And(b), a.Or(b)
		for _, w := range ws {
			if and.Has(w) != (a.Has(w) && b.Has(w)) {
				t.Fatalf("%v and %v: %v", a, b, w)
			}
			if or.Has(w) != (a.Has(w) || b.Has(w)) {
				t.Fatalf("%v or %v: %v", a, b, w)
			}
		}
		if !and.Within(a) || !and.Within(b) || !a.Within(or) || !slices.Equal(a.And(All()), a) {
			t.Fatalf("%v, %v: and %v, or %v", a, b, and, or)
		}
		for _, s := range []Set{a, and, or} {
			for i := 1; i < len(s); i++ {
				if from(s[i]) <= to(s[i-1])+1 {
					t.Fatalf("%v has ranges that touch", s)
				}
			}
		}
	})
}

func TestSetWords(t *testing.T) {
	for _, c := range []struct {
		set  Set
		want string
	}{
		{nil, "no year"},
		{All(), "any year"},
		{Of(Years(1974, 0)), "1974 or later"},
		{Of(Years(0, 1974)), "1974 or earlier"},
		{Of(Years(1974, 1974)), "1974"},
		{Of(Years(1974, 1976)), "1974 to 1976"},
		{Of(Years(1974, 1974), Years(1976, 1976)), "1974 or 1976"},
		{Of(Years(1974, 1974), Years(1975, 1976)), "1974 to 1976"},
		{Of(Range{Week{1966, 34}, Week{}}), "week 34 of 1966 or later"},
		{Of(Range{Week{1966, 34}, Week{1966, 34}}), "week 34 of 1966"},
		{Of(Range{Week{1966, 34}, Week{1966, 53}}), "1966 from week 34 on"},
		{Of(Range{Week{1966, 1}, Week{1966, 34}}), "1966 up to week 34"},
		{Of(Range{Week{1966, 34}, Week{1968, 53}}), "week 34 of 1966 to 1968"},
		{Of(Years(1976, 1974)), "no year"},
	} {
		if got := c.set.Words(); got != c.want {
			t.Errorf("%v: %q, want %q", c.set, got, c.want)
		}
	}
}

// exhaustive is every smallest set of two or more that leaves nothing, by trying
// all.
func exhaustive(sets []Set) [][]int {
	var out [][]int
	n := len(sets)
	left := func(mask int) Set {
		s := All()
		for i := range n {
			if mask&(1<<i) != 0 {
				s = s.And(sets[i])
			}
		}
		return s
	}
	for mask := 1; mask < 1<<n; mask++ {
		if len(left(mask)) > 0 {
			continue
		}
		smallest := true
		var idx []int
		for i := range n {
			if mask&(1<<i) != 0 {
				idx = append(idx, i)
				smallest = smallest && len(left(mask&^(1<<i))) > 0
			}
		}
		if smallest {
			out = append(out, idx)
		}
	}
	return out
}

// The contradictions told are those that trying every combination finds.
func TestConflictsAgainstExhaustive(t *testing.T) {
	larger := 0
	rapid.Check(t, func(t *rapid.T) {
		var sets []Set
		for range rapid.IntRange(1, 7).Draw(t, "pieces") {
			if s := drawSet(t, "set"); len(s) > 0 {
				sets = append(sets, s)
			}
		}
		got, want := conflicts(sets), exhaustive(sets)
		want = slices.DeleteFunc(want, func(s []int) bool { return len(s) > mostTogether })
		for _, s := range want {
			if len(s) > 2 {
				larger++
			}
		}
		if len(want) == 0 && len(got) == 1 && len(got[0]) > mostTogether {
			return // found by dropping one by one
		}
		order := func(a, b []int) int { return slices.Compare(a, b) }
		slices.SortFunc(got, order)
		slices.SortFunc(want, order)
		if !slices.EqualFunc(got, want, slices.Equal[[]int]) {
			t.Fatalf("%v: %v, want %v", sets, got, want)
		}
	})
	if larger == 0 {
		t.Error("no contradiction of three or more was met; the test tries too little")
	}
}

// A contradiction that only five together make is still told.
func TestConflictOfMany(t *testing.T) {
	var sets []Set
	for i := range 6 { // each leaves out one year of six
		sets = append(sets, Of(Years(1970, 1970+i-1), Years(1970+i+1, 1975)))
	}
	got := conflicts(sets)
	if len(got) != 1 || len(got[0]) != 6 {
		t.Errorf("told as %v", got)
	}
}
