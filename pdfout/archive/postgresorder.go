package archive

import (
	"cmp"
	"errors"
	"math"
	"slices"
	"strconv"
	"strings"

	"github.com/jackc/pgx/v5"
)

// pgFew is up to how many reports are put in order by naming them to the
// database.
const pgFew = 3000

// pgOrders are the orders that an index of the database has, by column.
var pgOrders = map[string]string{"index": "cond", "serial": "serialkey", "number": "numberkey", "size": "size"}

// ordered calls visit for what answers the query, phrases aside, in its order,
// until it gives an error; about how many are wanted is a guess.
func (p *pgQuery) ordered(q *Query, wanted int, visit func(seq int64) error) error {
	if q.sort == "filed" {
		return p.windows(q.down, false, func(s *set) (bool, error) {
			var err error
			s.each(q.down, func(seq int64) bool { err = visit(seq); return err == nil })
			return err == nil, err
		})
	}
	sets, n, err := p.everything(false)
	if err != nil || n == 0 {
		return err
	}
	column := pgOrders[q.sort]
	switch {
	case column == "":
		return p.byValue(q, sets, visit)
	case n <= pgFew:
		return p.gather(column, q.down, together(sets), visit)
	case q.sort != "index":
		return p.walk(column, q.down, sets, n, wanted, math.MaxInt, visit)
	}
	// Along the index, which is short where what answers is spread over it; if
	// not, by tens, past what was seen.
	seen := 0
	err = p.walk(column, q.down, sets, n, wanted, pgBudget, func(seq int64) error {
		err := visit(seq)
		if err == nil {
			seen++
		}
		return err
	})
	if !errors.Is(err, errBudget) {
		return err
	}
	return p.byValue(q, sets, func(seq int64) error {
		if seen > 0 {
			seen--
			return nil
		}
		return visit(seq)
	})
}

// pgBudget is up to how many reports are passed over before another way is
// taken.
const pgBudget = 10_000

var errBudget = errors.New("too many were passed over")

func together(sets []*set) []int64 {
	var out []int64
	for _, s := range sets {
		out = append(out, s.all()...)
	}
	return out
}

// gather has the database put few reports in order.
func (p *pgQuery) gather(column string, down bool, seqs []int64, visit func(int64) error) error {
	rows, err := p.tx.Query(p.ctx, p.x.in(pgGather(column, down)), seqs)
	if err != nil {
		return err
	}
	list, err := pgx.CollectRows(rows, pgx.RowTo[int64])
	for _, seq := range list {
		if err == nil {
			err = visit(seq)
		}
	}
	return err
}

// walk goes along an order of the database, piece by piece, and leaves out what
// does not answer: the more that does, the sooner it is done.
func (p *pgQuery) walk(column string, down bool, sets []*set, n, wanted, budget int, visit func(int64) error) error {
	first, further := pgWalks(column, down)
	piece := min(max(64, int(float64(wanted)*float64(p.reports)/float64(n)*1.3)), 20_000)
	statement, args := p.x.in(first), []any{piece}
	for {
		rows, err := p.tx.Query(p.ctx, statement, args...)
		if err != nil {
			return err
		}
		var seqs []int64
		var lastKey any
		for rows.Next() {
			v := rows.RawValues()
			seqs = append(seqs, bigint(v[1]))
			if len(seqs) == piece {
				all, err := rows.Values()
				if err != nil {
					rows.Close()
					return err
				}
				lastKey = all[0]
			}
		}
		if err := rows.Err(); err != nil {
			return err
		}
		for _, seq := range seqs {
			if setOf(sets, seq).has(seq) {
				if err := visit(seq); err != nil {
					return err
				}
			}
		}
		if len(seqs) < piece {
			return nil
		}
		if budget -= piece; budget < 0 {
			return errBudget
		}
		next := min(2*piece, 20_000)
		statement, args, piece = p.x.in(further), []any{next, lastKey, seqs[len(seqs)-1]}, next
	}
}

// key is a value by which reports are sorted.
type sortKey struct {
	n    float64
	text string
}

func (a sortKey) compare(b sortKey) int {
	if c := cmp.Compare(a.n, b.n); c != 0 {
		return c
	}
	return strings.Compare(a.text, b.text)
}

// pgSortFields are the fields of col that give an order, and the key of a value.
var pgSortFields = map[string]struct {
	field int64
	key   func(string) sortKey
}{
	"date":  {colDate, func(v string) sortKey { return sortKey{text: v} }},
	"maker": {colMaker, func(v string) sortKey { return sortKey{text: fold(v)} }},
	"year": {colSpan, func(v string) sortKey {
		from, _, _ := strings.Cut(v, "-")
		n, _ := strconv.Atoi(from)
		return sortKey{n: float64(n)}
	}},
	"index": {colTens, func(v string) sortKey {
		if v == "" {
			return sortKey{n: noCond}
		}
		n, _ := strconv.ParseFloat(v, 64)
		return sortKey{n: n}
	}},
}

// ranks are the places of a field's values in an order: of each number its
// rank, from 0 up, and of each rank its key.
func (p *pgQuery) ranks(sort string) (of []int32, keys []sortKey, err error) {
	by := pgSortFields[sort]
	texts, err := p.values(by.field)
	if err != nil {
		return nil, nil, err
	}
	all := make([]sortKey, len(texts))
	order := make([]int, len(texts))
	for id, t := range texts {
		all[id], order[id] = by.key(t), id
	}
	slices.SortFunc(order, func(a, b int) int { return all[a].compare(all[b]) })
	of = make([]int32, len(texts))
	for i, id := range order {
		if i == 0 || all[order[i-1]].compare(all[id]) != 0 {
			keys = append(keys, all[id])
		}
		of[id] = int32(len(keys) - 1)
	}
	return of, keys, nil
}

// byValue puts reports in order by the numbers of their values, without asking
// for each: how many have each value tells with which values the page begins,
// and a second look at the same rows, which reports those are.
func (p *pgQuery) byValue(q *Query, sets []*set, visit func(int64) error) error {
	of, keys, err := p.ranks(q.sort)
	if err != nil {
		return err
	}
	col, err := p.columnOf(pgSortFields[q.sort].field, sets)
	if err != nil {
		return err
	}
	count := make([]int, len(keys))
	if err := col.each(func(_ int64, id uint32) {
		if int(id) < len(of) {
			count[of[id]]++
		}
	}); err != nil {
		return err
	}
	nth := func(i int) int {
		if q.down {
			return len(count) - 1 - i
		}
		return i
	}
	for next := 0; next < len(count); {
		first, some := nth(next), 0
		last := first
		for ; next < len(count) && (some == 0 || some+count[nth(next)] <= pgFew); next++ {
			if n := count[nth(next)]; n > 0 {
				if last = nth(next); some == 0 {
					first = last
				}
				some += n
			}
		}
		if some == 0 {
			continue
		}
		if err := p.piece(q, col, of, keys, int32(min(first, last)), int32(max(first, last)), some, visit); err != nil {
			return err
		}
	}
	return nil
}

// piece puts the reports of the ranks lo to hi in order.
func (p *pgQuery) piece(q *Query, col *pgColumn, of []int32, keys []sortKey, lo, hi int32, some int, visit func(int64) error) error {
	type one struct {
		rank int32
		seq  int64
	}
	list := make([]one, 0, some)
	if err := col.each(func(seq int64, id uint32) {
		if int(id) < len(of) && of[id] >= lo && of[id] <= hi {
			list = append(list, one{of[id], seq})
		}
	}); err != nil {
		return err
	}
	if q.sort == "index" && keys[hi].n != noCond { // within a ten by the index itself
		if some > pgFew/10 && lo == hi {
			return p.walkTen(q.down, keys[lo].n, col.sets, visit)
		}
		these := make([]int64, len(list))
		for i, o := range list {
			these[i] = o.seq
		}
		return p.gather("cond", q.down, these, visit)
	}
	slices.SortFunc(list, func(a, b one) int {
		c := cmp.Or(cmp.Compare(a.rank, b.rank), cmp.Compare(a.seq, b.seq))
		if q.down {
			return -c
		}
		return c
	})
	for _, o := range list {
		if err := visit(o.seq); err != nil {
			return err
		}
	}
	return nil
}

// walkTen goes along the indices from a whole one up to under the next.
func (p *pgQuery) walkTen(down bool, from float64, sets []*set, visit func(int64) error) error {
	rows, err := p.tx.Query(p.ctx, p.x.in(pgTen(down)), from, from+1)
	if err != nil {
		return err
	}
	list, err := pgx.CollectRows(rows, pgx.RowTo[int64])
	for _, seq := range list {
		if err == nil && setOf(sets, seq).has(seq) {
			err = visit(seq)
		}
	}
	return err
}

// setOf is the set among those of all windows, which begin with the oldest, in
// which a number is.
func setOf(sets []*set, seq int64) *set {
	return sets[min(int(seq/(pgWindow*pgBlock)), len(sets)-1)]
}
