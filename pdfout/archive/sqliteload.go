package archive

import (
	"context"
	"database/sql"
	"encoding/binary"
	"errors"
	"fmt"
	"sort"
	"sync"
)

// segment is one part of the index as it stands in the tables, with what was
// read of it. It never changes but for what was removed since.
type segment struct {
	id, lo int64
	n      int

	mu     sync.Mutex
	docs   []uint32 // the numbers of the lines, from lo on
	firsts []string // the first term of each block
	cols   [columnsPerSegment]*column
}

// heldSegment is a segment as one state of the index has it.
type heldSegment struct {
	*segment
	gone bitset // removed reports; nil where there are none
}

// state is the index at one moment: its segments in the order of their reports.
type state struct {
	generation int64
	segments   []heldSegment
}

// reading is a look at one state of the index, while nobody can change it.
type reading struct {
	*state
	x  *sqlite
	tx *sql.Tx
}

// read calls do with a look at the index as it stands.
func (x *sqlite) read(do func(*reading) error) error {
	tx, err := x.reads.BeginTx(context.Background(), nil)
	if err != nil {
		return unusable(err)
	}
	defer func() { _ = tx.Rollback() }() // nothing was changed
	s, err := x.stateOf(tx)
	if err != nil {
		return unusable(err)
	}
	return do(&reading{s, x, tx})
}

// stateOf is the state that a transaction sees; what was read of segments that
// are still there is kept.
func (x *sqlite) stateOf(tx *sql.Tx) (*state, error) {
	var generation int64
	if err := tx.QueryRow(`SELECT CAST(value AS INTEGER) FROM about WHERE name = 'generation'`).Scan(&generation); err != nil {
		return nil, err
	}
	x.mu.Lock()
	defer x.mu.Unlock()
	if x.state != nil && x.state.generation == generation {
		return x.state, nil
	}
	known := map[int64]*segment{}
	if x.state != nil {
		for _, s := range x.state.segments {
			known[s.id] = s.segment
		}
	}
	s, err := loadState(tx, generation, known)
	if err != nil {
		return nil, err
	}
	x.state, x.order = s, nil
	return s, nil
}

// maxSegment is more reports than any segment has: eight of fullSize, merged.
const maxSegment = 1 << 24

func loadState(tx *sql.Tx, generation int64, known map[int64]*segment) (*state, error) {
	out := &state{generation: generation}
	rows, err := tx.Query(`SELECT id, lo, n FROM segment ORDER BY lo`)
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	for rows.Next() {
		s := &segment{}
		if err := rows.Scan(&s.id, &s.lo, &s.n); err != nil {
			return nil, err
		}
		if s.n < 1 || s.n > maxSegment {
			return nil, errColumn
		}
		if k := known[s.id]; k != nil {
			s = k
		}
		out.segments = append(out.segments, heldSegment{segment: s})
	}
	if err := rows.Err(); err != nil {
		return nil, err
	}
	return out, out.loadGone(tx)
}

// loadGone reads what was removed of segments since they were written.
func (s *state) loadGone(tx *sql.Tx) error {
	rows, err := tx.Query(`SELECT seq FROM gone`)
	if err != nil {
		return err
	}
	var gone []int64
	for rows.Next() {
		var seq int64
		if err := rows.Scan(&seq); err != nil {
			return errors.Join(err, rows.Close())
		}
		gone = append(gone, seq)
	}
	if err := errors.Join(rows.Err(), rows.Close()); err != nil {
		return err
	}
	for _, seq := range gone {
		for i := range s.segments {
			h := &s.segments[i]
			doc, is, err := h.docOf(tx, seq)
			if err != nil {
				return err
			}
			if !is {
				continue
			}
			if h.gone == nil {
				h.gone = newBitset(h.n)
			}
			h.gone.set(doc)
		}
	}
	return nil
}

// docOf is the place of a line's report in the segment.
func (s *segment) docOf(tx *sql.Tx, seq int64) (uint32, bool, error) {
	if seq < s.lo {
		return 0, false, nil
	}
	docs, err := s.lines(tx)
	if err != nil {
		return 0, false, err
	}
	i := sort.Search(len(docs), func(i int) bool { return s.lo+int64(docs[i]) >= seq })
	return uint32(i), i < len(docs) && s.lo+int64(docs[i]) == seq, nil
}

// lines are the numbers of the reports' lines, from lo on.
func (s *segment) lines(tx *sql.Tx) ([]uint32, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.docs != nil {
		return s.docs, nil
	}
	var b []byte
	if err := tx.QueryRow(`SELECT docs FROM segment WHERE id = ?`, s.id).Scan(&b); err != nil {
		return nil, unusable(err)
	}
	docs := make([]uint32, 0, s.n)
	last := uint64(0)
	for len(b) > 0 {
		step, used := binary.Uvarint(b)
		if used <= 0 {
			return nil, unusable(errColumn)
		}
		last += step
		docs, b = append(docs, uint32(last)), b[used:]
	}
	if len(docs) != s.n {
		return nil, unusable(fmt.Errorf("segment %d has %d reports, not %d", s.id, len(docs), s.n))
	}
	s.docs = docs
	return docs, nil
}

// column reads a column, or gives it again.
func (s *segment) column(r *reading, number int) (*column, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if c := s.cols[number]; c != nil {
		return c, nil
	}
	c, err := readColumn(r.tx, s.id, number, s.n)
	if err != nil {
		return nil, err
	}
	s.cols[number] = c
	r.x.keep(c.size())
	return c, nil
}

func readColumn(tx *sql.Tx, id int64, number, n int) (*column, error) {
	var b []byte
	if err := tx.QueryRow(`SELECT data FROM segcolumn WHERE id = ?`, id*columnsPerSegment+int64(number)).Scan(&b); err != nil {
		return nil, unusable(err)
	}
	c, err := decodeColumn(b, n)
	if err != nil {
		return nil, unusable(err)
	}
	return c, nil
}

// maxKept bounds the columns kept in memory, in bytes; beyond, all are
// forgotten and read again as they are asked for.
const maxKept = 384 << 20

// keep counts what is kept in memory.
func (x *sqlite) keep(size int) {
	if x.kept.Add(int64(size)) < maxKept {
		return
	}
	x.kept.Store(0)
	go x.forget() // not here: the caller holds one of the segments
}

func (x *sqlite) forget() {
	x.mu.Lock()
	s := x.state
	x.mu.Unlock()
	if s == nil {
		return
	}
	for _, h := range s.segments {
		h.mu.Lock()
		clear(h.cols[:])
		h.mu.Unlock()
	}
}

// blocks gives the first terms of the segment's blocks.
func (s *segment) blocks(tx *sql.Tx) ([]string, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.firsts != nil {
		return s.firsts, nil
	}
	var b []byte
	if err := tx.QueryRow(`SELECT dir FROM segment WHERE id = ?`, s.id).Scan(&b); err != nil {
		return nil, unusable(err)
	}
	firsts := []string{}
	for len(b) > 0 {
		l, used := binary.Uvarint(b)
		if used <= 0 || l > uint64(len(b)-used) {
			return nil, unusable(errBlock)
		}
		firsts, b = append(firsts, string(b[used:used+int(l)])), b[used+int(l):]
	}
	s.firsts = firsts
	return firsts, nil
}

// terms visits the terms from one on, in their order, until visit says no; the
// block's number is given with each.
func (s *segment) terms(tx *sql.Tx, from string, visit func(block int64, t *blockReader) (bool, error)) error {
	firsts, err := s.blocks(tx)
	if err != nil {
		return err
	}
	i := sort.Search(len(firsts), func(i int) bool { return firsts[i] > from })
	for i = max(0, i-1); i < len(firsts); i++ {
		var b []byte
		id := s.id*blocksPerSegment + int64(i)
		if err := tx.QueryRow(`SELECT terms FROM segblock WHERE id = ?`, id).Scan(&b); err != nil {
			return unusable(err)
		}
		for t := readBlock(b); ; {
			more, err := t.next()
			if err != nil {
				return unusable(err)
			}
			if !more {
				break
			}
			if string(t.term) < from {
				continue
			}
			if on, err := visit(id, t); err != nil || !on {
				return err
			}
		}
	}
	return nil
}

// beginning visits the terms that begin so.
func (s *segment) beginning(tx *sql.Tx, begin string, visit func(t *blockReader) error) error {
	return s.terms(tx, begin, func(_ int64, t *blockReader) (bool, error) {
		if len(t.term) < len(begin) || string(t.term[:len(begin)]) != begin {
			return false, nil
		}
		return true, visit(t)
	})
}
