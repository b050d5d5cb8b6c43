package archive

import (
	"errors"

	"github.com/jackc/pgx/v5"
)

// eval is what answers the query among the blocks lo up to hi, but for phrases.
// It is one exchange with the database, whatever the query.
func (p *pgQuery) eval(lo, hi int64) (*set, error) {
	var batch pgx.Batch
	for _, l := range p.leaves {
		switch {
		case l.list != nil:
		case l.term != "":
			batch.Queue(p.x.sql("post"), []byte(l.term), lo, hi)
		case l.field != 0:
			batch.Queue(p.x.sql("col"), l.field, lo*pgBlock/pgColBlock, hi*pgBlock/pgColBlock)
		default:
			batch.Queue(p.x.sql("posts from"), []byte(l.from), []byte(l.to), lo, hi)
		}
	}
	sets := map[*pgLeaf]*set{}
	answers := p.tx.SendBatch(p.ctx, &batch)
	var err error
	for _, l := range p.leaves {
		s := newSet(lo, hi)
		if err == nil {
			err = l.read(answers, s)
		}
		sets[l] = s
	}
	if e := answers.Close(); err == nil {
		err = e
	}
	if err != nil {
		return nil, err
	}
	return p.root.eval(sets), nil
}

// read takes the answer to what eval asked for the leaf into a set.
func (l *pgLeaf) read(answers pgx.BatchResults, s *set) error {
	if l.list != nil {
		for _, seq := range l.list {
			s.add(seq)
		}
		return nil
	}
	rows, err := answers.Query()
	if err != nil {
		return err
	}
	defer rows.Close()
	for rows.Next() {
		v := rows.RawValues()
		if len(v) < 2 || len(v[len(v)-2]) != 8 {
			return unusable(errBits)
		}
		block, data := bigint(v[len(v)-2]), v[len(v)-1]
		if l.field == 0 {
			err = s.orBlock(block, data)
		} else {
			err = l.accepted(block, data, s)
		}
		if err != nil {
			return unusable(err)
		}
	}
	return rows.Err()
}

// accepted takes in the lines of a row of col with a value that is asked for.
func (l *pgLeaf) accepted(block int64, data []byte, s *set) error {
	base := block * pgColBlock
	var ids plainIDs
	n, plain := ids.plain(data)
	if at := (base - s.base()) / 64; plain && at >= 0 && at+pgColBlock/64 <= int64(len(s.w)) {
		for place, id := range ids[:n] {
			if int(id) < len(l.accept) && l.accept[id] {
				s.w[at+int64(place/64)] |= 1 << (place % 64)
			}
		}
		return nil
	}
	return eachID(data, func(place int, id uint32) {
		if int(id) < len(l.accept) && l.accept[id] {
			s.add(base + int64(place))
		}
	})
}

// bigint reads a number as the wire protocol writes it in its binary form.
func bigint(b []byte) int64 {
	n := int64(0)
	for _, c := range b {
		n = n<<8 | int64(c)
	}
	return n
}

// eval puts sets together; the first leaf's set is made use of.
func (n *pgNode) eval(sets map[*pgLeaf]*set) *set {
	if n.leaf != nil {
		return sets[n.leaf]
	}
	out := n.kids[0].eval(sets)
	for _, k := range n.kids[1:] {
		if n.any {
			out.or(k.eval(sets))
		} else {
			out.and(k.eval(sets))
		}
	}
	for _, k := range n.not {
		out.andNot(k.eval(sets))
	}
	return out
}

// pgWindow is how many blocks are looked at together at most: a million lines,
// 128 KiB for each thing that is asked for.
const pgWindow = 256

// windows calls visit for what answers the query, window by window, from the
// newest down or the oldest up; small ones first, because they may be enough.
func (p *pgQuery) windows(down, whole bool, visit func(*set) (bool, error)) error {
	size := int64(16)
	if whole {
		size = pgWindow
	}
	for done := int64(0); done < p.blocks; size = min(4*size, pgWindow) {
		n := min(size, p.blocks-done)
		lo := done
		if down {
			lo = p.blocks - done - n
		}
		s, err := p.eval(lo, lo+n)
		if err != nil {
			return err
		}
		if further, err := visit(s); err != nil || !further {
			return err
		}
		done += n
	}
	return nil
}

// everything is what answers the query, phrases as well.
func (p *pgQuery) everything(checked bool) ([]*set, int, error) {
	var out []*set
	n := 0
	err := p.windows(false, true, func(s *set) (bool, error) {
		if checked && len(p.phrases) > 0 {
			if err := p.check(s); err != nil {
				return false, err
			}
		}
		out, n = append(out, s), n+s.count()
		return true, nil
	})
	return out, n, err
}

// check takes out of a set what has not the phrases.
func (p *pgQuery) check(s *set) error {
	all := s.all()
	for len(all) > 0 {
		n := min(len(all), 2000)
		docs, err := p.docs(all[:n])
		if err != nil {
			return err
		}
		for _, seq := range all[:n] {
			if row := docs[seq]; row == nil || !p.holds(row) {
				s.w.unset(uint32(seq - s.base()))
			}
		}
		all = all[n:]
	}
	return nil
}

func (p *pgQuery) holds(row *Row) bool {
	for _, f := range p.phrases {
		if !f.holds(row) {
			return false
		}
	}
	return true
}

// docs reads reports.
func (p *pgQuery) docs(seqs []int64) (map[int64]*Row, error) {
	rows, err := p.tx.Query(p.ctx, p.x.sql("by seqs"), seqs)
	if err != nil {
		return nil, err
	}
	list, err := scanDocs(rows)
	out := make(map[int64]*Row, len(list))
	for i := range list {
		out[list[i].Seq] = &list[i]
	}
	return out, err
}

// scanDocs reads the answer of a statement that gives reports.
func scanDocs(rows pgx.Rows) ([]Row, error) {
	defer rows.Close()
	out := []Row{}
	for rows.Next() {
		var seq int64
		var doc []byte
		if err := rows.Scan(&seq, &doc); err != nil {
			return nil, err
		}
		row, err := unpackDoc(doc)
		if err != nil {
			return nil, err
		}
		row.Seq = seq
		out = append(out, *row)
	}
	return out, rows.Err()
}

// errFound ends going along an order.
var errFound = errors.New("found")
