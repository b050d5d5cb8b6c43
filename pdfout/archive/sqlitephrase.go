package archive

// wordPlaces goes along the reports of a word, with its places in each.
type wordPlaces struct {
	docs   []uint32
	rest   []byte
	at     int
	places []uint32
}

// to goes on to a report that the word is in, and reads its places there.
func (w *wordPlaces) to(doc uint32) (err error) {
	for w.docs[w.at] < doc {
		if w.rest, err = skipPlaces(w.rest); err != nil {
			return err
		}
		if w.at++; w.at == len(w.docs) {
			return errBlock
		}
	}
	w.at++
	if len(w.rest) > 0 && w.rest[0]&0x81 == 1 { // one place, in one byte, as mostly
		w.places, w.rest = append(w.places[:0], uint32(w.rest[0]>>1)), w.rest[1:]
		return nil
	}
	w.places, w.rest, err = nextPlaces(w.rest, w.places[:0])
	return err
}

// phrase puts the reports into a set in which the words stand one after the
// other; no others than those among are looked at.
func (r *reading) phrase(s *segment, words []string, among, out bitset) error {
	if len(words) == 1 {
		_, err := r.exact(s, string(termAny)+words[0], func(_ int64, b *blockReader) error { return b.or(out, s.n) })
		return err
	}
	both := newBitset(s.n)
	both.or(among)
	var found []*foundWord
	for _, w := range words {
		f, err := r.find(s, w)
		if err != nil || f == nil {
			return err
		}
		both.and(f.in)
		found = append(found, f)
	}
	if both.empty() {
		return nil // and their places need not be read
	}
	var list []*wordPlaces
	for _, f := range found {
		p, err := r.places(s, f)
		if err != nil {
			return err
		}
		list = append(list, p)
	}
	var failed error
	both.each(func(doc uint32) bool {
		for _, p := range list {
			if p.at == len(p.docs) {
				failed = errBlock
			} else {
				failed = p.to(doc)
			}
			if failed != nil {
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
			is = stands(list[i].places, first+uint32(i))
		}
		if is {
			return true
		}
	}
	return false
}

// stands tells whether one of the places, which go upwards, is at.
func stands(places []uint32, at uint32) bool {
	for _, p := range places {
		if p >= at {
			return p == at
		}
	}
	return false
}

// foundWord is a word of a segment: the reports it is in, and where its places
// are kept.
type foundWord struct {
	in    bitset
	docs  []uint32
	block int64
	index int
}

// find looks a word up; nil when it stands nowhere.
func (r *reading) find(s *segment, w string) (*foundWord, error) {
	var out *foundWord
	_, err := r.exact(s, string(termAny)+w, func(block int64, b *blockReader) (err error) {
		out = &foundWord{in: newBitset(s.n), block: block, index: b.index}
		if out.docs, err = b.docs(nil, s.n); err != nil {
			return err
		}
		return b.or(out.in, s.n)
	})
	return out, err
}

func (r *reading) places(s *segment, f *foundWord) (*wordPlaces, error) {
	var places []byte
	if err := r.tx.QueryRow(`SELECT places FROM segblock WHERE id = ?`, f.block).Scan(&places); err != nil {
		return nil, err
	}
	rest, err := placesAt(places, f.index)
	return &wordPlaces{docs: f.docs, rest: rest}, err
}
