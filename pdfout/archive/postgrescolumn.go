package archive

import (
	"math/bits"
)

// values are the texts of a field by their numbers.
func (p *pgQuery) values(field int64) ([]string, error) {
	var out []string
	err := p.eachValue(func(id, _ int64, text string) {
		for int64(len(out)) <= id {
			out = append(out, "")
		}
		out[id] = text
	}, "values", field)
	return out, err
}

// eachValue calls visit for the values that a statement gives: their numbers, how
// many reports have each, and what they say.
func (p *pgQuery) eachValue(visit func(id, n int64, text string), name string, args ...any) error {
	rows, err := p.tx.Query(p.ctx, p.x.sql(name), args...)
	if err != nil {
		return err
	}
	defer rows.Close()
	for rows.Next() {
		var id, n int64
		var text []byte
		if err := rows.Scan(&id, &text, &n); err != nil {
			return err
		}
		visit(id, n, string(text))
	}
	return rows.Err()
}

// pgColumn are rows of col of one field, and whose values are asked for.
type pgColumn struct {
	sets   []*set
	blocks []int64
	rows   [][]byte
	buffer []byte // of rows that were read last
}

// each calls visit for the values of what is asked for, in the order of the log.
func (c *pgColumn) each(visit func(seq int64, id uint32)) error {
	var ids plainIDs
	for i, row := range c.rows {
		base := c.blocks[i] * pgColBlock
		s := setOf(c.sets, base)
		n, plain := ids.plain(row)
		if !plain {
			if err := eachID(row, func(place int, id uint32) {
				if seq := base + int64(place); s.has(seq) {
					visit(seq, id)
				}
			}); err != nil {
				return unusable(err)
			}
			continue
		}
		for k, w := range s.w[(base-s.base())/64:][:pgColBlock/64] {
			for ; w != 0; w &= w - 1 {
				if place := k*64 + bits.TrailingZeros64(w); place < n && ids[place] != 0 {
					visit(base+int64(place), ids[place])
				}
			}
		}
	}
	return nil
}

// columnOf reads the rows of col of a field that any report of the sets is in.
func (p *pgQuery) columnOf(field int64, sets []*set) (*pgColumn, error) {
	const words = pgColBlock / 64
	c := &pgColumn{sets: sets}
	for _, s := range sets {
		var blocks []int64
		for i := 0; i < len(s.w); i += words {
			some := uint64(0)
			for _, w := range s.w[i : i+words] {
				some |= w
			}
			if some != 0 {
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
			return nil, err
		}
		for rows.Next() {
			v := rows.RawValues()
			if cap(c.buffer)-len(c.buffer) < len(v[1]) {
				c.buffer = make([]byte, 0, max(256<<10, len(v[1])))
			}
			at := len(c.buffer)
			c.buffer = append(c.buffer, v[1]...)
			c.blocks, c.rows = append(c.blocks, bigint(v[0])), append(c.rows, c.buffer[at:])
		}
		if err := rows.Err(); err != nil {
			return nil, err
		}
	}
	return c, nil
}
