package archive

import (
	"database/sql"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"net/url"
	"os"
	"path/filepath"
	"strconv"
	"strings"

	_ "modernc.org/sqlite" // the driver
)

// indexVersion is the version of the tables below.
const indexVersion = "2"

// The tables hold plain texts and numbers only, so that other databases take
// them as they are; the words are SQLite's own (FTS5). Times are RFC 3339 in
// UTC, so that they sort as texts.
const tables = `
CREATE TABLE about (name TEXT PRIMARY KEY, value TEXT NOT NULL);
CREATE TABLE report (
	seq BIGINT PRIMARY KEY, hash TEXT NOT NULL UNIQUE, first TEXT NOT NULL, filed TEXT NOT NULL, size BIGINT NOT NULL,
	number TEXT NOT NULL, maker TEXT NOT NULL, model TEXT NOT NULL, class TEXT NOT NULL, year TEXT NOT NULL,
	yearfrom INTEGER NOT NULL, yearto INTEGER NOT NULL, serial TEXT NOT NULL, serialkey TEXT NOT NULL, date TEXT NOT NULL, purpose TEXT NOT NULL,
	examiner TEXT NOT NULL, shop TEXT NOT NULL, cond DOUBLE PRECISION, class6 INTEGER NOT NULL,
	photos INTEGER NOT NULL, originals INTEGER NOT NULL, marks INTEGER NOT NULL,
	keyprint TEXT NOT NULL, keyname TEXT NOT NULL, verdict TEXT NOT NULL, countersigned INTEGER NOT NULL, stamped INTEGER NOT NULL,
	doc TEXT NOT NULL
);
CREATE INDEX report_first ON report (first, seq);
CREATE INDEX report_serial ON report (serialkey, seq);
CREATE INDEX report_number ON report (number, seq);
CREATE INDEX report_date ON report (date, seq);
CREATE INDEX report_filed ON report (filed);
CREATE INDEX report_cond ON report (cond, seq);
CREATE INDEX report_maker ON report (maker, seq);
CREATE INDEX report_years ON report (yearfrom, seq);
CREATE INDEX report_size ON report (size, seq);
CREATE INDEX report_key ON report (keyprint);
CREATE TABLE mark (seq BIGINT NOT NULL, kind TEXT NOT NULL);
CREATE INDEX mark_kind ON mark (kind, seq);
CREATE INDEX mark_seq ON mark (seq);
CREATE TABLE part (seq BIGINT NOT NULL, part TEXT NOT NULL, state TEXT NOT NULL);
CREATE INDEX part_state ON part (part, state, seq);
CREATE INDEX part_seq ON part (seq);
CREATE TABLE refused (hash TEXT PRIMARY KEY, seq BIGINT NOT NULL);
CREATE TABLE note (seq BIGINT PRIMARY KEY, kind TEXT NOT NULL, line TEXT NOT NULL);
CREATE VIRTUAL TABLE words USING fts5(maker, model, class, serial, examiner, shop, rest, content = '', contentless_delete = 1, tokenize = "unicode61 remove_diacritics 2", prefix = '2 3');
`

// sqlite is the index of one machine.
type sqlite struct {
	db       *sql.DB
	readOnly bool
}

// OpenSQLite opens the index at path, and makes an empty one where there is
// none; readOnly changes nothing and wants one that is there.
func OpenSQLite(path string, readOnly bool) (Index, error) {
	abs, err := filepath.Abs(path)
	if err != nil {
		return nil, fmt.Errorf("open index: %w", err)
	}
	_, err = os.Stat(abs)
	fresh := errors.Is(err, fs.ErrNotExist)
	if fresh && readOnly {
		return nil, fmt.Errorf("open index %s: %w", abs, ErrIndex)
	}
	q := "_pragma=busy_timeout(5000)&_pragma=synchronous(NORMAL)&_pragma=cache_size(-32000)&_txlock=immediate"
	if readOnly {
		q = "_pragma=busy_timeout(5000)&mode=ro"
	}
	u := url.URL{Scheme: "file", Path: filepath.ToSlash(abs), RawQuery: q}
	db, err := sql.Open("sqlite", u.String())
	if err != nil {
		return nil, fmt.Errorf("open index: %w", err)
	}
	db.SetMaxOpenConns(1)
	x := &sqlite{db, readOnly}
	if fresh {
		if err := x.Reset(); err != nil {
			return nil, errors.Join(err, db.Close())
		}
	}
	return x, nil
}

func (x *sqlite) Close() error { return x.db.Close() }

func unusable(err error) error { return fmt.Errorf("%w (%v)", ErrIndex, err) }

func (x *sqlite) At() (Position, error) {
	rows, err := x.db.Query(`SELECT name, value FROM about`)
	if err != nil {
		return Position{}, unusable(err)
	}
	defer rows.Close()
	about := map[string]string{}
	for rows.Next() {
		var k, v string
		if err := rows.Scan(&k, &v); err != nil {
			return Position{}, unusable(err)
		}
		about[k] = v
	}
	if err := rows.Err(); err != nil {
		return Position{}, unusable(err)
	}
	if about["version"] != indexVersion {
		return Position{}, unusable(fmt.Errorf("it is of version %q", about["version"]))
	}
	seq, err := strconv.ParseInt(about["seq"], 10, 64)
	end, err2 := strconv.ParseInt(about["end"], 10, 64)
	if err := errors.Join(err, err2); err != nil {
		return Position{}, unusable(err)
	}
	return Position{Head{seq, about["head"]}, end}, nil
}

func (x *sqlite) Reset() error {
	return x.change(func(tx *sql.Tx) error {
		for _, t := range []string{"words", "note", "refused", "part", "mark", "report", "about"} {
			if _, err := tx.Exec(`DROP TABLE IF EXISTS ` + t); err != nil {
				return err
			}
		}
		if _, err := tx.Exec(tables); err != nil {
			return err
		}
		return position(tx, Position{})
	})
}

func position(tx *sql.Tx, at Position) error {
	if _, err := tx.Exec(`DELETE FROM about`); err != nil {
		return err
	}
	_, err := tx.Exec(`INSERT INTO about (name, value) VALUES ('version', ?), ('seq', ?), ('head', ?), ('end', ?)`,
		indexVersion, strconv.FormatInt(at.Seq, 10), at.Hash, strconv.FormatInt(at.End, 10))
	return err
}

func (x *sqlite) change(do func(*sql.Tx) error) error {
	tx, err := x.db.Begin()
	if err != nil {
		return fmt.Errorf("change index: %w", err)
	}
	if err := do(tx); err != nil {
		return errors.Join(fmt.Errorf("change index: %w", err), tx.Rollback())
	}
	if err := tx.Commit(); err != nil {
		return fmt.Errorf("change index: %w", err)
	}
	return nil
}

func (x *sqlite) Apply(events []Event, at Position) error {
	return x.change(func(tx *sql.Tx) error {
		for _, e := range events {
			var err error
			switch {
			case e.Kind == Filed && e.Row != nil:
				err = insert(tx, e.Row)
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
		return position(tx, at)
	})
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
	err = tx.QueryRow(`SELECT seq FROM report WHERE hash = ?`, e.File).Scan(&seq)
	if errors.Is(err, sql.ErrNoRows) {
		_, err = tx.Exec(`DELETE FROM refused WHERE hash = ?`, e.File)
		return err
	}
	if err != nil {
		return err
	}
	for _, from := range []string{"words WHERE rowid", "part WHERE seq", "mark WHERE seq", "report WHERE seq"} {
		if _, err := tx.Exec(`DELETE FROM `+from+` = ?`, seq); err != nil {
			return err
		}
	}
	return nil
}

func insert(tx *sql.Tx, r *Row) error {
	doc, err := json.Marshal(r)
	if err != nil {
		return err
	}
	yesNo := map[bool]int{true: 1}
	_, err = tx.Exec(`INSERT INTO report (seq, hash, first, filed, size, number, maker, model, class, year, yearfrom, yearto, serial, serialkey, date, purpose,
		examiner, shop, cond, class6, photos, originals, marks, keyprint, keyname, verdict, countersigned, stamped, doc)
		VALUES (?,?,?,?,?,?,?,?,?,?,?,?,?,?,?,?,?,?,?,?,?,?,?,?,?,?,?,?,?)`,
		r.Seq, r.Hash, r.First, stamp(r.Filed), r.Size, r.Number, r.Maker, r.Model, r.Class, r.Year, r.YearFrom, r.YearTo, r.Serial, SerialKey(r.Serial), r.Date, fold(r.Purpose),
		r.Examiner, r.Shop, r.Index, r.Condition, r.Photos, r.Originals, len(r.Kinds), r.Key, r.KeyName, r.Verdict, yesNo[r.Countersigned], yesNo[r.Stamped], string(doc))
	if err != nil {
		return err
	}
	for _, k := range r.Kinds {
		if _, err := tx.Exec(`INSERT INTO mark (seq, kind) VALUES (?, ?)`, r.Seq, fold(k)); err != nil {
			return err
		}
	}
	for _, p := range r.Parts {
		if _, err := tx.Exec(`INSERT INTO part (seq, part, state) VALUES (?, ?, ?)`, r.Seq, fold(p.Part), fold(p.State)); err != nil {
			return err
		}
	}
	words := func(s string) string { return strings.Join(Words(s), " ") }
	_, err = tx.Exec(`INSERT INTO words (rowid, maker, model, class, serial, examiner, shop, rest) VALUES (?,?,?,?,?,?,?,?)`,
		r.Seq, words(r.Maker), words(r.Model), words(r.Class), SerialKey(r.Serial), words(r.Examiner), words(r.Shop), words(r.Words))
	return err
}

func (x *sqlite) Check() error {
	var sound string
	if err := x.db.QueryRow(`PRAGMA integrity_check(1)`).Scan(&sound); err != nil {
		return unusable(err)
	}
	if sound != "ok" {
		return unusable(errors.New(sound))
	}
	return nil
}
