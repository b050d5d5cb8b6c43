package archive

import (
	"database/sql"
	"errors"
	"fmt"
	"io/fs"
	"math/rand/v2"
	"net/url"
	"os"
	"path/filepath"
	"strconv"
	"sync"
	"sync/atomic"

	_ "modernc.org/sqlite" // the driver
)

// indexVersion is the version of the tables below.
const indexVersion = "3"

// Each report has a row with what lists show, as JSON. All that queries ask for
// stands in segments: of some thousand reports filed one after the other, their
// fields as columns (segcolumn) and the terms of their texts (segblock), both in
// blobs, as a database in rows cannot go through a million of them in time.
const tables = `
CREATE TABLE about (name TEXT PRIMARY KEY, value TEXT NOT NULL);
CREATE TABLE report (seq INTEGER PRIMARY KEY, hash BLOB NOT NULL, first BLOB NOT NULL, doc TEXT NOT NULL);
CREATE UNIQUE INDEX report_hash ON report (hash);
CREATE INDEX report_first ON report (first, seq);
CREATE TABLE refused (hash TEXT PRIMARY KEY, seq INTEGER NOT NULL);
CREATE TABLE note (seq INTEGER PRIMARY KEY, kind TEXT NOT NULL, line TEXT NOT NULL);
CREATE TABLE gone (seq INTEGER PRIMARY KEY);
CREATE TABLE segment (id INTEGER PRIMARY KEY, lo INTEGER NOT NULL, hi INTEGER NOT NULL, n INTEGER NOT NULL, docs BLOB NOT NULL, dir BLOB NOT NULL);
CREATE TABLE segcolumn (id INTEGER PRIMARY KEY, data BLOB NOT NULL);
CREATE TABLE segblock (id INTEGER PRIMARY KEY, terms BLOB NOT NULL, places BLOB NOT NULL);
`

// sqlite is the index of one machine.
type sqlite struct {
	db    *sql.DB // changes
	reads *sql.DB // looks

	mu    sync.Mutex
	state *state       // as last seen
	order *orderedList // the last long list that was asked for
	kept  atomic.Int64
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
	open := func(query string) *sql.DB {
		u := url.URL{Scheme: "file", Path: filepath.ToSlash(abs), RawQuery: query}
		db, openErr := sql.Open("sqlite", u.String())
		err = errors.Join(err, openErr)
		return db
	}
	err = nil
	x := &sqlite{}
	if !readOnly {
		x.db = open("_pragma=page_size(8192)&_pragma=busy_timeout(10000)&_pragma=synchronous(NORMAL)&_pragma=cache_size(-64000)&_pragma=secure_delete(FAST)&_txlock=immediate")
	}
	// Who looks waits while a large segment is being written.
	x.reads = open("_pragma=busy_timeout(60000)&_pragma=cache_size(-16000)&_pragma=query_only(1)" + map[bool]string{true: "&mode=ro"}[readOnly])
	if err != nil {
		return nil, fmt.Errorf("open index: %w", err)
	}
	x.reads.SetMaxOpenConns(4)
	if readOnly {
		return x, nil
	}
	x.db.SetMaxOpenConns(1)
	if fresh {
		if err := x.Reset(); err != nil {
			return nil, errors.Join(err, x.Close())
		}
	}
	return x, nil
}

func (x *sqlite) Close() error {
	err := x.reads.Close()
	if x.db != nil {
		err = errors.Join(err, x.db.Close())
	}
	return err
}

func unusable(err error) error {
	if errors.Is(err, ErrIndex) {
		return err
	}
	return fmt.Errorf("%w (%v)", ErrIndex, err)
}

func (x *sqlite) At() (Position, error) {
	rows, err := x.reads.Query(`SELECT name, value FROM about`)
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

// indexTables are all tables, to be emptied.
var indexTables = []string{"segblock", "segcolumn", "segment", "gone", "words", "note", "refused", "part", "mark", "report", "about"}

func (x *sqlite) Reset() error {
	return x.change(func(tx *sql.Tx) error {
		for _, t := range indexTables {
			if _, err := tx.Exec(`DROP TABLE IF EXISTS ` + t); err != nil {
				return err
			}
		}
		if _, err := tx.Exec(tables); err != nil {
			return err
		}
		// A segment's number is never given again, so that nobody who looks
		// on takes what he remembers of one for another.
		if _, err := tx.Exec(`INSERT INTO about (name, value) VALUES ('segment', ?), ('generation', '0')`, strconv.FormatInt(rand.Int64N(1<<40), 10)); err != nil {
			return err
		}
		return position(tx, Position{})
	})
}

func position(tx *sql.Tx, at Position) error {
	_, err := tx.Exec(`INSERT OR REPLACE INTO about (name, value) VALUES ('version', ?), ('seq', ?), ('head', ?), ('end', ?), ('generation', ?)`,
		indexVersion, strconv.FormatInt(at.Seq, 10), at.Hash, strconv.FormatInt(at.End, 10), strconv.FormatInt(rand.Int64(), 10))
	return err
}

func (x *sqlite) change(do func(*sql.Tx) error) error {
	if x.db == nil {
		return errors.New("change index: it is open for reading only")
	}
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

func (x *sqlite) Check() error {
	var sound string
	if err := x.reads.QueryRow(`PRAGMA integrity_check(1)`).Scan(&sound); err != nil {
		return unusable(err)
	}
	if sound != "ok" {
		return unusable(errors.New(sound))
	}
	return x.read(func(r *reading) error { return r.check() })
}
