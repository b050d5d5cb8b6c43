package index

import (
	"database/sql"
	"fmt"
	"strings"
	"time"
	"unicode"

	"wornwood/capture/record"
)

// Row is one line of a list.
type Row struct {
	Instrument   string         `json:"instrument"` // ID
	Exam         string         `json:"exam"`       // ID
	Title        string         `json:"title"`
	Class        string         `json:"class"`
	Year         string         `json:"year"`
	Serial       string         `json:"serial"`
	Date         time.Time      `json:"date"`
	Purpose      record.Purpose `json:"purpose"`
	Issued       bool           `json:"issued"`
	Number       string         `json:"number"` // of the issued report
	Photo        string         `json:"photo"`  // ID of the photo to show, "" when there is none
	Photos       int            `json:"photos"`
	Marks        int            `json:"marks"`
	Examinations int            `json:"examinations"` // of this instrument

	// Answers is what Keep kept for this state of the examination, "" when
	// nothing was.
	Answers string `json:"-"`
	Stamp   Stamp  `json:"-"` // the state in which it was indexed
}

const columns = `e.instrument, e.id, e.title, e.class, e.year, e.serial, e.date, e.purpose, e.issued, e.number, e.photo, e.photos, e.marks, e.answers, e.size, e.changed,
	(SELECT count(*) FROM examination c WHERE c.instrument = e.instrument)`

// newest keeps of each instrument the examination of the latest date; of two at
// the same second, the one indexed last.
const newest = `e.n = (SELECT l.n FROM examination l WHERE l.instrument = e.instrument ORDER BY l.at DESC, l.n DESC LIMIT 1)`

// Instruments lists every instrument once, with its newest examination, the
// latest first.
func (x *Index) Instruments() ([]Row, error) {
	return x.list(`SELECT ` + columns + ` FROM examination e WHERE ` + newest + ` ORDER BY e.at DESC, e.id`)
}

// Examinations lists the examinations of one instrument, the latest first.
func (x *Index) Examinations(instrument string) ([]Row, error) {
	return x.list(`SELECT `+columns+` FROM examination e WHERE e.instrument = ? ORDER BY e.at DESC, e.id`, instrument)
}

// Search lists the instruments of which some examination holds every word of
// q, words being matched from their beginning, or whose serial number contains
// q, spaces and dashes left aside. Each comes once, with its newest
// examination; matching serial numbers come first. An empty q lists all.
func (x *Index) Search(q string) ([]Row, error) {
	match, key := matchOf(q), SerialKey(q)
	if match == "" {
		return x.Instruments()
	}
	// The number of rows is that of instruments, so it needs no limit of its own.
	return x.list(`
		WITH hit(instrument, grade, worth) AS (
			SELECT f.instrument, 1, rank FROM words JOIN examination f ON f.n = words.rowid WHERE words MATCH ?
			UNION ALL
			SELECT f.instrument, 0, 0 FROM examination f WHERE length(?) >= 2 AND instr(f.serialKey, ?) > 0
		), best(instrument, grade, worth) AS (
			SELECT instrument, min(grade), min(worth) FROM hit GROUP BY instrument
		)
		SELECT `+columns+` FROM best b JOIN examination e ON e.instrument = b.instrument WHERE `+newest+`
		ORDER BY b.grade, b.worth, e.at DESC, e.id`, match, key, key)
}

// matchOf turns what a person typed into a query that always parses: every
// word quoted, all of them needed, each matching the beginning of a word.
func matchOf(q string) string {
	words := strings.FieldsFunc(q, func(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsDigit(r) && !unicode.IsMark(r) })
	if len(words) > 32 {
		words = words[:32]
	}
	for i, w := range words {
		words[i] = `"` + w + `"*`
	}
	return strings.Join(words, " ")
}

func (x *Index) list(query string, args ...any) ([]Row, error) {
	rows, err := x.db.Query(query, args...)
	if err != nil {
		return nil, fmt.Errorf("read index: %w", err)
	}
	defer rows.Close()
	var out []Row
	for rows.Next() {
		r, err := scan(rows)
		if err != nil {
			return nil, fmt.Errorf("read index: %w", err)
		}
		out = append(out, r)
	}
	if err := rows.Err(); err != nil {
		return nil, fmt.Errorf("read index: %w", err)
	}
	return out, nil
}

func scan(rows *sql.Rows) (Row, error) {
	var r Row
	var date, purpose string
	err := rows.Scan(&r.Instrument, &r.Exam, &r.Title, &r.Class, &r.Year, &r.Serial, &date, &purpose,
		&r.Issued, &r.Number, &r.Photo, &r.Photos, &r.Marks, &r.Answers, &r.Stamp.Size, &r.Stamp.Changed, &r.Examinations)
	if err != nil {
		return r, err
	}
	r.Purpose = record.Purpose(purpose)
	r.Date, err = time.Parse(time.RFC3339Nano, date)
	return r, err
}

// Stamps gives the state in which each examination's journal was indexed.
func (x *Index) Stamps() (map[string]Stamp, error) {
	rows, err := x.db.Query(`SELECT id, size, changed FROM examination`)
	if err != nil {
		return nil, fmt.Errorf("read index: %w", err)
	}
	defer rows.Close()
	out := map[string]Stamp{}
	for rows.Next() {
		var id string
		var s Stamp
		if err := rows.Scan(&id, &s.Size, &s.Changed); err != nil {
			return nil, fmt.Errorf("read index: %w", err)
		}
		out[id] = s
	}
	return out, rows.Err()
}
