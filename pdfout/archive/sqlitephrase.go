package archive

import "slices"

// wordPlaces goes along the reports of a word, with its places in each.
type wordPlaces struct {
	docs   []uint32
	rest   []byte
	at     int
	places []uint32
}

// to goes on to a report; false when the word is not in it.
func (w *wordPlaces) to(doc uint32) (bool, error) {
	var err error
	for w.at < len(w.docs) && w.docs[w.at] < doc {
		if w.rest, err = skipPlaces(w.rest); err != nil {
			return false, err
		}
		w.at++
	}
	if w.at == len(w.docs) || w.docs[w.at] != doc {
		return false, nil
	}
	w.places, w.rest, err = nextPlaces(w.rest, w.places[:0])
	w.at++
	return true, err
}

// phrase puts the reports into a set in which the words stand one after the
// other.
func (r *reading) phrase(s *segment, words []string, out bitset) error {
	if len(words) == 1 {
		_, err := r.exact(s, string(termAny)+words[0], func(_ int64, b *blockReader) error { return b.or(out, s.n) })
		return err
	}
	both := newBitset(s.n)
	both.fill(s.n)
	var list []*wordPlaces
	for _, w := range words {
		p, in, err := r.wordPlaces(s, w)
		if err != nil || p == nil {
			return err
		}
		both.and(in)
		list = append(list, p)
	}
	var failed error
	both.each(func(doc uint32) bool {
		for _, p := range list {
			if _, failed = p.to(doc); failed != nil {
				return false
			}
		}
		if inRow(list) {
			out.set(doc)
		}
		return true
	})
	return failed
}

// inRow tells whether each word stands one place behind the one before.
func inRow(list []*wordPlaces) bool {
	for _, first := range list[0].places {
		is := true
		for i := 1; i < len(list) && is; i++ {
			_, is = slices.BinarySearch(list[i].places, first+uint32(i))
		}
		if is {
			return true
		}
	}
	return false
}

// wordPlaces reads where a word stands; nil when it stands nowhere.
func (r *reading) wordPlaces(s *segment, w string) (*wordPlaces, bitset, error) {
	var p *wordPlaces
	in := newBitset(s.n)
	_, err := r.exact(s, string(termAny)+w, func(block int64, b *blockReader) (err error) {
		p = &wordPlaces{}
		if p.docs, err = b.docs(nil, s.n); err != nil {
			return err
		}
		if err := b.or(in, s.n); err != nil {
			return err
		}
		var places []byte
		if err := r.tx.QueryRow(`SELECT places FROM segblock WHERE id = ?`, block).Scan(&places); err != nil {
			return err
		}
		p.rest, err = placesAt(places, b.index)
		return err
	})
	return p, in, err
}
