package archive

import (
	"encoding/binary"
	"errors"
)

// The terms of a segment are kept sorted in blocks: of each what it has in
// common with the one before, the rest, and the reports it stands in. Where the
// words stand is kept in a second blob of the same number, which only phrases
// read. A term's first byte says what it is of.
const (
	termAny    = 'w' // a word of any text
	termShort  = 'W' // one or two letters with which a word of any text begins
	termMaker  = 'm'
	termModel  = 'o'
	termClass  = 'c'
	termPerson = 'e'
	termShop   = 's'
	termKind   = 'k' // a kind of mark, folded
	termPart   = 'p' // a part and its state, folded, with a zero between
)

// wordsOfField are the terms of the fields that are asked for by their words.
var wordsOfField = map[string]byte{"maker": termMaker, "model": termModel, "class": termClass, "examiner": termPerson, "shop": termShop}

// Bounds of a block; its last term may go over them.
const (
	blockTerms  = 8 << 10
	blockPlaces = 64 << 10
)

var errBlock = errors.New("a block of terms cannot be read")

// blockWriter takes sorted terms and writes full blocks.
type blockWriter struct {
	n        int // reports of the segment
	flush    func(first string, terms, places []byte) error
	first    string
	last     string
	terms    []byte
	places   []byte
	postings []byte
}

// add takes the next term, the reports it stands in, upwards, and where in them.
func (w *blockWriter) add(term string, docs []uint32, places []byte) error {
	if len(w.terms) >= blockTerms || len(w.places) >= blockPlaces {
		if err := w.close(); err != nil {
			return err
		}
	}
	if len(w.terms) == 0 {
		w.first, w.last = term, ""
	}
	same := 0
	for same < len(term) && same < len(w.last) && term[same] == w.last[same] {
		same++
	}
	w.last = term
	w.postings = appendPosting(w.postings[:0], docs, w.n)
	w.terms = binary.AppendUvarint(w.terms, uint64(same))
	w.terms = binary.AppendUvarint(w.terms, uint64(len(term)-same))
	w.terms = append(w.terms, term[same:]...)
	w.terms = append(w.terms, w.postings...)
	w.places = binary.AppendUvarint(w.places, uint64(len(places)))
	w.places = append(w.places, places...)
	return nil
}

func (w *blockWriter) close() error {
	if len(w.terms) == 0 {
		return nil
	}
	err := w.flush(w.first, w.terms, w.places)
	w.terms, w.places = w.terms[:0], w.places[:0]
	return err
}

// The ways a term's reports are written.
const (
	postAll  = iota // every report of the segment
	postOne         // one
	postList        // the steps from one to the next
	postSet         // a bit for each report of the segment
)

// appendPosting writes the reports of a term: how, how many bytes, and they.
func appendPosting(out []byte, docs []uint32, n int) []byte {
	switch {
	case len(docs) == n:
		return append(out, postAll)
	case len(docs) == 1:
		return binary.AppendUvarint(append(out, postOne), uint64(docs[0]))
	case len(docs) > n/8:
		b := newBitset(n)
		for _, d := range docs {
			b.set(d)
		}
		out = binary.AppendUvarint(append(out, postSet), uint64(len(b)*8))
		return append(out, b.bytes()...)
	}
	var list []byte
	last := uint32(0)
	for _, d := range docs {
		list = binary.AppendUvarint(list, uint64(d-last))
		last = d
	}
	out = binary.AppendUvarint(append(out, postList), uint64(len(list)))
	return append(out, list...)
}

// blockReader goes along the terms of a block.
type blockReader struct {
	rest  []byte
	term  []byte
	how   byte
	data  []byte
	one   uint32
	index int // of the term in its block, from 0
}

func readBlock(b []byte) *blockReader { return &blockReader{rest: b, index: -1} }

// next goes to the next term; false at the end.
func (r *blockReader) next() (bool, error) {
	if len(r.rest) == 0 {
		return false, nil
	}
	same, a := binary.Uvarint(r.rest)
	if a <= 0 || same > uint64(len(r.term)) {
		return false, errBlock
	}
	length, b := binary.Uvarint(r.rest[a:])
	if b <= 0 || length >= uint64(len(r.rest)-a-b) {
		return false, errBlock
	}
	r.rest = r.rest[a+b:]
	r.term = append(r.term[:same], r.rest[:length]...)
	r.how, r.rest = r.rest[length], r.rest[length+1:]
	r.index++
	r.data = nil
	if r.how == postAll {
		return true, nil
	}
	size, c := binary.Uvarint(r.rest)
	if c <= 0 {
		return false, errBlock
	}
	r.rest = r.rest[c:]
	if r.how == postOne {
		r.one = uint32(size)
		return true, nil
	}
	if size > uint64(len(r.rest)) {
		return false, errBlock
	}
	r.data, r.rest = r.rest[:size], r.rest[size:]
	return true, nil
}

// or puts the term's reports into a set of n.
func (r *blockReader) or(into bitset, n int) error {
	switch r.how {
	case postAll:
		into.fill(n)
	case postOne:
		if int(r.one) >= n {
			return errBlock
		}
		into.set(r.one)
	case postSet:
		if len(r.data) != 8*len(into) {
			return errBlock
		}
		for i := range into {
			into[i] |= binary.LittleEndian.Uint64(r.data[8*i:])
		}
	case postList:
		doc := uint32(0)
		for b := r.data; len(b) > 0; {
			step, used := uint64(b[0]), 1
			if step >= 0x80 {
				step, used = binary.Uvarint(b)
			}
			if used <= 0 {
				return errBlock
			}
			if doc += uint32(step); int(doc) >= n {
				return errBlock
			}
			into.set(doc)
			b = b[used:]
		}
	default:
		return errBlock
	}
	return nil
}

// docs appends the term's reports to a list.
func (r *blockReader) docs(out []uint32, n int) ([]uint32, error) {
	switch r.how {
	case postOne:
		if int(r.one) >= n {
			return out, errBlock
		}
		return append(out, r.one), nil
	case postList:
		doc := uint32(0)
		for b := r.data; len(b) > 0; {
			step, used := binary.Uvarint(b)
			if used <= 0 {
				return out, errBlock
			}
			if doc += uint32(step); int(doc) >= n {
				return out, errBlock
			}
			out, b = append(out, doc), b[used:]
		}
		return out, nil
	}
	set := newBitset(n)
	if err := r.or(set, n); err != nil {
		return out, err
	}
	set.each(func(d uint32) bool { out = append(out, d); return true })
	return out, nil
}

// placesAt is the part of a block's places that belongs to its term of a number.
func placesAt(b []byte, index int) ([]byte, error) {
	for {
		first, rest, err := cutPlaces(b)
		if err != nil || index == 0 {
			return first, err
		}
		b, index = rest, index-1
	}
}

// Where a word stands in a report is written as the step from the place before,
// doubled, and one more for the last place in that report.

// nextPlaces reads the places in one report, and gives what is left.
func nextPlaces(b []byte, into []uint32) (places []uint32, rest []byte, err error) {
	at := uint32(0)
	for {
		v, used := binary.Uvarint(b)
		if used <= 0 {
			return into, nil, errBlock
		}
		at += uint32(v >> 1)
		into, b = append(into, at), b[used:]
		if v&1 == 1 {
			return into, b, nil
		}
	}
}

// skipPlaces passes over the places in one report.
func skipPlaces(b []byte) ([]byte, error) {
	for len(b) > 0 {
		first := b[0]
		if first&0x81 == 1 {
			return b[1:], nil
		}
		i := 0
		for i < len(b) && b[i] >= 0x80 {
			i++
		}
		if i == len(b) {
			break
		}
		b = b[i+1:]
		if first&1 == 1 {
			return b, nil
		}
	}
	return nil, errBlock
}

// cutPlaces takes the places of the first term off a block's.
func cutPlaces(b []byte) (first, rest []byte, err error) {
	l, used := binary.Uvarint(b)
	if used <= 0 || l > uint64(len(b)-used) {
		return nil, nil, errBlock
	}
	return b[used : used+int(l)], b[used+int(l):], nil
}
