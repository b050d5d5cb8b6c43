package archive

import (
	"cmp"
	"math/bits"
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
		return p.byValue(q, sets, n, visit)
	case n <= pgFew:
		return p.gather(column, q.down, sets, visit)
	case q.sort == "index" && int64(n) < p.reports/2:
		return p.byValue(q, sets, n, visit)
	}
	return p.walk(column, q.down, sets, n, wanted, visit)
}

func together(sets []*set) []int64 {
	var out []int64
	for _, s := range sets {
		out = append(out, s.all()...)
	}
	return out
}

// gather has the database put few reports in order.
func (p *pgQuery) gather(column string, down bool, sets []*set, visit func(int64) error) error {
	all := together(sets)
	return p.gatherThese(column, down, all, visit)
}

func (p *pgQuery) gatherThese(column string, down bool, seqs []int64, visit func(int64) error) error {
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
func (p *pgQuery) walk(column string, down bool, sets []*set, n, wanted int, visit func(int64) error) error {
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
			if s := sets[min(int(seq/(pgWindow*pgBlock)), len(sets)-1)]; s.has(seq) {
				if err := visit(seq); err != nil {
					return err
				}
			}
		}
		if len(seqs) < piece {
			return nil
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

// byValue puts reports in order by the numbers of their values, without asking
// for each: how many have each value tells which values the page begins with.
func (p *pgQuery) byValue(q *Query, sets []*set, n int, visit func(int64) error) error {
	by := pgSortFields[q.sort]
	texts, err := p.values(by.field)
	if err != nil {
		return err
	}
	keys := make([]sortKey, len(texts))
	order := make([]int, 0, len(texts))
	for id, t := range texts {
		keys[id] = by.key(t)
		order = append(order, id)
	}
	slices.SortFunc(order, func(a, b int) int { return keys[a].compare(keys[b]) })
	rank := make([]int32, len(texts))
	ranks := int32(0)
	for i, id := range order {
		if i > 0 && keys[order[i-1]].compare(keys[id]) != 0 {
			ranks++
		}
		rank[id] = ranks
	}
	seqs, of := make([]int64, 0, n), make([]int32, 0, n)
	count := make([]int, ranks+1)
	err = p.columnOf(by.field, sets, n, func(seq int64, id uint32) {
		if int(id) < len(rank) {
			seqs, of = append(seqs, seq), append(of, rank[id])
			count[rank[id]]++
		}
	})
	if err != nil {
		return err
	}
	return p.byRank(q, seqs, of, count, visit)
}

// byRank goes along the ranks, as many together as make a few thousand reports.
func (p *pgQuery) byRank(q *Query, seqs []int64, of []int32, count []int, visit func(int64) error) error {
	for next := 0; next < len(count); {
		first, some := next, 0
		for ; next < len(count) && (some == 0 || some+count[p.nth(q, next, len(count))] <= pgFew); next++ {
			some += count[p.nth(q, next, len(count))]
		}
		if some == 0 {
			continue
		}
		a, b := p.nth(q, first, len(count)), p.nth(q, next-1, len(count))
		lo, hi := int32(min(a, b)), int32(max(a, b))
		type one struct {
			rank int32
			seq  int64
		}
		piece := make([]one, 0, some)
		for i, r := range of {
			if r >= lo && r <= hi {
				piece = append(piece, one{r, seqs[i]})
			}
		}
		if q.sort == "index" { // within a ten by the index itself
			these := make([]int64, len(piece))
			for i, o := range piece {
				these[i] = o.seq
			}
			if err := p.gatherThese("cond", q.down, these, visit); err != nil {
				return err
			}
			continue
		}
		slices.SortFunc(piece, func(a, b one) int {
			c := cmp.Or(cmp.Compare(a.rank, b.rank), cmp.Compare(a.seq, b.seq))
			if q.down {
				return -c
			}
			return c
		})
		for _, o := range piece {
			if err := visit(o.seq); err != nil {
				return err
			}
		}
	}
	return nil
}

// nth is the rank that comes at a place in the direction of the order.
func (p *pgQuery) nth(q *Query, i, of int) int {
	if q.down {
		return of - 1 - i
	}
	return i
}

// values are the texts of a field by their numbers.
func (p *pgQuery) values(field int64) ([]string, error) {
	rows, err := p.tx.Query(p.ctx, p.x.sql("values"), field)
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	var out []string
	for rows.Next() {
		var id, n int64
		var text []byte
		if err := rows.Scan(&id, &text, &n); err != nil {
			return nil, err
		}
		for int64(len(out)) <= id {
			out = append(out, "")
		}
		out[id] = string(text)
	}
	return out, rows.Err()
}

// columnOf calls visit for the values that the reports of sets have in a field,
// in the order of the log; only the rows of col are read that have any of them.
func (p *pgQuery) columnOf(field int64, sets []*set, n int, visit func(seq int64, id uint32)) error {
	const words = pgColBlock / 64
	for _, s := range sets {
		var blocks []int64
		for i := 0; i < len(s.w); i += words {
			some := 0
			for _, w := range s.w[i : i+words] {
				some += bits.OnesCount64(w)
			}
			if some > 0 {
				blocks = append(blocks, s.base()/pgColBlock+int64(i/words))
			}
		}
		if len(blocks) == 0 {
			continue
		}
		statement, args := p.x.sql("col of"), []any{field, blocks}
		if len(blocks)*words*2 > len(s.w) {
			statement, args = p.x.sql("col"), []any{field, s.lo * pgBlock / pgColBlock, s.hi * pgBlock / pgColBlock}
		}
		rows, err := p.tx.Query(p.ctx, statement, args...)
		if err != nil {
			return err
		}
		for rows.Next() {
			v := rows.RawValues()
			block := bigint(v[0])
			if err := eachID(v[1], func(place int, id uint32) {
				if seq := block*pgColBlock + int64(place); s.has(seq) {
					visit(seq, id)
				}
			}); err != nil {
				rows.Close()
				return unusable(err)
			}
		}
		if err := rows.Err(); err != nil {
			return err
		}
	}
	return nil
}
