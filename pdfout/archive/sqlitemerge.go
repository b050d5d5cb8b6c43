package archive

import (
	"database/sql"
	"math/bits"
)

// Filing one report at a time makes many small segments; eight of a size are
// made one, so that a report is written again once for each power of eight.
const (
	mergeAt  = 8
	fullSize = 200_000 // reports of a segment that is mergedPart no further
)

// level is the size of a segment as a power of eight.
func level(n int) int { return (bits.Len(uint(n)) - 1) / 3 }

// merge makes one of the last segments where there are enough of a size, and
// writes those anew of which much was removed.
func merge(tx *sql.Tx, s *state) error {
	segments := s.segments
	for at := 0; at <= level(fullSize); at++ {
		from, same := len(segments), 0
		for from > 0 && segments[from-1].n < fullSize && level(segments[from-1].n) <= at {
			if from--; level(segments[from].n) == at {
				same++
			}
		}
		if same >= mergeAt {
			return mergeSegments(tx, segments[from:])
		}
	}
	for i, h := range segments {
		if h.gone != nil && h.gone.count() > 16+h.n/32 {
			return mergeSegments(tx, segments[i:i+1])
		}
	}
	return nil
}

// mergedPart says where the reports of a segment go in one made of several.
type mergedPart struct {
	heldSegment
	from uint32   // of the first
	to   []uint32 // of each, where some were removed; gonePlace for those
}

const gonePlace = ^uint32(0)

func (m *mergedPart) place(doc uint32) uint32 {
	if m.to == nil {
		return m.from + doc
	}
	return m.to[doc]
}

// mergeSegments writes neighbours as one, without what was removed.
func mergeSegments(tx *sql.Tx, parts []heldSegment) error {
	var list []*mergedPart
	var docs []uint32
	for _, h := range parts {
		lines, err := h.lines(tx)
		if err != nil {
			return err
		}
		m := &mergedPart{heldSegment: h, from: uint32(len(docs))}
		if h.gone != nil {
			m.to = make([]uint32, h.n)
		}
		for d, line := range lines {
			if m.to != nil {
				if m.to[d] = gonePlace; h.gone.has(uint32(d)) {
					if _, err := tx.Exec(`DELETE FROM gone WHERE seq = ?`, h.lo+int64(line)); err != nil {
						return err
					}
					continue
				}
				m.to[d] = uint32(len(docs))
			}
			docs = append(docs, uint32(h.lo-parts[0].lo)+line)
		}
		list = append(list, m)
	}
	if len(docs) > 0 {
		if err := writeMerged(tx, list, docs); err != nil {
			return err
		}
	}
	for _, m := range list {
		if err := dropSegment(tx, m.id); err != nil {
			return err
		}
	}
	return nil
}

func writeMerged(tx *sql.Tx, list []*mergedPart, docs []uint32) error {
	to, err := newSegmentSink(tx, len(docs))
	if err != nil {
		return err
	}
	for number := range segmentFields {
		values, ids, err := mergeColumn(tx, list, number, len(docs))
		if err != nil {
			return err
		}
		if err := to.column(number, values, ids); err != nil {
			return err
		}
	}
	if err := mergeTerms(tx, list, to); err != nil {
		return err
	}
	return to.close(list[0].lo, docs)
}

// mergeColumn makes one column of those of several segments.
func mergeColumn(tx *sql.Tx, list []*mergedPart, number, n int) ([]string, []uint32, error) {
	var cols []*column
	var used [][]bool
	for _, m := range list {
		c, err := readColumn(tx, m.id, number, m.n)
		if err != nil {
			return nil, nil, err
		}
		u := make([]bool, c.values())
		for d := range uint32(m.n) {
			u[c.id(d)] = u[c.id(d)] || m.place(d) != gonePlace
		}
		cols, used = append(cols, c), append(used, u)
	}
	values, ids := []string{}, make([]uint32, n)
	to := make([][]uint32, len(cols))
	next := make([]int, len(cols))
	for i, c := range cols {
		to[i] = make([]uint32, c.values())
	}
	for {
		least, any := "", false
		for i, c := range cols {
			for next[i] < c.values() && !used[i][next[i]] {
				next[i]++
			}
			if next[i] < c.values() {
				if v := c.value(uint32(next[i])); !any || v < least {
					least, any = v, true
				}
			}
		}
		if !any {
			break
		}
		for i, c := range cols {
			if next[i] < c.values() && c.value(uint32(next[i])) == least {
				to[i][next[i]] = uint32(len(values))
				next[i]++
			}
		}
		values = append(values, least)
	}
	for i, m := range list {
		for d := range uint32(m.n) {
			if p := m.place(d); p != gonePlace {
				ids[p] = to[i][cols[i].id(d)]
			}
		}
	}
	return values, ids, nil
}
