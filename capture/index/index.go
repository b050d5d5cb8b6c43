// Package index finds examinations by words and serial numbers, in SQLite with
// full-text search.
//
// Start with Open; Put after every change of an examination, Search and the
// listings in list.go to find. The index holds nothing that the journals do not
// hold: it may be deleted at any time and is then filled again, which is also
// what happens when it is damaged or of another version.
package index

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"io/fs"
	"net/url"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"time"
	"unicode"

	"wornwood/capture/record"

	_ "modernc.org/sqlite" // the driver
)

// version is the version of the tables below. An index of another version is
// made anew.
const version = "2"

// ErrUnusable says that there is no usable index at the path: it is missing,
// damaged or of another version. Remove it and fill a new one.
var ErrUnusable = errors.New("the index is missing, damaged or of another version")

const schema = `
CREATE TABLE about (key TEXT PRIMARY KEY, value TEXT NOT NULL);
CREATE TABLE examination (
	n INTEGER PRIMARY KEY,
	id TEXT NOT NULL UNIQUE,
	instrument TEXT NOT NULL,
	title TEXT NOT NULL, class TEXT NOT NULL, year TEXT NOT NULL,
	serial TEXT NOT NULL, serialKey TEXT NOT NULL,
	date TEXT NOT NULL, at INTEGER NOT NULL,
	purpose TEXT NOT NULL, issued INTEGER NOT NULL, number TEXT NOT NULL,
	photo TEXT NOT NULL, photos INTEGER NOT NULL, marks INTEGER NOT NULL,
	size INTEGER NOT NULL, changed INTEGER NOT NULL,
	issuedAt TEXT NOT NULL, nextDue TEXT NOT NULL, components INTEGER NOT NULL, batteries TEXT NOT NULL,
	answers TEXT NOT NULL
);
CREATE INDEX byInstrument ON examination (instrument, at);
CREATE INDEX bySerial ON examination (serialKey);
CREATE VIRTUAL TABLE words USING fts5(
	maker, model, serial, colour, notes, marks,
	tokenize = "unicode61 remove_diacritics 2", prefix = '2 3'
);`

// Stamp tells whether a journal is still as it was when it was indexed.
type Stamp struct {
	Size    int64 // bytes
	Changed int64 // modification time, Unix nanoseconds
}

// Item is what is indexed of one examination.
type Item struct {
	Record *record.Record
	Issued *record.Issued // nil when not issued
	Stamp  Stamp
}

// Index is an open index. Its methods may be called from several goroutines.
type Index struct{ db *sql.DB }

// Open opens an index and looks it over. An error that is ErrUnusable asks for
// Remove, Create and filling.
func Open(path string) (*Index, error) {
	if _, err := os.Stat(path); errors.Is(err, fs.ErrNotExist) {
		return nil, fmt.Errorf("open index: %w", ErrUnusable)
	}
	x, err := open(path)
	if err != nil {
		return nil, err
	}
	var v, sound string
	err = x.db.QueryRow(`SELECT value FROM about WHERE key = 'version'`).Scan(&v)
	if err == nil {
		err = x.db.QueryRow(`PRAGMA quick_check(1)`).Scan(&sound)
	}
	if err == nil && sound == "ok" && v == version {
		_, err = x.db.Exec(`INSERT INTO words(words, rank) VALUES ('integrity-check', 0)`)
	}
	if err != nil || sound != "ok" || v != version {
		return nil, errors.Join(fmt.Errorf("open index: %w (version %q, check %q, %v)", ErrUnusable, v, sound, err), x.Close())
	}
	return x, nil
}

// Create makes an empty index. The version is written last, with the first
// Fill, so that an index whose filling was cut short is not taken for whole.
func Create(path string) (*Index, error) {
	x, err := open(path)
	if err != nil {
		return nil, err
	}
	if _, err := x.db.Exec(schema); err != nil {
		return nil, errors.Join(fmt.Errorf("create index: %w", err), x.Close())
	}
	return x, nil
}

// Remove deletes an index with its side files.
func Remove(path string) error {
	for _, p := range []string{path + "-wal", path + "-shm", path + "-journal", path} {
		if err := os.Remove(p); err != nil && !errors.Is(err, fs.ErrNotExist) {
			return fmt.Errorf("remove index: %w", err)
		}
	}
	return nil
}

func open(path string) (*Index, error) {
	abs, err := filepath.Abs(path)
	if err != nil {
		return nil, fmt.Errorf("open index: %w", err)
	}
	u := url.URL{Scheme: "file", Path: filepath.ToSlash(abs), RawQuery: "_pragma=busy_timeout(2000)&_pragma=journal_mode(WAL)&_pragma=synchronous(NORMAL)&_txlock=immediate"}
	db, err := sql.Open("sqlite", u.String())
	if err != nil {
		return nil, fmt.Errorf("open index: %w", err)
	}
	db.SetMaxOpenConns(1)
	return &Index{db: db}, nil
}

// Close closes the index.
func (x *Index) Close() error { return x.db.Close() }

// Put indexes one examination, replacing what was indexed of it before.
func (x *Index) Put(it Item) error {
	return x.inTx(func(tx *sql.Tx) error { return put(tx, it) })
}

// Fill indexes the examinations that next gives until it gives none, in one
// transaction, and marks the index as whole.
func (x *Index) Fill(ctx context.Context, next func() (*Item, error)) error {
	return x.inTx(func(tx *sql.Tx) error {
		for {
			if err := ctx.Err(); err != nil {
				return err
			}
			it, err := next()
			if err != nil {
				return err
			}
			if it == nil {
				break
			}
			if err := put(tx, *it); err != nil {
				return err
			}
		}
		_, err := tx.Exec(`INSERT OR REPLACE INTO about VALUES ('version', ?)`, version)
		return err
	})
}

// Delete forgets an examination.
func (x *Index) Delete(id string) error {
	return x.inTx(func(tx *sql.Tx) error { return del(tx, id) })
}

func (x *Index) inTx(do func(*sql.Tx) error) error {
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

func del(tx *sql.Tx, id string) error {
	if _, err := tx.Exec(`DELETE FROM words WHERE rowid IN (SELECT n FROM examination WHERE id = ?)`, id); err != nil {
		return err
	}
	_, err := tx.Exec(`DELETE FROM examination WHERE id = ?`, id)
	return err
}

func put(tx *sql.Tx, it Item) error {
	r := it.Record
	if err := del(tx, r.Examination.ID); err != nil {
		return err
	}
	issued, number, issuedAt := 0, r.Examination.Number, ""
	if it.Issued != nil {
		issued, number, issuedAt = 1, it.Issued.Number, it.Issued.At.Format(time.RFC3339)
	}
	batteries, err := batteriesOf(r)
	if err != nil {
		return err
	}
	res, err := tx.Exec(`INSERT INTO examination VALUES (NULL,?,?,?,?,?,?,?,?,?,?,?,?,?,?,?,?,?,?,?,?,?,'')`,
		r.Examination.ID, r.Examination.Instrument, r.Instrument.Title(), r.Instrument.Class, r.Instrument.Year,
		r.Instrument.Serial, SerialKey(r.Instrument.Serial),
		r.Examination.Date.Format(time.RFC3339Nano), r.Examination.Date.Unix(),
		string(r.Examination.Purpose), issued, number, coverPhoto(r), len(r.Photos), len(r.Marks),
		it.Stamp.Size, it.Stamp.Changed, issuedAt, r.Examination.NextDue, len(r.Components), batteries)
	if err != nil {
		return err
	}
	n, err := res.LastInsertId()
	if err != nil {
		return err
	}
	_, err = tx.Exec(`INSERT INTO words(rowid, maker, model, serial, colour, notes, marks) VALUES (?,?,?,?,?,?,?)`,
		n, r.Instrument.Maker, r.Instrument.Model+" "+r.Instrument.Edition+" "+r.Instrument.Year+" "+r.Instrument.Class,
		r.Instrument.Serial+" "+number, r.Instrument.Colour+" "+r.Instrument.Coating, notes(r), marks(r))
	return err
}

// coverPhoto is the photo that stands for the instrument in a list: the front
// view, else the first.
func coverPhoto(r *record.Record) string {
	if len(r.Photos) == 0 {
		return ""
	}
	for _, p := range r.Photos {
		if p.View == "front" {
			return p.ID
		}
	}
	return r.Photos[0].ID
}

func notes(r *record.Record) string {
	w := []string{r.Examination.Note, r.Examination.Summary, r.Examination.Examiner, r.Examination.Shop, r.Instrument.WithIt, r.Instrument.Material}
	for _, c := range r.Claims {
		w = append(w, c.Text, c.By)
	}
	for _, p := range r.Parts {
		w = append(w, p.Note)
	}
	for _, p := range r.Photos {
		w = append(w, p.Caption)
	}
	return strings.Join(w, "\n")
}

func marks(r *record.Record) string {
	var w []string
	for _, m := range r.Marks {
		w = append(w, string(m.Kind), m.Note)
		for _, p := range m.On {
			w = append(w, p.Region, string(p.Part))
		}
	}
	return strings.Join(w, "\n")
}

// SerialKey is a serial number without what people write differently: letters
// and digits only, in capitals. "l-41 873" and "L41873" have the same key.
func SerialKey(s string) string {
	return strings.Map(func(r rune) rune {
		if unicode.IsLetter(r) || unicode.IsDigit(r) {
			return unicode.ToUpper(r)
		}
		return -1
	}, s)
}

// HighestNumber is the highest report number with a prefix such as "CR-2026-",
// 0 when there is none.
func (x *Index) HighestNumber(prefix string) (int, error) {
	rows, err := x.db.Query(`SELECT number FROM examination WHERE substr(number, 1, ?) = ?`, len(prefix), prefix)
	if err != nil {
		return 0, fmt.Errorf("read index: %w", err)
	}
	defer rows.Close()
	high := 0
	for rows.Next() {
		var s string
		if err := rows.Scan(&s); err != nil {
			return 0, fmt.Errorf("read index: %w", err)
		}
		if n, err := strconv.Atoi(s[len(prefix):]); err == nil {
			high = max(high, n)
		}
	}
	return high, rows.Err()
}
