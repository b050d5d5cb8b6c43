package archive

import (
	"context"
	"errors"

	"github.com/jackc/pgx/v5"
)

// Filed is the row of a report, nil when it is not filed.
func (x *Postgres) Filed(hash string) (*Row, error) {
	rows, err := x.docs("by hash", pgHash(hash))
	if err != nil || len(rows) == 0 {
		return nil, err
	}
	return &rows[0], nil
}

// Versions are the reports with the same first signature, the earliest first.
func (x *Postgres) Versions(first string) ([]Row, error) { return x.docs("by first", pgHash(first)) }

func (x *Postgres) docs(name string, key []byte) (out []Row, err error) {
	err = x.try(func(ctx context.Context) error {
		rows, err := x.pool.Query(ctx, x.sql(name), key)
		if err == nil {
			out, err = scanDocs(rows)
		}
		return err
	})
	for i := range out {
		out[i].Words = ""
	}
	return out, x.words("read index", err)
}

// Refused tells whether a file is on the refused pile.
func (x *Postgres) Refused(hash string) (is bool, err error) {
	err = x.try(func(ctx context.Context) error {
		err := x.pool.QueryRow(ctx, x.sql("refused"), pgHash(hash)).Scan(new(int64))
		if is = err == nil; errors.Is(err, pgx.ErrNoRows) {
			return nil
		}
		return err
	})
	return is, x.words("read index", err)
}

// Find lists what answers the query, from a place in the list on.
func (x *Postgres) Find(q *Query, from, most int) (*Found, error) {
	var out *Found
	err := x.look("search index", func(ctx context.Context, tx pgx.Tx) error {
		p, err := x.plan(ctx, tx, q)
		if err != nil {
			return err
		}
		rows, err := p.find(q, from, most+1)
		if err != nil {
			return err
		}
		out = &Found{Rows: rows[:min(len(rows), most)], More: len(rows) > most}
		for i := range out.Rows {
			out.Rows[i].Words = ""
		}
		return nil
	})
	return out, err
}

// find reads a page of the list.
func (p *pgQuery) find(q *Query, from, most int) ([]Row, error) {
	if len(p.phrases) > 0 {
		return p.findChecked(q, from, most)
	}
	var page []int64
	err := p.ordered(q, from+most, func(seq int64) error {
		if from > 0 {
			from--
			return nil
		}
		if page = append(page, seq); len(page) < most {
			return nil
		}
		return errFound
	})
	if err != nil && !errors.Is(err, errFound) {
		return nil, err
	}
	docs, err := p.docs(page)
	out := []Row{}
	for _, seq := range page {
		if row := docs[seq]; row != nil {
			out = append(out, *row)
		}
	}
	return out, err
}

// findChecked looks phrases up in the texts, in the order of the list, until
// the page is full.
func (p *pgQuery) findChecked(q *Query, from, most int) ([]Row, error) {
	out := []Row{}
	var some []int64
	size := 2 * (from + most)
	look := func() error {
		docs, err := p.docs(some)
		if err != nil {
			return err
		}
		for _, seq := range some {
			switch row := docs[seq]; {
			case row == nil || !p.holds(row):
			case from > 0:
				from--
			case len(out) < most:
				out = append(out, *row)
			}
		}
		if some = some[:0]; len(out) >= most {
			return errFound
		}
		size = min(2*size, 4096)
		return nil
	}
	err := p.ordered(q, size, func(seq int64) error {
		if some = append(some, seq); len(some) < size {
			return nil
		}
		return look()
	})
	if err == nil && len(some) > 0 {
		err = look()
	}
	if errors.Is(err, errFound) {
		err = nil
	}
	return out, err
}

// Notes are the lines of these kinds, the oldest first; no kind is all.
func (x *Postgres) Notes(kinds ...EventKind) (out []Entry, err error) {
	err = x.try(func(ctx context.Context) error {
		out = []Entry{}
		name, args := "notes", []any{}
		if len(kinds) > 0 {
			texts := []string{}
			for _, k := range kinds {
				texts = append(texts, string(k))
			}
			name, args = "notes of", []any{texts}
		}
		rows, err := x.pool.Query(ctx, x.sql(name), args...)
		if err != nil {
			return err
		}
		defer rows.Close()
		for rows.Next() {
			var e Entry
			var line []byte
			if err := rows.Scan(&line); err != nil {
				return err
			}
			if err := unmarshalLine(line, &e); err != nil {
				return err
			}
			out = append(out, e)
		}
		return rows.Err()
	})
	return out, x.words("read index", err)
}
