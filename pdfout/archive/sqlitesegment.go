package archive

import (
	"encoding/binary"
	"maps"
	"slices"
	"unicode/utf8"
)

// segmentBuilder makes a segment of rows.
type segmentBuilder struct {
	docs  []uint32 // the numbers of the rows' lines, from the first on
	cols  []columnBuilder
	terms map[string]*termBuilder
	lo    int64
}

type columnBuilder struct {
	ids    []uint32
	number map[string]uint32
}

type termBuilder struct {
	docs   []uint32
	places []byte
	lastAt int // where in places the last one begins
	last   uint32
}

func newSegmentBuilder() *segmentBuilder {
	b := &segmentBuilder{cols: make([]columnBuilder, len(segmentFields)), terms: map[string]*termBuilder{}}
	for i := range b.cols {
		b.cols[i].number = map[string]uint32{}
	}
	return b
}

// add takes a row; rows come in the order of their lines.
func (b *segmentBuilder) add(r *Row) {
	if len(b.docs) == 0 {
		b.lo = r.Seq
	}
	doc := uint32(len(b.docs))
	b.docs = append(b.docs, uint32(r.Seq-b.lo))
	for i, f := range segmentFields {
		b.cols[i].add(f.of(r))
	}
	at := uint32(0)
	for _, t := range []struct {
		of   byte
		text string
	}{{termMaker, r.Maker}, {termModel, r.Model}, {termClass, r.Class}, {termPerson, r.Examiner}, {termShop, r.Shop}, {termAny, r.Words}} {
		for _, w := range Words(t.text) {
			b.word(doc, w, at)
			at++
			if t.of != termAny {
				b.term(t.of, w, doc)
			}
		}
		at++ // no phrase goes from one text into the next
	}
	for _, k := range r.Kinds {
		b.term(termKind, fold(k), doc)
	}
	for _, p := range r.Parts {
		b.term(termPart, fold(p.Part)+"\x00"+fold(p.State), doc)
	}
}

func (c *columnBuilder) add(v string) {
	id, is := c.number[v]
	if !is {
		id = uint32(len(c.number))
		c.number[v] = id
	}
	c.ids = append(c.ids, id)
}

// sorted are the values in the order of their bytes, and the ids as their
// numbers.
func (c *columnBuilder) sorted() ([]string, []uint32) {
	values := slices.Sorted(maps.Keys(c.number))
	to := make([]uint32, len(values))
	for i, v := range values {
		to[c.number[v]] = uint32(i)
	}
	for i, id := range c.ids {
		c.ids[i] = to[id]
	}
	return values, c.ids
}

func (b *segmentBuilder) of(term []byte) *termBuilder {
	t := b.terms[string(term)]
	if t == nil {
		t = &termBuilder{}
		b.terms[string(term)] = t
	}
	return t
}

func (b *segmentBuilder) term(of byte, text string, doc uint32) {
	var buf [80]byte
	b.of(append(append(buf[:0], of), text...)).in(doc)
}

// in notes that the term stands in a report; false when that is known.
func (t *termBuilder) in(doc uint32) bool {
	if len(t.docs) > 0 && t.docs[len(t.docs)-1] == doc {
		return false
	}
	t.docs = append(t.docs, doc)
	return true
}

// word notes a word and where it stands.
func (b *segmentBuilder) word(doc uint32, w string, at uint32) {
	var buf [80]byte
	t := b.of(append(append(buf[:0], termAny), w...))
	from := at
	first := t.in(doc)
	if !first {
		t.places[t.lastAt] &^= 1
		from = at - t.last
	}
	t.lastAt, t.last = len(t.places), at
	t.places = binary.AppendUvarint(t.places, uint64(from)<<1|1)
	if !first {
		return
	}
	for i, n := 0, 0; n < 2 && i < len(w); n++ {
		_, size := utf8.DecodeRuneInString(w[i:])
		i += size
		b.term(termShort, w[:i], doc)
	}
}

// write gives the segment's columns and terms to a segmentSink.
func (b *segmentBuilder) write(to *segmentSink) error {
	for i := range b.cols {
		values, ids := b.cols[i].sorted()
		if err := to.column(i, values, ids); err != nil {
			return err
		}
	}
	for _, term := range slices.Sorted(maps.Keys(b.terms)) {
		t := b.terms[term]
		if err := to.blocks.add(term, t.docs, t.places); err != nil {
			return err
		}
	}
	return to.close(b.lo, b.docs)
}
