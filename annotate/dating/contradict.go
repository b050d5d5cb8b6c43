package dating

import "slices"

// The search for sets of pieces that cannot stand together is bounded: sets of
// up to mostTogether pieces are tried, up to mostSets are told.
const (
	mostTogether = 4
	mostSets     = 60
	mostTries    = 300_000
)

// conflicts finds the smallest sets of pieces that leave no week: each is
// returned as indexes into sets, ascending; a set of which a part already leaves
// none is not told. Empty sets are passed over by the caller.
//
// Among ranges without gaps a pair is enough (Helly's theorem on a line: ranges
// that meet two by two meet in one point). Codes with an unknown decade and
// doubled serial ranges have gaps, so larger sets are tried too; in one of three
// or more at least one piece has gaps, and at most two have none, since of
// ranges only the latest beginning and the earliest end matter.
func conflicts(sets []Set) [][]int {
	all := All()
	for _, s := range sets {
		all = all.And(s)
	}
	if len(all) > 0 {
		return nil
	}
	f := &finder{sets: sets}
	for size := 2; size <= mostTogether && len(f.found) < mostSets; size++ {
		f.size = size
		f.extend(nil, All(), 0, 0)
	}
	if len(f.found) == 0 {
		f.found = append(f.found, shrink(sets))
	}
	return f.found
}

type finder struct {
	sets  []Set
	size  int
	tries int
	found [][]int
}

// extend adds pieces from next on to a set that still leaves weeks.
func (f *finder) extend(have []int, left Set, plain, next int) {
	for i := next; i < len(f.sets); i++ {
		if f.tries++; f.tries > mostTries || len(f.found) >= mostSets {
			return
		}
		n := plain
		if len(f.sets[i]) == 1 {
			n++
		}
		if f.size > 2 && n > 2 {
			continue
		}
		and := left.And(f.sets[i])
		set := append(slices.Clone(have), i)
		switch {
		case len(set) < f.size && len(and) > 0:
			f.extend(set, and, n, i+1)
		case len(set) == f.size && len(and) == 0 && f.smallest(set):
			f.found = append(f.found, set)
		}
	}
}

// smallest says whether no set found before is part of this one.
func (f *finder) smallest(set []int) bool {
	return !slices.ContainsFunc(f.found, func(g []int) bool {
		return !slices.ContainsFunc(g, func(i int) bool { return !slices.Contains(set, i) })
	})
}

// shrink drops pieces from the whole as long as nothing is left without them:
// one smallest set, however large.
func shrink(sets []Set) []int {
	var keep []int
	for i := range sets {
		keep = append(keep, i)
	}
	for _, drop := range slices.Clone(keep) {
		without := slices.DeleteFunc(slices.Clone(keep), func(i int) bool { return i == drop })
		left := All()
		for _, i := range without {
			left = left.And(sets[i])
		}
		if len(left) == 0 {
			keep = without
		}
	}
	return keep
}
