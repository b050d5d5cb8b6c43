package archive

import (
	"errors"
	"testing"
)

// Blobs of an index that came with a copied archive are read without a panic,
// whatever is in them.
func FuzzSegmentBlobs(f *testing.F) {
	values, ids := []string{"A", "b", "É"}, []uint32{0, 1, 2, 1, 0, 2, 2}
	f.Add(encodeColumn(segmentFields[1], values, ids), uint8(len(ids)))
	f.Add(encodeColumn(segmentFields[8], values, ids), uint8(len(ids)))
	var terms, places []byte
	w := &blockWriter{n: 20, flush: func(_ string, t, p []byte) error { terms, places = t, p; return nil }}
	for _, t := range []struct {
		term string
		docs []uint32
	}{{"kding", []uint32{1, 4}}, {"wcase", []uint32{0}}, {"wcases", []uint32{1, 2, 3, 9}}, {"wkey", []uint32{0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 14, 15, 16, 17, 18, 19}}} {
		if err := w.add(t.term, t.docs, []byte{3, 4, 5}); err != nil {
			f.Fatal(err)
		}
	}
	if err := w.close(); err != nil {
		f.Fatal(err)
	}
	f.Add(terms, uint8(20))
	f.Add(places, uint8(3))
	f.Add([]byte{0xff, 0xff, 0xff, 0xff, 0xff, 0xff, 0xff, 0xff, 0x7f, 1}, uint8(2))
	f.Fuzz(func(t *testing.T, b []byte, n uint8) {
		if c, err := decodeColumn(b, int(n)); err == nil && n > 0 {
			set := newBitset(int(n))
			for number := range segmentFields {
				from, to := c.beginning(segmentFields[number], "b")
				c.mark(from, to, int(n), set)
			}
			c.tally(set, make([]uint32, c.values()))
			leastKeys(c, set, 3, true)
		}
		set := newBitset(int(n))
		for r := readBlock(b); ; {
			more, err := r.next()
			if err != nil && !errors.Is(err, errBlock) {
				t.Fatal(err)
			}
			if !more || err != nil {
				break
			}
			if err := r.or(set, int(n)); err != nil && !errors.Is(err, errBlock) {
				t.Fatal(err)
			}
			if docs, err := r.docs(nil, int(n)); err == nil && len(docs) > len(b)*64+64 {
				t.Fatalf("%d reports of %d bytes", len(docs), len(b))
			}
		}
		p, err := placesAt(b, int(n))
		for err == nil && len(p) > 0 {
			if n%2 == 0 {
				p, err = skipPlaces(p)
			} else {
				_, p, err = nextPlaces(p, nil)
			}
		}
	})
}
