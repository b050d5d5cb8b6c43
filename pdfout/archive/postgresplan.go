package archive

import (
	"context"
	"fmt"
	"math"
	"strconv"
	"strings"

	"github.com/jackc/pgx/v5"
)

// pgLeaf is one thing that is read for a query: rows of post or col, or a list
// of reports that is known already.
type pgLeaf struct {
	term     string // of post
	from, to string // terms of post, where there is no term
	field    int64  // of col, where accept is the numbers of its values that are asked for
	accept   []bool
	list     []int64
}

// pgNode is a leaf, or what is made of others.
type pgNode struct {
	leaf *pgLeaf
	any  bool // one of kids is enough; else all
	kids []pgNode
	not  []pgNode // none of these; of a node of all
}

// pgPhrase is what must be looked up in the texts of a report: the index knows
// only that words stand beside one another somewhere.
type pgPhrase struct {
	words []string
	not   bool
}

func (p pgPhrase) holds(row *Row) bool { return row.hasPhrase(p.words) != p.not }

// hasPhrase tells whether the words stand in this order in one of the texts.
func (row *Row) hasPhrase(words []string) bool {
	want := " " + strings.Join(words, " ") + " "
	for _, t := range row.texts() {
		if strings.Contains(" "+strings.Join(Words(t), " ")+" ", want) {
			return true
		}
	}
	return false
}

// pgQuery is a query made ready: what is read, and how it is put together.
type pgQuery struct {
	x       *Postgres
	ctx     context.Context
	tx      pgx.Tx
	root    pgNode
	leaves  []*pgLeaf
	phrases []pgPhrase
	blocks  int64 // of post, up to the newest report
	reports int64 // about how many there are
}

// plan makes a query ready within a transaction.
func (x *Postgres) plan(ctx context.Context, tx pgx.Tx, q *Query) (*pgQuery, error) {
	p := &pgQuery{x: x, ctx: ctx, tx: tx}
	if err := tx.QueryRow(ctx, x.sql("place")).Scan(new(string), new(string), &p.reports, new(string), new(int64)); err != nil {
		return nil, err
	}
	p.blocks = p.reports/pgBlock + 1
	for _, t := range q.terms {
		if t.op == opPhrase && len(split(t.text)) > 1 {
			p.phrases = append(p.phrases, pgPhrase{split(t.text), t.not})
			if t.not {
				continue
			}
		}
		n, err := p.node(t)
		if err != nil {
			return nil, err
		}
		if t.not {
			p.root.not = append(p.root.not, n)
		} else {
			p.root.kids = append(p.root.kids, n)
		}
	}
	if len(p.root.kids) == 0 {
		p.root.kids = []pgNode{p.at(string([]byte{aboutAll, 0}))}
	}
	return p, nil
}

func (p *pgQuery) leaf(l pgLeaf) pgNode {
	p.leaves = append(p.leaves, &l)
	return pgNode{leaf: &l}
}

func (p *pgQuery) at(term string) pgNode { return p.leaf(pgLeaf{term: term}) }

func (p *pgQuery) begins(term string) pgNode {
	return p.leaf(pgLeaf{from: term, to: string(behind(term))})
}

// node is what answers one term, without its not.
func (p *pgQuery) node(t term) (pgNode, error) {
	switch t.op {
	case opWords:
		return p.words(t), nil
	case opPhrase:
		return p.phrase(split(t.text)), nil
	case opPrefix:
		return p.prefix(t)
	case opEqual:
		return p.at(termOf(aboutEqual, 0, t.column[:1]+t.text)), nil
	case opMore:
		return p.at(termOf(aboutHas, 0, t.column)), nil
	case opKind:
		return p.begins(termOf(aboutKind, 0, t.text)), nil
	case opPart:
		return p.part(t)
	case opYears:
		return p.column(colSpan, func(v string) bool {
			from, to, _ := strings.Cut(v, "-")
			a, err := strconv.Atoi(from)
			b, err2 := strconv.Atoi(to)
			return err == nil && err2 == nil && b > 0 && b >= t.from.(int) && a <= t.to.(int)
		})
	case opRange:
		return p.span(t)
	}
	return pgNode{}, fmt.Errorf("query: a term of kind %d is not known", t.op)
}

func (p *pgQuery) words(t term) pgNode {
	about := byte(aboutAny)
	if t.column != "" {
		about = aboutColumn[t.column]
	}
	var all pgNode
	for _, w := range split(t.text) {
		all.kids = append(all.kids, p.beginning(about, w))
	}
	if key := SerialKey(t.text); t.column == "" && strings.ContainsAny(key, "0123456789") {
		if serial, err := p.prefix(term{op: opPrefix, column: "serialkey", text: key}); err == nil {
			return pgNode{any: true, kids: []pgNode{all, serial}}
		}
	}
	return all
}

// beginning is the words that begin so; about has a level 0.
func (p *pgQuery) beginning(about byte, w string) pgNode {
	for _, n := range pgLevels[about] {
		switch {
		case n == len(w):
			return p.at(termOf(about, n, w))
		case n > len(w): // one that is longer by one, and the word itself
			return pgNode{any: true, kids: []pgNode{p.begins(string([]byte{about, byte(n)}) + w), p.at(termOf(about, 0, w))}}
		}
	}
	return p.begins(termOf(about, 0, w))
}

// phrase is the reports that have the words and, in pairs, beside one another.
func (p *pgQuery) phrase(words []string) pgNode {
	var all pgNode
	for i, w := range words {
		all.kids = append(all.kids, p.at(termOf(aboutAny, 0, w)))
		if i > 0 {
			all.kids = append(all.kids, p.at(pairOf(words[i-1], w)))
		}
	}
	return all
}

// prefix is the reports with a column that begins so.
func (p *pgQuery) prefix(t term) (pgNode, error) {
	text := string(cutKey(t.text))
	about, column := byte(aboutSerial), "serial"
	switch t.column {
	case "hash":
		pad := func(c string) []byte { return pgHash(text + strings.Repeat(c, 64-len(text))) }
		return p.seqs("seqs of hash", pad("0"), pad("f"), 1000)
	case "keyprint":
		return p.beginning(aboutKey, text), nil
	case "number":
		about, column = aboutNumber, "number"
	}
	for _, n := range pgLevels[about] {
		if n == len(text) {
			return p.at(termOf(about, n, text)), nil
		}
		if n > len(text) {
			same, err := p.seqs("seqs at "+column, []byte(text))
			return pgNode{any: true, kids: []pgNode{p.begins(string([]byte{about, byte(n)}) + text), same}}, err
		}
	}
	return p.seqs("seqs of "+column, []byte(text), behind(text))
}

// seqs is the reports that a statement gives.
func (p *pgQuery) seqs(name string, args ...any) (pgNode, error) {
	rows, err := p.tx.Query(p.ctx, p.x.sql(name), args...)
	if err != nil {
		return pgNode{}, err
	}
	list, err := pgx.CollectRows(rows, pgx.RowTo[int64])
	if list == nil {
		list = []int64{}
	}
	return p.leaf(pgLeaf{list: list}), err
}

func (p *pgQuery) part(t term) (pgNode, error) {
	if len(t.states) == 0 {
		return p.begins(termOf(aboutPart, 0, t.text)), nil
	}
	return p.column(colPart, func(v string) bool {
		i := strings.LastIndexByte(v, '=') // a part's name may have the sign itself
		if i < 0 {
			return false
		}
		part, state := v[:i], v[i+1:]
		if !strings.HasPrefix(part, t.text) {
			return false
		}
		for _, s := range t.states {
			if fold(s) == state {
				return true
			}
		}
		return false
	})
}

// column is the reports of which a value of the field is wanted.
func (p *pgQuery) column(field int64, wanted func(string) bool) (pgNode, error) {
	l := pgLeaf{field: field}
	err := p.eachValue(func(id, n int64, text string) {
		if n > 0 && wanted(text) {
			for int64(len(l.accept)) <= id {
				l.accept = append(l.accept, false)
			}
			l.accept[id] = true
		}
	}, "values", field)
	return p.leaf(l), err
}

// span is the reports with a column between two values.
func (p *pgQuery) span(t term) (pgNode, error) {
	switch t.column {
	case "class6":
		return p.column(colCondition, func(v string) bool {
			n, err := strconv.Atoi(v)
			return err == nil && (t.from == nil || n >= t.from.(int)) && (t.to == nil || n <= t.to.(int))
		})
	case "date", "filed":
		field := map[string]int64{"date": colDate, "filed": colDay}[t.column]
		return p.column(field, func(v string) bool {
			return (t.from == nil || v >= t.from.(string)) && (t.to == nil || v <= t.to.(string))
		})
	case "cond":
		return p.indexSpan(t)
	}
	return pgNode{}, fmt.Errorf("query: a range of %s is not known", t.column)
}

// indexSpan is the reports with an index in the range: whole tens by col, those
// at its ends by the index itself.
func (p *pgQuery) indexSpan(t term) (pgNode, error) {
	from, to := -math.MaxFloat64, math.MaxFloat64
	if t.from != nil {
		from = t.from.(float64)
	}
	if t.to != nil {
		to = t.to.(float64)
	}
	first, end := math.Ceil(from), math.Floor(to) // whole ones are first up to under end
	inner, err := p.column(colTens, func(v string) bool {
		f, err := strconv.ParseFloat(v, 64)
		return err == nil && f >= first && f < end
	})
	out := pgNode{any: true, kids: []pgNode{inner}}
	add := func(name string, a, b float64) {
		if err != nil || a > b {
			return
		}
		var n pgNode
		n, err = p.seqs(name, a, b)
		out.kids = append(out.kids, n)
	}
	if first > from {
		add("seqs of cond", from, math.Min(first, math.Nextafter(to, math.Inf(1))))
	}
	if end < math.MaxFloat64 {
		if lower := math.Max(from, end); t.under {
			add("seqs of cond", lower, to)
		} else {
			add("seqs to cond", lower, to)
		}
	}
	return out, err
}
