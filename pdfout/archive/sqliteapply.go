package archive

import (
	"database/sql"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
)

// packed is a SHA-256 in hex as 32 bytes; anything else as it is.
func packed(s string) any {
	if b, err := hex.DecodeString(s); err == nil && len(b) == 32 && hex.EncodeToString(b) == s {
		return b
	}
	return s
}

func (x *sqlite) Apply(events []Event, at Position) error {
	return x.change(func(tx *sql.Tx) error {
		new := newSegmentBuilder()
		insert, err := tx.Prepare(`INSERT INTO report (seq, hash, first, doc) VALUES (?, ?, ?, ?)`)
		if err != nil {
			return err
		}
		defer insert.Close()
		for _, e := range events {
			var err error
			switch {
			case e.Kind == Filed && e.Row != nil:
				if err = insertRow(insert, e.Row); err == nil {
					new.add(e.Row)
				}
			case e.Kind == Rejected:
				_, err = tx.Exec(`INSERT INTO refused (hash, seq) VALUES (?, ?) ON CONFLICT (hash) DO NOTHING`, e.File, e.Seq)
			}
			if err == nil && e.Kind.note() {
				err = note(tx, e.Entry)
			}
			if err != nil {
				return err
			}
		}
		if err := addSegment(tx, new); err != nil {
			return err
		}
		return position(tx, at)
	})
}

// addSegment writes a segment and makes larger ones of small ones.
func addSegment(tx *sql.Tx, new *segmentBuilder) error {
	s, err := loadState(tx, 0, nil)
	if err != nil {
		return err
	}
	if len(new.docs) > 0 {
		if n := len(s.segments); n > 0 {
			var hi int64
			if err := tx.QueryRow(`SELECT hi FROM segment WHERE id = ?`, s.segments[n-1].id).Scan(&hi); err != nil {
				return err
			}
			if new.lo <= hi {
				return fmt.Errorf("line %d of the log comes behind line %d", new.lo, hi)
			}
		}
		to, err := newSegmentSink(tx, len(new.docs))
		if err != nil {
			return err
		}
		if err := new.write(to); err != nil {
			return err
		}
		if s, err = loadState(tx, 0, nil); err != nil {
			return err
		}
	}
	return merge(tx, s)
}

func insertRow(into *sql.Stmt, r *Row) error {
	short := *r // both stand in columns
	short.Hash, short.First = "", ""
	doc, err := json.Marshal(short)
	if err != nil {
		return err
	}
	_, err = into.Exec(r.Seq, packed(r.Hash), packed(r.First), string(doc))
	return err
}

// note keeps a line as it is; one of a removal takes the report out as well.
func note(tx *sql.Tx, e Entry) error {
	line, err := json.Marshal(e)
	if err != nil {
		return err
	}
	if _, err := tx.Exec(`INSERT INTO note (seq, kind, line) VALUES (?, ?, ?)`, e.Seq, string(e.Kind), string(line)); err != nil || e.Kind != Removed {
		return err
	}
	var seq int64
	err = tx.QueryRow(`DELETE FROM report WHERE hash = ? RETURNING seq`, packed(e.File)).Scan(&seq)
	if errors.Is(err, sql.ErrNoRows) {
		_, err = tx.Exec(`DELETE FROM refused WHERE hash = ?`, e.File)
		return err
	}
	if err != nil {
		return err
	}
	_, err = tx.Exec(`INSERT INTO gone (seq) VALUES (?)`, seq)
	return err
}
