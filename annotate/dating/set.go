package dating

import (
	"fmt"
	"slices"
)

// Range is weeks from From to To, both included. A zero From or To leaves that
// end open.
type Range struct {
	From Week `json:"from,omitzero"`
	To   Week `json:"to,omitzero"`
}

// Years is the range of whole years from one to another; 0 leaves an end open.
func Years(from, to int) Range {
	var r Range
	if from != 0 {
		r.From = Week{from, 1}
	}
	if to != 0 {
		r.To = Week{to, slots}
	}
	return r
}

// Set is the weeks that something allows: ranges in order that neither overlap
// nor touch. The empty Set allows nothing; All allows every week.
type Set []Range

// All is every week.
func All() Set { return Set{{}} }

// Of is the set of some ranges, whatever their order; a range that ends before
// it begins adds nothing.
func Of(rs ...Range) Set {
	var in Set
	for _, r := range rs {
		if r.From.IsZero() || r.To.IsZero() || r.From.Compare(r.To) <= 0 {
			in = append(in, r)
		}
	}
	slices.SortStableFunc(in, func(a, b Range) int { return from(a) - from(b) })
	var out Set
	for _, r := range in {
		if n := len(out); n > 0 && from(r) <= to(out[n-1])+1 {
			if to(r) > to(out[n-1]) {
				out[n-1].To = r.To
			}
			continue
		}
		out = append(out, r)
	}
	return out
}

// Open ends are ordered far outside every year of four digits.
const farAway = 1 << 30

func from(r Range) int {
	if r.From.IsZero() {
		return -farAway
	}
	return r.From.index()
}

func to(r Range) int {
	if r.To.IsZero() {
		return farAway
	}
	return r.To.index()
}

// IsAll says whether every week is allowed.
func (s Set) IsAll() bool { return len(s) == 1 && s[0] == Range{} }

// Has says whether a week is allowed.
func (s Set) Has(w Week) bool {
	i := w.index()
	return slices.ContainsFunc(s, func(r Range) bool { return from(r) <= i && i <= to(r) })
}

// And is what both sets allow.
func (s Set) And(o Set) Set {
	var out Set
	for i, j := 0, 0; i < len(s) && j < len(o); {
		a, b := s[i], o[j]
		lo, hi := a, a
		if from(b) > from(a) {
			lo = b
		}
		if to(b) < to(a) {
			hi = b
		}
		if from(lo) <= to(hi) {
			out = append(out, Range{lo.From, hi.To})
		}
		if to(a) < to(b) {
			i++
		} else {
			j++
		}
	}
	return out
}

// Or is what either set allows.
func (s Set) Or(o Set) Set { return Of(append(slices.Clone(s), o...)...) }

// Within says whether o allows everything that s allows.
func (s Set) Within(o Set) bool { return slices.Equal(s.And(o), s) }

// First is the earliest week, zero for an open end; s must allow something.
func (s Set) First() Week { return s[0].From }

// Last is the latest week, zero for an open end; s must allow something.
func (s Set) Last() Week { return s[len(s)-1].To }

// Words says what is allowed: "1974 or later", "week 34 of 1966 to 1975",
// "1956 or 1966", "any year", "no year".
func (s Set) Words() string {
	if len(s) == 0 {
		return "no year"
	}
	var out []string
	for _, r := range s {
		out = append(out, r.Words())
	}
	return either(out)
}

// Words says what the range holds; weeks are named where an end is not that of
// a year.
func (r Range) Words() string {
	lo, hi := startWords(r.From), endWords(r.To)
	switch {
	case lo == "" && hi == "":
		return "any year"
	case hi == "":
		return lo + " or later"
	case lo == "":
		return hi + " or earlier"
	case r.From == r.To:
		return r.From.Words()
	case lo == hi:
		return lo
	case r.From.Year == r.To.Year && r.To.Week == slots:
		return fmt.Sprintf("%d from week %d on", r.From.Year, r.From.Week)
	case r.From.Year == r.To.Year && r.From.Week == 1:
		return fmt.Sprintf("%d up to week %d", r.From.Year, r.To.Week)
	}
	return lo + " to " + hi
}

func startWords(w Week) string {
	switch {
	case w.IsZero():
		return ""
	case w.Week == 1:
		return fmt.Sprint(w.Year)
	}
	return w.Words()
}

func endWords(w Week) string {
	switch {
	case w.IsZero():
		return ""
	case w.Week == slots:
		return fmt.Sprint(w.Year)
	}
	return w.Words()
}
