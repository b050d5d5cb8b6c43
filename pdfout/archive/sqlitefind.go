package archive

import (
	"database/sql"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"strings"
	"time"
)

func stamp(t time.Time) string { return t.UTC().Format("2006-01-02T15:04:05.000Z") }

func (x *sqlite) Filed(hash string) (*Row, error) {
	rows, err := readRows(x.reads.Query(`SELECT seq, hash, first, doc FROM report WHERE hash = ?`, packed(hash)))
	if err != nil || len(rows) == 0 {
		return nil, err
	}
	return &rows[0], nil
}

func (x *sqlite) Refused(hash string) (bool, error) {
	var n int
	err := x.reads.QueryRow(`SELECT 1 FROM refused WHERE hash = ?`, hash).Scan(&n)
	if errors.Is(err, sql.ErrNoRows) {
		return false, nil
	}
	if err != nil {
		return false, unusable(err)
	}
	return true, nil
}

func (x *sqlite) Versions(first string) ([]Row, error) {
	return readRows(x.reads.Query(`SELECT seq, hash, first, doc FROM report WHERE first = ? ORDER BY seq`, packed(first)))
}

func (x *sqlite) Find(q *Query, from, most int) (*Found, error) {
	out := &Found{}
	err := x.read(func(r *reading) error {
		list, more, err := r.page(q, max(0, from), max(0, most))
		if err != nil {
			return err
		}
		out.More = more
		out.Rows, err = r.rows(list)
		return err
	})
	if err != nil {
		return nil, err
	}
	return out, nil
}

// rowsAtOnce is how many rows are asked for at once.
const rowsAtOnce = 500

// rows reads the rows of lines, in this order.
func (r *reading) rows(list []int64) ([]Row, error) {
	out := make([]Row, 0, len(list))
	for len(list) > 0 {
		part := list[:min(len(list), rowsAtOnce)]
		list = list[len(part):]
		args := make([]any, len(part))
		for i, seq := range part {
			args[i] = seq
		}
		rows, err := readRows(r.tx.Query(`SELECT seq, hash, first, doc FROM report WHERE seq IN (?`+strings.Repeat(",?", len(part)-1)+`)`, args...))
		if err != nil {
			return nil, err
		}
		at := make(map[int64]*Row, len(rows))
		for i := range rows {
			at[rows[i].Seq] = &rows[i]
		}
		for _, seq := range part {
			row := at[seq]
			if row == nil {
				return nil, unusable(fmt.Errorf("the report of line %d has no row", seq))
			}
			out = append(out, *row)
		}
	}
	return out, nil
}

func readRows(rows *sql.Rows, err error) ([]Row, error) {
	if err != nil {
		return nil, unusable(err)
	}
	defer rows.Close()
	out := []Row{}
	for rows.Next() {
		var seq int64
		var hash, first, doc sql.RawBytes
		var r Row
		if err := rows.Scan(&seq, &hash, &first, &doc); err != nil {
			return nil, unusable(err)
		}
		if err := json.Unmarshal(doc, &r); err != nil {
			return nil, unusable(err)
		}
		r.Seq, r.Hash, r.First = seq, unpacked(hash), unpacked(first)
		out = append(out, r)
	}
	if err := rows.Err(); err != nil {
		return nil, unusable(err)
	}
	return out, nil
}

// unpacked is what packed was made of; no text of 32 bytes is ever packed, as
// every hash is longer.
func unpacked(b []byte) string {
	if len(b) == 32 {
		return hex.EncodeToString(b)
	}
	return string(b)
}

// check goes through all segments.
func (r *reading) check() error {
	for _, h := range r.segments {
		if _, err := h.lines(r.tx); err != nil {
			return err
		}
		for number := range segmentFields {
			if _, err := readColumn(r.tx, h.id, number, h.n); err != nil {
				return err
			}
		}
		set := newBitset(h.n)
		if err := h.terms(r.tx, "", func(_ int64, t *blockReader) (bool, error) { return true, t.or(set, h.n) }); err != nil {
			return unusable(err)
		}
	}
	return nil
}
