package archive

import (
	"fmt"
	"math"
	"slices"
	"strings"
)

// orderedList is a whole list in its order, kept for the next page of it.
type orderedList struct {
	generation int64
	query      string
	seqs       []int64
}

// longPage is the length of a list from which on it is kept for the next page.
const longPage = 2000

// page gives the lines of a page of what answers a query, and whether there is
// more behind it.
func (r *reading) page(q *Query, from, most int) ([]int64, bool, error) {
	key := fmt.Sprintf("%+v", *q)
	if from > 0 {
		r.x.mu.Lock()
		o := r.x.order
		r.x.mu.Unlock()
		if o != nil && o.generation == r.generation && o.query == key {
			list, more := cut(o.seqs, from, most)
			return list, more, nil
		}
	}
	sets, err := r.answers(q)
	if err != nil {
		return nil, false, err
	}
	total := 0
	for _, s := range sets {
		total += s.count()
	}
	need := min(total, from+min(most, math.MaxInt-from-1)+1)
	if from > 0 || need > longPage {
		need = total
	}
	list, err := r.inOrder(q, sets, need)
	if err != nil {
		return nil, false, err
	}
	if need == total && total > longPage {
		r.x.mu.Lock()
		r.x.order = &orderedList{r.generation, key, list}
		r.x.mu.Unlock()
	}
	list, more := cut(list, from, most)
	return list, more, nil
}

func cut(list []int64, from, most int) ([]int64, bool) {
	list = list[min(from, len(list)):]
	return list[:min(most, len(list))], len(list) > most
}

// inOrder gives the first of what answers, in the order asked for.
func (r *reading) inOrder(q *Query, sets []bitset, most int) ([]int64, error) {
	if most == 0 {
		return nil, nil
	}
	if q.sort == "filed" {
		return r.asFiled(sets, q.down, most)
	}
	number := fieldOf[sorts[q.sort]]
	var heads []*head
	for i, h := range r.segments {
		if sets[i].empty() {
			continue
		}
		c, err := h.column(r, number)
		if err != nil {
			return nil, err
		}
		docs, err := h.lines(r.tx)
		if err != nil {
			return nil, err
		}
		n := &head{heldSegment: h, docs: docs, col: c, field: segmentFields[number], keys: leastKeys(c, sets[i], most, q.down), down: q.down}
		n.look(true)
		heads = append(heads, n)
	}
	if q.down {
		slices.Reverse(heads) // so that of what is alike, the head that comes first goes first
	}
	out := make([]int64, 0, most)
	for len(out) < most && len(heads) > 0 {
		best := 0
		for i := 1; i < len(heads); i++ {
			if c := strings.Compare(heads[i].key, heads[best].key); (c < 0 && !q.down) || (c > 0 && q.down) {
				best = i
			}
		}
		h := heads[best]
		out = append(out, h.seq())
		if !h.next() {
			heads = slices.Delete(heads, best, best+1)
		}
	}
	return out, nil
}

// head goes along what one segment has, in order.
type head struct {
	heldSegment
	docs  []uint32
	col   *column
	field field
	keys  []uint64
	at    int
	down  bool
	key   string // what the report at hand is sorted by
}

// now is the rank and place of the report at hand.
func (h *head) now() uint64 {
	if h.down {
		return ^h.keys[h.at]
	}
	return h.keys[h.at]
}

func (h *head) seq() int64 { return h.lo + int64(h.docs[uint32(h.now())]) }

func (h *head) look(changed bool) {
	if changed {
		h.key = h.field.sortKey(h.col.value(h.col.id(uint32(h.now()))))
	}
}

func (h *head) next() bool {
	last := h.now() >> 32
	if h.at++; h.at == len(h.keys) {
		return false
	}
	h.look(h.now()>>32 != last)
	return true
}

// sortKey is what a value is sorted by; where values are in the order of their
// bytes, itself.
func (f field) sortKey(value string) string {
	if f.sorted {
		return value
	}
	return f.keyOf(value)
}

// leastKeys are the reports that come first, as the rank of their value and, in
// the lower half, their place; both turned round for the other direction.
func leastKeys(c *column, of bitset, most int, down bool) []uint64 {
	most = min(most, of.count())
	room := max(2*most, 4096)
	keys := make([]uint64, 0, min(room, of.count()))
	under := uint64(math.MaxUint64)
	of.each(func(d uint32) bool {
		k := uint64(c.rankOf(c.id(d)))<<32 | uint64(d)
		if down {
			k = ^k
		}
		if k > under {
			return true
		}
		if keys = append(keys, k); len(keys) == room {
			slices.Sort(keys)
			keys = keys[:most]
			under = keys[most-1]
		}
		return true
	})
	slices.Sort(keys)
	return keys[:min(most, len(keys))]
}

// asFiled gives the first of what answers in the order of the log.
func (r *reading) asFiled(sets []bitset, down bool, most int) ([]int64, error) {
	out := make([]int64, 0, most)
	for i := range r.segments {
		if down {
			i = len(r.segments) - 1 - i
		}
		if sets[i].empty() {
			continue
		}
		h := r.segments[i]
		docs, err := h.lines(r.tx)
		if err != nil {
			return nil, err
		}
		each := sets[i].each
		if down {
			each = sets[i].eachDown
		}
		each(func(d uint32) bool {
			out = append(out, h.lo+int64(docs[d]))
			return len(out) < most
		})
		if len(out) == most {
			break
		}
	}
	return out, nil
}
