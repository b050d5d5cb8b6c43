package archive

import (
	"database/sql"
	"encoding/json"
	"errors"
	"fmt"
	"strings"
	"time"
)

func stamp(t time.Time) string { return t.UTC().Format("2006-01-02T15:04:05.000Z") }

func (x *sqlite) Filed(hash string) (*Row, error) {
	rows, err := x.rows(`SELECT r.doc FROM report r WHERE r.hash = ?`, hash)
	if err != nil || len(rows) == 0 {
		return nil, err
	}
	return &rows[0], nil
}

func (x *sqlite) Refused(hash string) (bool, error) {
	var n int
	err := x.db.QueryRow(`SELECT 1 FROM refused WHERE hash = ?`, hash).Scan(&n)
	if errors.Is(err, sql.ErrNoRows) {
		return false, nil
	}
	if err != nil {
		return false, unusable(err)
	}
	return true, nil
}

func (x *sqlite) Versions(first string) ([]Row, error) {
	return x.rows(`SELECT r.doc FROM report r WHERE r.first = ? ORDER BY r.seq`, first)
}

func (x *sqlite) Find(q *Query, from, most int) (*Found, error) {
	where, args := conditions(q)
	order := " ASC"
	if q.down {
		order = " DESC"
	}
	by := "r." + sorts[q.sort] + order
	switch {
	case q.sort != "filed":
		by += ", r.seq" + order
	case strings.HasPrefix(where, "words "):
		by = "words.rowid" + order // their own order, so that the first rows come without the rest being looked at
	}
	rows, err := x.rows(`SELECT r.doc FROM `+where+` ORDER BY `+by+` LIMIT ? OFFSET ?`, append(args, most+1, from)...)
	if err != nil {
		return nil, err
	}
	return &Found{Rows: rows[:min(len(rows), most)], More: len(rows) > most}, nil
}

// grouped are the columns that Counts groups by.
var grouped = map[string]string{"maker": "r.maker", "model": "r.model", "class": "r.class", "year": "r.year", "serial": "r.serial", "date": "r.date", "condition": "r.class6",
	"purpose": "r.purpose", "examiner": "r.examiner", "shop": "r.shop", "key": "r.keyprint", "verdict": "r.verdict", "kind": "m.kind", "part": "p.part || '=' || p.state"}

func (x *sqlite) Counts(q *Query, field string) ([]Count, error) {
	column := grouped[field]
	if column == "" {
		return nil, fmt.Errorf("reports cannot be counted by %q; by %s", field, strings.Join(CountFields(), ", "))
	}
	where, args := conditions(q)
	table := where
	switch field { // one report counts once for each of its kinds or parts
	case "kind":
		table = `mark m WHERE m.seq IN (SELECT r.seq FROM ` + where + `)`
	case "part":
		table = `part p WHERE p.seq IN (SELECT r.seq FROM ` + where + `)`
	}
	n := "count(*)"
	if table != where {
		n = "count(DISTINCT " + column[:1] + ".seq)"
	}
	rows, err := x.db.Query(`SELECT CAST(`+column+` AS TEXT), `+n+` FROM `+table+` GROUP BY `+column+` ORDER BY 2 DESC, 1`, args...)
	if err != nil {
		return nil, unusable(err)
	}
	defer rows.Close()
	out := []Count{}
	for rows.Next() {
		var c Count
		if err := rows.Scan(&c.Value, &c.N); err != nil {
			return nil, unusable(err)
		}
		out = append(out, c)
	}
	if err := rows.Err(); err != nil {
		return nil, unusable(err)
	}
	return out, nil
}

func (x *sqlite) rows(query string, args ...any) ([]Row, error) {
	rows, err := x.db.Query(query, args...)
	if err != nil {
		return nil, unusable(err)
	}
	defer rows.Close()
	out := []Row{}
	for rows.Next() {
		var doc string
		var r Row
		if err := rows.Scan(&doc); err != nil {
			return nil, unusable(err)
		}
		if err := json.Unmarshal([]byte(doc), &r); err != nil {
			return nil, unusable(err)
		}
		out = append(out, r)
	}
	if err := rows.Err(); err != nil {
		return nil, unusable(err)
	}
	return out, nil
}

// conditions is what follows FROM: the tables and the conditions of a query,
// with their values.
func conditions(q *Query) (string, []any) {
	var match, where []string
	var args []any
	for _, t := range q.terms {
		if m := t.match(); m != "" && !t.not {
			match = append(match, m)
			continue
		}
		c, a := t.condition()
		if t.not {
			c = "NOT (" + c + ")"
		}
		where, args = append(where, c), append(args, a...)
	}
	from := "report r"
	if len(match) > 0 {
		from = "words CROSS JOIN report r ON r.seq = words.rowid"
		where, args = append([]string{"words MATCH ?"}, where...), append([]any{strings.Join(match, " AND ")}, args...)
	}
	if len(where) == 0 {
		return from, args
	}
	return from + " WHERE " + strings.Join(where, " AND "), args
}

// match is the term as a query of the words that always parses; "" for others.
func (t term) match() string {
	if t.op != opWords && t.op != opPhrase {
		return ""
	}
	words := split(t.text)
	if t.op == opPhrase {
		return `"` + strings.Join(words, " ") + `"`
	}
	for i, w := range words {
		words[i] = `"` + w + `"*`
	}
	m := "(" + strings.Join(words, " AND ") + ")"
	if t.column != "" {
		return t.column + " : " + m
	}
	if key := SerialKey(t.text); strings.ContainsAny(key, "0123456789") {
		return "(" + m + ` OR serial : "` + key + `"*)`
	}
	return m
}

// condition is the term in SQL, with its values.
func (t term) condition() (string, []any) {
	begins := func(column, text string) (string, []any) {
		return column + " >= ? AND " + column + " < ?", []any{text, text + last}
	}
	switch t.op {
	case opPrefix:
		if t.column == "number" {
			return begins("lower(r.number)", t.text)
		}
		return begins("r."+t.column, t.text)
	case opEqual:
		return "r." + t.column + " = ?", []any{t.text}
	case opMore:
		return "r." + t.column + " > 0", nil
	case opYears:
		return "r.yearto >= ? AND r.yearfrom <= ? AND r.yearto > 0", []any{t.from, t.to}
	case opKind:
		c, a := begins("m.kind", t.text)
		return "r.seq IN (SELECT m.seq FROM mark m WHERE " + c + ")", a
	case opPart:
		c, a := begins("p.part", t.text)
		if len(t.states) > 0 {
			c += " AND p.state IN (?" + strings.Repeat(", ?", len(t.states)-1) + ")"
			for _, s := range t.states {
				a = append(a, s)
			}
		}
		return "r.seq IN (SELECT p.seq FROM part p WHERE " + c + ")", a
	case opRange:
		return t.rangeCondition()
	}
	return "r.seq IN (SELECT words.rowid FROM words WHERE words MATCH ?)", []any{t.match()}
}

func (t term) rangeCondition() (string, []any) {
	var c []string
	var a []any
	if t.from != nil {
		c, a = append(c, "r."+t.column+" >= ?"), append(a, t.from)
	}
	if t.to != nil {
		less := " <= ?"
		if t.under {
			less = " < ?"
		}
		c, a = append(c, "r."+t.column+less), append(a, t.to)
	}
	return "(r." + t.column + " IS NOT NULL AND " + strings.Join(c, " AND ") + ")", a
}
