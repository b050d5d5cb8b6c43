package archive

import (
	"database/sql"
	"encoding/binary"
	"errors"
)

// segmentSink writes a new segment into the tables.
type segmentSink struct {
	tx     *sql.Tx
	id     int64
	blocks *blockWriter
	dir    []byte
	count  int64
}

// perSegment is how many columns, or blocks, a segment has at most.
const (
	columnsPerSegment = 1 << 6
	blocksPerSegment  = 1 << 20
)

func newSegmentSink(tx *sql.Tx, n int) (*segmentSink, error) {
	to := &segmentSink{tx: tx}
	if err := tx.QueryRow(`UPDATE about SET value = CAST(value AS INTEGER) + 1 WHERE name = 'segment' RETURNING CAST(value AS INTEGER)`).Scan(&to.id); err != nil {
		return nil, err
	}
	to.blocks = &blockWriter{n: n, flush: to.block}
	return to, nil
}

func (to *segmentSink) column(number int, values []string, ids []uint32) error {
	_, err := to.tx.Exec(`INSERT INTO segcolumn (id, data) VALUES (?, ?)`, to.id*columnsPerSegment+int64(number), encodeColumn(segmentFields[number], values, ids))
	return err
}

func (to *segmentSink) block(first string, terms, places []byte) error {
	if to.count == blocksPerSegment {
		return errors.New("a segment of the index has more words than it takes")
	}
	to.dir = append(binary.AppendUvarint(to.dir, uint64(len(first))), first...)
	_, err := to.tx.Exec(`INSERT INTO segblock (id, terms, places) VALUES (?, ?, ?)`, to.id*blocksPerSegment+to.count, terms, places)
	to.count++
	return err
}

// close writes the segment's own row: its reports by the numbers of their
// lines, from the first on.
func (to *segmentSink) close(lo int64, docs []uint32) error {
	if err := to.blocks.close(); err != nil {
		return err
	}
	var steps []byte
	last := uint32(0)
	for _, d := range docs {
		steps = binary.AppendUvarint(steps, uint64(d-last))
		last = d
	}
	_, err := to.tx.Exec(`INSERT INTO segment (id, lo, hi, n, docs, dir) VALUES (?, ?, ?, ?, ?, ?)`, to.id, lo, lo+int64(last), len(docs), steps, to.dir)
	return err
}

func dropSegment(tx *sql.Tx, id int64) error {
	if _, err := tx.Exec(`DELETE FROM segment WHERE id = ?`, id); err != nil {
		return err
	}
	if _, err := tx.Exec(`DELETE FROM segcolumn WHERE id >= ? AND id < ?`, id*columnsPerSegment, (id+1)*columnsPerSegment); err != nil {
		return err
	}
	_, err := tx.Exec(`DELETE FROM segblock WHERE id >= ? AND id < ?`, id*blocksPerSegment, (id+1)*blocksPerSegment)
	return err
}
