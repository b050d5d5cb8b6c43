package archive

import (
	"encoding/binary"
	"errors"
	"math/bits"
	"slices"
)

// pgBlock is how many numbers of log lines one row of post speaks of. A block in
// which many have the term is 512 bytes of bits, one with few a list.
const (
	pgBlock      = 4096
	pgBlockBytes = pgBlock / 8
	pgBlockWords = pgBlock / 64
)

// set is a set of numbers of log lines in blocks lo up to hi.
type set struct {
	lo, hi int64
	w      bitset
}

func newSet(lo, hi int64) *set { return &set{lo, hi, newBitset(int(hi-lo) * pgBlock)} }

func (s *set) and(o *set)    { s.w.and(o.w) }
func (s *set) andNot(o *set) { s.w.andNot(o.w) }
func (s *set) or(o *set)     { s.w.or(o.w) }
func (s *set) count() int    { return s.w.count() }

func (s *set) base() int64 { return s.lo * pgBlock }

// add takes in a number; one outside the blocks is passed over.
func (s *set) add(seq int64) {
	if i := seq - s.base(); i >= 0 && i < int64(len(s.w))*64 {
		s.w.set(uint32(i))
	}
}

func (s *set) has(seq int64) bool {
	i := seq - s.base()
	return i >= 0 && i < int64(len(s.w))*64 && s.w.has(uint32(i))
}

// each calls visit for every number, from the highest down or the lowest up,
// until it says enough.
func (s *set) each(down bool, visit func(seq int64) bool) {
	base := s.base()
	number := func(i uint32) bool { return visit(base + int64(i)) }
	if down {
		s.w.eachDown(number)
	} else {
		s.w.each(number)
	}
}

// all are the numbers, from the lowest up.
func (s *set) all() []int64 {
	out := make([]int64, 0, s.count())
	s.each(false, func(seq int64) bool { out = append(out, seq); return true })
	return out
}

var errBits = errors.New("a row of the index is damaged")

// orBlock takes in a stored row of post.
func (s *set) orBlock(block int64, data []byte) error {
	if block < s.lo || block >= s.hi {
		return nil
	}
	w := s.w[(block-s.lo)*pgBlockWords:][:pgBlockWords]
	if len(data) == pgBlockBytes {
		for i := range w {
			w[i] |= binary.LittleEndian.Uint64(data[i*8:])
		}
		return nil
	}
	if len(data)%2 != 0 || len(data) > pgBlockBytes {
		return errBits
	}
	for i := 0; i < len(data); i += 2 {
		v := binary.LittleEndian.Uint16(data[i:])
		if v >= pgBlock {
			return errBits
		}
		w.set(uint32(v))
	}
	return nil
}

// merged is a stored row of post with some places of the block added, or taken
// out; nil when none is left. Places come in any order and may repeat.
func merged(data []byte, places []uint16, out bool) ([]byte, error) {
	if !out && len(data) < pgBlockBytes-2*len(places) && len(data)%2 == 0 {
		return mergedList(data, places), nil
	}
	s := newSet(0, 1)
	if err := s.orBlock(0, data); err != nil {
		return nil, err
	}
	for _, p := range places {
		if out {
			s.w.unset(uint32(p))
		} else {
			s.w.set(uint32(p))
		}
	}
	n := s.count()
	if n == 0 {
		return nil, nil
	}
	if 2*n >= pgBlockBytes {
		return s.w.bytes(), nil
	}
	b := make([]byte, 0, 2*n)
	s.each(false, func(seq int64) bool { b = binary.LittleEndian.AppendUint16(b, uint16(seq)); return true })
	return b, nil
}

// mergedList adds places to a list that stays one.
func mergedList(data []byte, places []uint16) []byte {
	list := make([]uint16, 0, len(data)/2+len(places))
	for i := 0; i < len(data); i += 2 {
		list = append(list, binary.LittleEndian.Uint16(data[i:]))
	}
	list = append(list, places...)
	slices.Sort(list)
	list = slices.Compact(list)
	b := make([]byte, 0, 2*len(list))
	for _, v := range list {
		b = binary.LittleEndian.AppendUint16(b, v)
	}
	return b
}

// pgColBlock is how many log lines one row of col speaks of.
const pgColBlock = 512

// ids are the values of one field in one row of col, as their numbers: of each
// log line none, one or several. 0 is no value.
type ids [pgColBlock][]uint32

// packIDs is how a row of col is stored: a byte that tells the width of a number
// and the numbers, where no line has several; else the byte 255, then for each
// line how many, and these, as varints. What is empty at the end is left out.
func (c *ids) pack() []byte {
	last, most, several := -1, uint32(0), false
	for i, list := range c {
		if len(list) == 0 {
			continue
		}
		last, several = i, several || len(list) > 1
		for _, v := range list {
			most = max(most, v)
		}
	}
	if last < 0 {
		return nil
	}
	if several {
		b := []byte{255}
		for _, list := range c[:last+1] {
			b = binary.AppendUvarint(b, uint64(len(list)))
			for _, v := range list {
				b = binary.AppendUvarint(b, uint64(v))
			}
		}
		return b
	}
	width := (bits.Len32(most) + 7) / 8
	b := make([]byte, 1, 1+(last+1)*width)
	b[0] = byte(width)
	for _, list := range c[:last+1] {
		v := uint32(0)
		if len(list) > 0 {
			v = list[0]
		}
		for k := range width {
			b = append(b, byte(v>>(8*k)))
		}
	}
	return b
}

// plain reads a stored row of col in which no line has several values: the value
// of each of the first n lines, 0 for none. False for other rows.
func (v *plainIDs) plain(b []byte) (n int, is bool) {
	if len(b) == 0 {
		return 0, true
	}
	width := int(b[0])
	b = b[1:]
	if width < 1 || width > 4 || len(b)%width != 0 || len(b)/width > pgColBlock {
		return 0, false
	}
	n = len(b) / width
	switch width {
	case 1:
		for i, c := range b {
			v[i] = uint32(c)
		}
	case 2:
		for i := range n {
			v[i] = uint32(binary.LittleEndian.Uint16(b[2*i:]))
		}
	case 3:
		for i := range n {
			v[i] = uint32(b[3*i]) | uint32(b[3*i+1])<<8 | uint32(b[3*i+2])<<16
		}
	case 4:
		for i := range n {
			v[i] = binary.LittleEndian.Uint32(b[4*i:])
		}
	}
	return n, true
}

// plainIDs are the values of a row of col, at most one each line.
type plainIDs [pgColBlock]uint32

// eachID calls visit for every value of a stored row of col, by the place in it.
func eachID(b []byte, visit func(place int, id uint32)) error {
	if len(b) == 0 {
		return nil
	}
	kind, b := b[0], b[1:]
	if kind != 255 {
		width := int(kind)
		if width < 1 || width > 4 || len(b)%width != 0 || len(b)/width > pgColBlock {
			return errBits
		}
		for place := 0; len(b) > 0; place, b = place+1, b[width:] {
			v := uint32(0)
			for k := range width {
				v |= uint32(b[k]) << (8 * k)
			}
			if v != 0 {
				visit(place, v)
			}
		}
		return nil
	}
	for place := 0; len(b) > 0; place++ {
		n, k := binary.Uvarint(b)
		if k <= 0 || place >= pgColBlock || n > uint64(len(b)) {
			return errBits
		}
		b = b[k:]
		for range n {
			v, k := binary.Uvarint(b)
			if k <= 0 || v > 1<<32-1 {
				return errBits
			}
			b = b[k:]
			visit(place, uint32(v))
		}
	}
	return nil
}
