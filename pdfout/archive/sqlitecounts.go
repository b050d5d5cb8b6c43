package archive

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"
	"strings"
)

// countedBy are the columns that Counts groups by.
var countedBy = map[string]string{"maker": "maker", "model": "model", "class": "class", "year": "year", "serial": "serial", "date": "date", "condition": "class6",
	"purpose": "purpose", "examiner": "examiner", "shop": "shop", "key": "keyprint", "verdict": "verdict"}

func (x *sqlite) Counts(q *Query, field string) ([]Count, error) {
	column, of := countedBy[field], map[string]byte{"kind": termKind, "part": termPart}[field]
	if column == "" && of == 0 {
		return nil, fmt.Errorf("reports cannot be counted by %q; by %s", field, strings.Join(CountFields(), ", "))
	}
	var out []Count
	err := x.read(func(r *reading) error {
		sets, err := r.answers(q)
		if err != nil {
			return err
		}
		if of != 0 {
			out, err = r.countTerms(sets, of)
		} else {
			out, err = r.countColumn(sets, fieldOf[column])
		}
		return err
	})
	if err != nil {
		return nil, err
	}
	// They are in the order of the values already, which a stable sort keeps.
	byNumber := func(a, b Count) int { return cmp.Compare(b.N, a.N) }
	if !slices.IsSortedFunc(out, byNumber) {
		slices.SortStableFunc(out, byNumber)
	}
	return out, nil
}

func (r *reading) countColumn(sets []bitset, number int) ([]Count, error) {
	var lists [][]Count
	for i, h := range r.segments {
		if sets[i].empty() {
			continue
		}
		c, err := h.column(r, number)
		if err != nil {
			return nil, err
		}
		counts := make([]uint32, c.values())
		c.tally(sets[i], counts)
		lists = append(lists, counted(c, counts))
	}
	out := joinCounts(lists)
	if segmentFields[number].name == "class6" {
		for i := range out {
			out[i].Value = strconv.FormatInt(intOf(out[i].Value), 10)
		}
	}
	return out, nil
}

// counted are the values that are there at all, in their order.
func counted(c *column, counts []uint32) []Count {
	there := 0
	for _, n := range counts {
		if n > 0 {
			there++
		}
	}
	list := make([]Count, 0, there)
	for id, n := range counts {
		if n > 0 {
			list = append(list, Count{c.value(uint32(id)), int(n)})
		}
	}
	return list
}

// joinCounts adds up lists in the order of their values, the short ones first,
// so that long ones are gone through but once or twice.
func joinCounts(lists [][]Count) []Count {
	if len(lists) == 0 {
		return []Count{}
	}
	for len(lists) > 1 {
		slices.SortFunc(lists, func(a, b []Count) int { return cmp.Compare(len(b), len(a)) })
		last := len(lists) - 1
		lists[last-1] = joinTwo(lists[last-1], lists[last])
		lists = lists[:last]
	}
	return lists[0]
}

func joinTwo(a, b []Count) []Count {
	out := make([]Count, 0, len(a)+len(b))
	for len(a) > 0 && len(b) > 0 {
		switch c := strings.Compare(a[0].Value, b[0].Value); {
		case c < 0:
			out, a = append(out, a[0]), a[1:]
		case c > 0:
			out, b = append(out, b[0]), b[1:]
		default:
			out, a, b = append(out, Count{a[0].Value, a[0].N + b[0].N}), a[1:], b[1:]
		}
	}
	return append(append(out, a...), b...)
}

func (r *reading) countTerms(sets []bitset, of byte) ([]Count, error) {
	n := map[string]int{}
	for i, h := range r.segments {
		if sets[i].empty() {
			continue
		}
		in := newBitset(h.n)
		err := h.beginning(r.tx, string(of), func(t *blockReader) error {
			clear(in)
			if err := t.or(in, h.n); err != nil {
				return err
			}
			if c := in.countAnd(sets[i]); c > 0 {
				n[strings.Replace(string(t.term[1:]), "\x00", "=", 1)] += c
			}
			return nil
		})
		if err != nil {
			return nil, unusable(err)
		}
	}
	out := make([]Count, 0, len(n))
	for v, c := range n {
		out = append(out, Count{v, c})
	}
	slices.SortFunc(out, func(a, b Count) int { return strings.Compare(a.Value, b.Value) })
	return out, nil
}
