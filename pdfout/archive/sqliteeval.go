package archive

import (
	"slices"
	"strings"
	"unicode/utf8"
)

// answers is what answers a query, segment by segment.
func (r *reading) answers(q *Query) ([]bitset, error) {
	out := make([]bitset, len(r.segments))
	terms := slices.Clone(q.terms)
	slices.SortStableFunc(terms, func(a, b term) int { return a.cost() - b.cost() })
	for i, h := range r.segments {
		all := newBitset(h.n)
		all.fill(h.n)
		if h.gone != nil {
			all.andNot(h.gone)
		}
		for _, t := range terms {
			if all.empty() {
				break
			}
			b, err := r.evaluate(h.segment, t, all)
			if err != nil {
				return nil, unusable(err)
			}
			if t.not {
				all.andNot(b)
			} else {
				all.and(b)
			}
		}
		out[i] = all
	}
	return out, nil
}

// cost orders the terms: what is found quickly comes first, as the rest is left
// when nothing answers any more.
func (t term) cost() int {
	switch t.op {
	case opPhrase:
		return 2
	case opWords, opKind, opPart:
		return 1
	}
	return 0
}

// evaluate are the reports of a segment of which a term, without its not, holds;
// at least all of them that are among those asked for.
func (r *reading) evaluate(s *segment, t term, among bitset) (bitset, error) {
	out := newBitset(s.n)
	switch t.op {
	case opWords:
		return out, r.words(s, t, out)
	case opPhrase:
		return out, r.phrase(s, split(t.text), among, out)
	case opKind:
		return out, s.beginning(r.tx, string(termKind)+t.text, func(b *blockReader) error { return b.or(out, s.n) })
	case opPart:
		return out, r.part(s, t, out)
	case opPrefix:
		if t.column == "hash" {
			return out, r.hash(s, t.text, out)
		}
		return out, r.column(s, t.column, out, func(c *column, f field) (int, int) { return c.beginning(f, t.text) })
	case opEqual:
		return out, r.column(s, t.column, out, func(c *column, f field) (int, int) {
			return c.first(func(v string) bool { return v >= t.text }), c.first(func(v string) bool { return v > t.text })
		})
	case opMore:
		return out, r.column(s, t.column, out, func(c *column, f field) (int, int) {
			return c.first(func(v string) bool { return v > orderedInt(0) }), c.values()
		})
	case opYears:
		return out, r.years(s, t, out)
	}
	return out, r.column(s, t.column, out, t.span)
}

// column puts the reports into a set whose values are at the places that pick
// gives.
func (r *reading) column(s *segment, name string, into bitset, pick func(*column, field) (int, int)) error {
	number := fieldOf[name]
	c, err := s.column(r, number)
	if err != nil {
		return err
	}
	from, to := pick(c, segmentFields[number])
	c.mark(from, to, s.n, into)
	return nil
}

// span are the places of a range's values.
func (t term) span(c *column, f field) (from, to int) {
	from, to = c.first(func(v string) bool { return v != "" }), c.values()
	if t.from != nil {
		low := ordered(t.from)
		from = max(from, c.first(func(v string) bool { return f.keyOf(v) >= low }))
	}
	if t.to != nil {
		high := ordered(t.to)
		to = c.first(func(v string) bool {
			k := f.keyOf(v)
			return k > high || (t.under && k == high)
		})
	}
	return from, to
}

func (r *reading) years(s *segment, t term, out bitset) error {
	low := max(1, t.from.(int))
	if err := r.column(s, "yearto", out, func(c *column, _ field) (int, int) {
		return c.first(func(v string) bool { return intOf(v) >= int64(low) }), c.values()
	}); err != nil {
		return err
	}
	begun := newBitset(s.n)
	if err := r.column(s, "yearfrom", begun, func(c *column, _ field) (int, int) {
		return 0, c.first(func(v string) bool { return intOf(v) > int64(t.to.(int)) })
	}); err != nil {
		return err
	}
	out.and(begun)
	return nil
}

func (r *reading) part(s *segment, t term, out bitset) error {
	return s.beginning(r.tx, string(termPart)+t.text, func(b *blockReader) error {
		_, state, _ := strings.Cut(string(b.term), "\x00")
		if len(t.states) > 0 && !slices.Contains(t.states, state) {
			return nil
		}
		return b.or(out, s.n)
	})
}

// hash finds the few reports whose SHA-256 begins so.
func (r *reading) hash(s *segment, begin string, out bitset) error {
	rest := max(0, 64-len(begin))
	rows, err := r.tx.Query(`SELECT seq FROM report WHERE hash >= ? AND hash <= ?`, packed(begin+strings.Repeat("0", rest)), packed(begin+strings.Repeat("f", rest)))
	if err != nil {
		return err
	}
	defer rows.Close()
	for rows.Next() {
		var seq int64
		if err := rows.Scan(&seq); err != nil {
			return err
		}
		doc, is, err := s.docOf(r.tx, seq)
		if err != nil {
			return err
		}
		if is {
			out.set(doc)
		}
	}
	return rows.Err()
}

// words: each word begins a word of the texts or of one field; without a field,
// a serial number that begins so will do as well.
func (r *reading) words(s *segment, t term, out bitset) error {
	for i, w := range split(t.text) {
		one := out
		if i > 0 {
			one = newBitset(s.n)
		}
		if err := r.word(s, t.column, w, one); err != nil {
			return err
		}
		if i > 0 {
			out.and(one)
		}
	}
	key := SerialKey(t.text)
	if t.column != "" || !strings.ContainsAny(key, "0123456789") {
		return nil
	}
	return r.column(s, "serial", out, func(c *column, f field) (int, int) { return c.beginning(f, key) })
}

// word are the reports with a word that begins so.
func (r *reading) word(s *segment, column, w string, out bitset) error {
	of := byte(termAny)
	if column != "" {
		of = wordsOfField[column]
	} else if utf8.RuneCountInString(w) <= 2 {
		_, err := r.exact(s, string(termShort)+w, func(_ int64, b *blockReader) error { return b.or(out, s.n) })
		return err
	}
	return s.beginning(r.tx, string(of)+w, func(b *blockReader) error { return b.or(out, s.n) })
}

// exact visits one term, and tells whether there is such a one.
func (r *reading) exact(s *segment, term string, visit func(block int64, b *blockReader) error) (found bool, err error) {
	err = s.terms(r.tx, term, func(block int64, b *blockReader) (bool, error) {
		if string(b.term) != term {
			return false, nil
		}
		found = true
		return false, visit(block, b)
	})
	return found, err
}
