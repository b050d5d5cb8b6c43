package archive

import (
	"fmt"
	"slices"
	"strings"
)

func (x *sqlite) Suggest(field, begin string, most int) ([]Count, error) {
	if !slices.Contains(SuggestFields(), field) {
		return nil, fmt.Errorf("there are no suggestions for %q; for %s", field, strings.Join(SuggestFields(), ", "))
	}
	out := []Count{}
	err := x.read(func(r *reading) (err error) {
		switch field {
		case "kind":
			out, err = r.suggestTerms(termKind, fold(begin), most)
		case "part":
			out, err = r.suggestTerms(termPart, fold(begin), most)
		default:
			out, err = r.suggestValues(fieldOf[field], begin, most)
		}
		return err
	})
	if err != nil {
		return nil, err
	}
	return out, nil
}

// suggestTerms lists kinds or parts; there are few of either.
func (r *reading) suggestTerms(of byte, begin string, most int) ([]Count, error) {
	n := map[string]int{}
	for _, h := range r.segments {
		last, in := "", newBitset(h.n)
		add := func() {
			if h.gone != nil {
				in.andNot(h.gone)
			}
			if c := in.count(); c > 0 && last != "" {
				n[last] += c
			}
		}
		err := h.beginning(r.tx, string(of)+begin, func(t *blockReader) error {
			name, _, _ := strings.Cut(string(t.term[1:]), "\x00")
			if name != last {
				add()
				clear(in)
				last = name
			}
			return t.or(in, h.n)
		})
		if err != nil {
			return nil, unusable(err)
		}
		add()
	}
	out := make([]Count, 0, len(n))
	for v, c := range n {
		out = append(out, Count{v, c})
	}
	slices.SortFunc(out, func(a, b Count) int { return strings.Compare(a.Value, b.Value) })
	return out[:min(len(out), max(0, most))], nil
}

// suggestHead goes along the values of one segment that begin so.
type suggestHead struct {
	heldSegment
	col      *column
	field    field
	at, to   int
	key      string // of the value at hand
	goneOf   map[uint32]uint32
	finished bool
}

// look skips what has no report or no key, and takes the key of what is next.
func (s *suggestHead) look() {
	for ; s.at < s.to; s.at++ {
		id := s.col.at(s.at)
		if s.key = s.field.keyOf(s.col.value(id)); s.key != "" && s.reports(id) > 0 {
			return
		}
	}
	s.finished = true
}

func (s *suggestHead) reports(id uint32) int {
	s.col.once.Do(func() {
		all := newBitset(s.n)
		all.fill(s.n)
		s.col.counts = make([]uint32, s.col.values())
		s.col.tally(all, s.col.counts)
	})
	return int(s.col.counts[id] - s.goneOf[id])
}

func (r *reading) suggestValues(number int, begin string, most int) ([]Count, error) {
	f := segmentFields[number]
	begin = f.keyOf(begin)
	var list []*suggestHead
	for _, h := range r.segments {
		c, err := h.column(r, number)
		if err != nil {
			return nil, err
		}
		s := &suggestHead{heldSegment: h, col: c, field: f}
		if h.gone != nil {
			s.goneOf = map[uint32]uint32{}
			h.gone.each(func(d uint32) bool { s.goneOf[c.id(d)]++; return true })
		}
		s.at, s.to = c.beginning(f, begin)
		s.look()
		list = append(list, s)
	}
	out := []Count{}
	for len(out) < most {
		key := ""
		for _, s := range list {
			if !s.finished && (key == "" || s.key < key) {
				key = s.key
			}
		}
		if key == "" {
			break
		}
		var c Count
		for _, s := range list {
			for ; !s.finished && s.key == key; s.look() {
				id := s.col.at(s.at)
				if v := s.col.value(id); c.N == 0 || v < c.Value {
					c.Value = v
				}
				c.N += s.reports(id)
				s.at++
			}
		}
		out = append(out, c)
	}
	return out, nil
}
