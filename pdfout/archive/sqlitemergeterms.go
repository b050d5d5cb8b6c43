package archive

import (
	"database/sql"
	"errors"
)

// termSource goes along all terms of a segment that is mergedPart.
type termSource struct {
	*mergedPart
	tx     *sql.Tx
	blocks int
	block  int
	b      *blockReader
	places []byte // of the block's terms from this one on
	ended  bool
}

func newTermSource(tx *sql.Tx, m *mergedPart) (*termSource, error) {
	firsts, err := m.heldSegment.blocks(tx)
	if err != nil {
		return nil, err
	}
	s := &termSource{mergedPart: m, tx: tx, blocks: len(firsts), b: readBlock(nil)}
	return s, s.next()
}

// next goes to the next term.
func (s *termSource) next() error {
	for {
		more, err := s.b.next()
		if more || err != nil {
			return err
		}
		if s.block == s.blocks {
			s.ended = true
			return nil
		}
		var terms []byte
		if err := s.tx.QueryRow(`SELECT terms, places FROM segblock WHERE id = ?`, s.id*blocksPerSegment+int64(s.block)).Scan(&terms, &s.places); err != nil {
			return err
		}
		s.b = readBlock(terms)
		s.block++
	}
}

// take appends the term's reports and places, as they are numbered after.
func (s *termSource) take(docs, scratch []uint32, places []byte) ([]uint32, []uint32, []byte, error) {
	mine, rest, err := cutPlaces(s.places)
	if err != nil {
		return docs, scratch, places, err
	}
	s.places = rest
	if scratch, err = s.b.docs(scratch[:0], s.n); err != nil {
		return docs, scratch, places, err
	}
	for _, d := range scratch {
		to := s.place(d)
		if to != gonePlace {
			docs = append(docs, to)
		}
		if s.to == nil || len(mine) == 0 {
			continue
		}
		rest, err := skipPlaces(mine)
		if err != nil {
			return docs, scratch, places, err
		}
		if to != gonePlace {
			places = append(places, mine[:len(mine)-len(rest)]...)
		}
		mine = rest
	}
	if s.to == nil {
		places = append(places, mine...)
	}
	return docs, scratch, places, s.next()
}

// mergeTerms writes the terms of several segments as those of one.
func mergeTerms(tx *sql.Tx, list []*mergedPart, to *segmentSink) error {
	var sources []*termSource
	for _, m := range list {
		s, err := newTermSource(tx, m)
		if err != nil {
			return err
		}
		sources = append(sources, s)
	}
	var docs, scratch []uint32
	var places []byte
	for {
		least, any := "", false
		for _, s := range sources {
			if !s.ended && (!any || string(s.b.term) < least) {
				least, any = string(s.b.term), true
			}
		}
		if !any {
			return nil
		}
		docs, places = docs[:0], places[:0]
		for _, s := range sources {
			if s.ended || string(s.b.term) != least {
				continue
			}
			var err error
			if docs, scratch, places, err = s.take(docs, scratch, places); err != nil {
				return errors.Join(errBlock, err)
			}
		}
		if len(docs) == 0 {
			continue
		}
		if err := to.blocks.add(least, docs, places); err != nil {
			return err
		}
	}
}
