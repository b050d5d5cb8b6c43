package archive

import (
	"encoding/binary"
	"errors"
	"math"
	"slices"
	"sort"
	"strings"
	"sync"
)

// column holds one field of all reports of a segment: the values that there
// are, each once and in the order of their bytes, and the number of its value
// for each report. It never changes.
type column struct {
	text  string   // all values, one behind the other
	ends  []uint32 // where each ends
	ids8  []uint8  // one of the three, by how many values there are; none for a single value
	ids16 []uint16
	ids32 []uint32
	rank  []uint32 // of each value, its place by key, the same for the same key; nil when it is the value's number
	place []uint32 // the values in the order of their keys; nil as rank

	once   sync.Once
	counts []uint32 // reports of each value, counted when first asked for
}

func (c *column) values() int { return len(c.ends) }

func (c *column) value(id uint32) string {
	if id == 0 {
		return c.text[:c.ends[0]]
	}
	return c.text[c.ends[id-1]:c.ends[id]]
}

// at is the value at a place in the order of keys.
func (c *column) at(place int) uint32 {
	if c.place == nil {
		return uint32(place)
	}
	return c.place[place]
}

// id is the number of a report's value.
func (c *column) id(doc uint32) uint32 {
	switch {
	case c.ids8 != nil:
		return uint32(c.ids8[doc])
	case c.ids16 != nil:
		return uint32(c.ids16[doc])
	case c.ids32 != nil:
		return c.ids32[doc]
	}
	return 0
}

func (c *column) rankOf(id uint32) uint32 {
	if c.rank == nil {
		return id
	}
	return c.rank[id]
}

// size is what it takes in memory, in bytes.
func (c *column) size() int {
	return len(c.text) + 4*(len(c.ends)+len(c.ids32)+len(c.rank)+len(c.place)+len(c.counts)) + len(c.ids8) + 2*len(c.ids16)
}

// first is the first place whose value is so; is must be false and then true
// along the order of keys.
func (c *column) first(is func(value string) bool) int {
	return sort.Search(c.values(), func(i int) bool { return is(c.value(c.at(i))) })
}

// beginning are the places of the values whose key begins so.
func (c *column) beginning(f field, begin string) (from, to int) {
	from = c.first(func(v string) bool { return f.keyOf(v) >= begin })
	to = c.first(func(v string) bool { k := f.keyOf(v); return k > begin && !strings.HasPrefix(k, begin) })
	return from, max(from, to)
}

// mark puts the reports into a set whose values are at these places.
func (c *column) mark(from, to, n int, into bitset) {
	switch {
	case from >= to:
	case from == 0 && to == c.values():
		into.fill(n)
	default:
		in := c.within(from, to)
		markIDs(c.ids8, in, into)
		markIDs(c.ids16, in, into)
		markIDs(c.ids32, in, into)
	}
}

// within tells of each value whether it is at these places: 1 or 0.
func (c *column) within(from, to int) []uint8 {
	in := make([]uint8, c.values())
	for i := from; i < to; i++ {
		in[c.at(i)] = 1
	}
	return in
}

func markIDs[T uint8 | uint16 | uint32](ids []T, in []uint8, into bitset) {
	for w := 0; w*64 < len(ids); w++ {
		var word uint64
		for i, id := range ids[w*64 : min(len(ids), w*64+64)] {
			word |= uint64(in[id]) << i
		}
		into[w] |= word
	}
}

// tally counts the reports of a set by value, into counts.
func (c *column) tally(of bitset, counts []uint32) {
	switch {
	case c.ids8 != nil:
		of.each(func(d uint32) bool { counts[c.ids8[d]]++; return true })
	case c.ids16 != nil:
		of.each(func(d uint32) bool { counts[c.ids16[d]]++; return true })
	case c.ids32 != nil:
		of.each(func(d uint32) bool { counts[c.ids32[d]]++; return true })
	default:
		counts[0] += uint32(of.count())
	}
}

// encodeColumn writes a column: the values that ids numbers, each once and in
// the order of their bytes.
func encodeColumn(f field, values []string, ids []uint32) []byte {
	place := placesOf(f, values)
	out := binary.AppendUvarint(nil, uint64(len(values)))
	flag := byte(0)
	if place != nil {
		flag = 1
	}
	out = append(out, flag)
	for _, v := range values {
		out = binary.AppendUvarint(out, uint64(len(v)))
	}
	for _, v := range values {
		out = append(out, v...)
	}
	for _, p := range place {
		out = binary.LittleEndian.AppendUint32(out, p)
	}
	for _, id := range ids {
		switch {
		case len(values) <= 1:
		case len(values) <= 1<<8:
			out = append(out, byte(id))
		case len(values) <= 1<<16:
			out = binary.LittleEndian.AppendUint16(out, uint16(id))
		default:
			out = binary.LittleEndian.AppendUint32(out, id)
		}
	}
	return out
}

// sameKey marks a place whose key is that of the place before.
const sameKey = 1 << 31

// placesOf is the order of values by key; nil when it is that of their bytes and
// no two keys are alike.
func placesOf(f field, values []string) []uint32 {
	if f.sorted {
		return nil
	}
	keys, place := make([]string, len(values)), make([]uint32, len(values))
	plain := true
	for i, v := range values {
		keys[i], place[i] = f.keyOf(v), uint32(i)
		plain = plain && (i == 0 || keys[i-1] < keys[i])
	}
	if plain {
		return nil
	}
	slices.SortStableFunc(place, func(a, b uint32) int { return strings.Compare(keys[a], keys[b]) })
	for i := len(place) - 1; i > 0; i-- {
		if keys[place[i]] == keys[place[i-1]] {
			place[i] |= sameKey
		}
	}
	return place
}

var errColumn = errors.New("a column cannot be read")

// decodeColumn reads a column of n reports.
func decodeColumn(b []byte, n int) (*column, error) {
	count, used := binary.Uvarint(b)
	if used <= 0 || count > uint64(len(b)) || count > math.MaxInt32 || len(b) <= used {
		return nil, errColumn
	}
	keyed := b[used] == 1
	b = b[used+1:]
	c := &column{ends: make([]uint32, count)}
	end := uint64(0)
	for i := range c.ends {
		l, used := binary.Uvarint(b)
		if used <= 0 {
			return nil, errColumn
		}
		end += l
		c.ends[i], b = uint32(end), b[used:]
	}
	if end > uint64(len(b)) {
		return nil, errColumn
	}
	c.text, b = string(b[:end]), b[end:]
	if keyed {
		if len(b) < int(count)*4 {
			return nil, errColumn
		}
		if !c.order(b[:count*4]) {
			return nil, errColumn
		}
		b = b[count*4:]
	}
	return c, c.number(b, n)
}

func (c *column) order(b []byte) bool {
	c.place, c.rank = make([]uint32, len(c.ends)), make([]uint32, len(c.ends))
	rank := uint32(0)
	for i := range c.place {
		p := binary.LittleEndian.Uint32(b[4*i:])
		if p&sameKey == 0 {
			rank = uint32(i)
		}
		p &^= sameKey
		if int(p) >= len(c.rank) {
			return false
		}
		c.place[i], c.rank[p] = p, rank
	}
	return true
}

// number reads the numbers of the reports' values.
func (c *column) number(b []byte, n int) error {
	top := uint32(0)
	switch v := len(c.ends); {
	case v <= 1 && (v == 1 || n == 0):
		return nil
	case v <= 1<<8 && len(b) == n:
		c.ids8 = b
		for _, id := range b {
			top = max(top, uint32(id))
		}
	case v <= 1<<16 && len(b) == 2*n:
		c.ids16 = make([]uint16, n)
		for i := range c.ids16 {
			c.ids16[i] = binary.LittleEndian.Uint16(b[2*i:])
			top = max(top, uint32(c.ids16[i]))
		}
	case len(b) == 4*n:
		c.ids32 = make([]uint32, n)
		for i := range c.ids32 {
			c.ids32[i] = binary.LittleEndian.Uint32(b[4*i:])
			top = max(top, c.ids32[i])
		}
	default:
		return errColumn
	}
	if int(top) >= len(c.ends) {
		return errColumn
	}
	return nil
}
