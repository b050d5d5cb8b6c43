package archive

import (
	"bytes"
	"cmp"
	"context"
	"encoding/json"
	"fmt"
	"slices"
	"strings"

	"github.com/jackc/pgx/v5"
)

func unmarshalLine(line []byte, e *Entry) error {
	if err := json.Unmarshal(line, e); err != nil {
		return unusable(err)
	}
	return nil
}

// Counts groups what answers the query by a field. Without a term it reads what
// Apply has counted; else the numbers of the values of what answers. Only serial
// numbers, of which nearly each is another, are counted report by report.
func (x *Postgres) Counts(q *Query, field string) ([]Count, error) {
	col := colOf[field]
	if col == 0 && field != "serial" {
		return nil, fmt.Errorf("reports cannot be counted by %q; by %s", field, strings.Join(CountFields(), ", "))
	}
	out := []Count{}
	err := x.look("count in index", func(ctx context.Context, tx pgx.Tx) error {
		p, err := x.plan(ctx, tx, q)
		if err != nil {
			return err
		}
		switch {
		case col == 0:
			out, err = p.countSerials(q)
		case len(q.terms) == 0:
			out, err = p.countAll(col)
		default:
			out, err = p.count(col)
		}
		return err
	})
	slices.SortFunc(out, func(a, b Count) int { return cmp.Or(cmp.Compare(b.N, a.N), strings.Compare(a.Value, b.Value)) })
	return out, err
}

func (p *pgQuery) countAll(field int64) ([]Count, error) {
	out := []Count{}
	err := p.eachValue(func(_, n int64, text string) {
		if n > 0 {
			out = append(out, Count{text, int(n)})
		}
	}, "values", field)
	if err != nil {
		return nil, err
	}
	return out, nil
}

func (p *pgQuery) count(field int64) ([]Count, error) {
	sets, n, err := p.everything(true)
	if err != nil || n == 0 {
		return []Count{}, err
	}
	var by []int
	col, err := p.columnOf(field, sets)
	if err == nil {
		err = col.each(func(_ int64, id uint32) {
			for len(by) <= int(id) {
				by = append(by, make([]int, 1+len(by))...)
			}
			by[id]++
		})
	}
	if err != nil {
		return nil, err
	}
	var want []int64
	for id, n := range by {
		if n > 0 {
			want = append(want, int64(id))
		}
	}
	out := []Count{}
	err = p.eachValue(func(id, _ int64, text string) { out = append(out, Count{text, by[id]}) }, "values of", field, want)
	if err != nil {
		return nil, err
	}
	return out, nil
}

// countSerials counts report by report: few by naming them, many by reading
// through all.
func (p *pgQuery) countSerials(q *Query) ([]Count, error) {
	by := map[string]int{}
	take := func(name string, add func(seqOrN int64, text []byte), args ...any) error {
		rows, err := p.tx.Query(p.ctx, p.x.sql(name), args...)
		if err != nil {
			return err
		}
		defer rows.Close()
		for rows.Next() {
			v := rows.RawValues()
			add(bigint(v[0]), v[1])
		}
		return rows.Err()
	}
	counted := func(n int64, text []byte) { by[string(text)] += int(n) }
	var err error
	if len(q.terms) == 0 {
		err = take("serials all", counted)
	} else {
		var sets []*set
		var n int
		sets, n, err = p.everything(true)
		switch {
		case err != nil || n == 0:
		case int64(n) > p.reports/20:
			err = take("serials each", func(seq int64, text []byte) {
				if setOf(sets, seq).has(seq) {
					by[string(text)]++
				}
			})
		default:
			for all := together(sets); len(all) > 0 && err == nil; {
				n := min(len(all), 10_000)
				err = take("serials of", counted, all[:n])
				all = all[n:]
			}
		}
	}
	out := make([]Count, 0, len(by))
	for v, n := range by {
		out = append(out, Count{v, n})
	}
	return out, err
}

// pgSuggested are the fields of value that suggestions come from.
var pgSuggested = map[string]int64{"maker": colMaker, "model": colModel, "class": colClass, "examiner": colExaminer, "shop": colShop, "kind": colKind, "part": colPartName}

// pgSpellings bounds how many spellings, or reports, of one value are looked at
// for a suggestion; beyond, its number is not told.
const pgSpellings = 1000

// Suggest lists values of a field that begin so.
func (x *Postgres) Suggest(field, begin string, most int) ([]Count, error) {
	if !slices.Contains(SuggestFields(), field) {
		return nil, fmt.Errorf("there are no suggestions for %q; for %s", field, strings.Join(SuggestFields(), ", "))
	}
	key := []byte(fold(begin))
	if field == "serial" {
		key = []byte(SerialKey(begin))
	}
	var out []Count
	err := x.look("search index", func(ctx context.Context, tx pgx.Tx) (err error) {
		s := suggesting{x: x, ctx: ctx, tx: tx, field: field, most: most, begin: key, out: []Count{}}
		err = s.run()
		out = s.out
		return err
	})
	return out, err
}

// suggesting goes along the spellings of a field's values in order.
type suggesting struct {
	x        *Postgres
	ctx      context.Context
	tx       pgx.Tx
	field    string
	most     int
	begin    []byte
	out      []Count
	open     bool // the last of out may have further spellings
	key      []byte
	seen, id int64
}

func (s *suggesting) run() error {
	end := behind(string(s.begin))
	if end == nil {
		end = []byte{0xff}
	}
	s.key, s.id = s.begin, -1
	if len(s.begin) == 0 {
		s.id = 1 << 62 // past the empty ones
	}
	for {
		n, err := s.piece(end, max(64, 2*s.most))
		if err != nil || n == 0 || len(s.out) > s.most {
			s.out = s.out[:min(len(s.out), s.most)]
			return err
		}
	}
}

// piece takes in some more; 0 says that there are none.
func (s *suggesting) piece(end []byte, limit int) (int, error) {
	var rows pgx.Rows
	var err error
	switch s.field {
	case "serial", "number":
		rows, err = s.tx.Query(s.ctx, s.x.sql(s.field+"s past"), s.key, end, s.id, limit)
	default:
		rows, err = s.tx.Query(s.ctx, s.x.sql("values past"), pgSuggested[s.field], s.key, end, limit, s.id)
	}
	if err != nil {
		return 0, err
	}
	defer rows.Close()
	got := 0
	for ; rows.Next(); got++ {
		var key, text []byte
		n := int64(1)
		into := []any{&key, &s.id, &text}
		if pgSuggested[s.field] != 0 {
			into = append(into, &n)
		}
		if err := rows.Scan(into...); err != nil {
			return 0, err
		}
		s.take(key, string(text), int(n))
	}
	return got, rows.Err()
}

func (s *suggesting) take(key []byte, text string, n int) {
	if len(key) == 0 || n <= 0 {
		s.key = key
		return
	}
	same := s.open && bytes.Equal(key, s.key)
	s.key = bytes.Clone(key)
	if !same {
		s.open, s.seen = true, 0
		s.out = append(s.out, Count{Value: text})
	}
	last := &s.out[len(s.out)-1]
	last.N, last.Value = last.N+n, min(last.Value, text)
	if s.seen++; s.seen >= pgSpellings {
		last.N, s.id = 0, 1<<62 // on to the next value
	}
}

// Check holds what is counted three ways against one another.
func (x *Postgres) Check() error {
	return x.look("check index", func(ctx context.Context, tx pgx.Tx) error {
		p, err := x.plan(ctx, tx, &Query{sort: "filed"})
		if err != nil {
			return err
		}
		var reports int64
		if err := tx.QueryRow(ctx, x.sql("sound")).Scan(&reports); err != nil {
			return err
		}
		_, found, err := p.everything(false)
		if err != nil {
			return err
		}
		verdicts, err := p.countAll(colVerdict)
		if err != nil {
			return err
		}
		counted := 0
		for _, v := range verdicts {
			counted += v.N
		}
		if int64(found) != reports || int64(counted) != reports {
			return unusable(fmt.Errorf("of %d reports %d are found and %d counted", reports, found, counted))
		}
		return nil
	})
}
