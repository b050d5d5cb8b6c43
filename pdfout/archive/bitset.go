package archive

import (
	"encoding/binary"
	"math/bits"
)

// bitset is a set of places: in the embedded index those of a segment's reports,
// in PostgreSQL's those of the log's lines from a block on.
type bitset []uint64

func newBitset(n int) bitset { return make(bitset, (n+63)/64) }

// fill puts the first n in.
func (b bitset) fill(n int) {
	for i := range b {
		b[i] = ^uint64(0)
	}
	if n%64 != 0 {
		b[len(b)-1] = 1<<(n%64) - 1
	}
}

func (b bitset) set(i uint32)      { b[i>>6] |= 1 << (i & 63) }
func (b bitset) unset(i uint32)    { b[i>>6] &^= 1 << (i & 63) }
func (b bitset) has(i uint32) bool { return b[i>>6]&(1<<(i&63)) != 0 }

func (b bitset) and(o bitset) {
	for i, w := range o {
		b[i] &= w
	}
}

func (b bitset) andNot(o bitset) {
	for i, w := range o {
		b[i] &^= w
	}
}

func (b bitset) or(o bitset) {
	for i, w := range o {
		b[i] |= w
	}
}

func (b bitset) count() (n int) {
	for _, w := range b {
		n += bits.OnesCount64(w)
	}
	return n
}

func (b bitset) countAnd(o bitset) (n int) {
	for i, w := range o {
		n += bits.OnesCount64(w & b[i])
	}
	return n
}

func (b bitset) empty() bool {
	for _, w := range b {
		if w != 0 {
			return false
		}
	}
	return true
}

// each visits what is in the set, upwards, until visit says no.
func (b bitset) each(visit func(uint32) bool) {
	for i, w := range b {
		for ; w != 0; w &= w - 1 {
			if !visit(uint32(i<<6 + bits.TrailingZeros64(w))) {
				return
			}
		}
	}
}

// eachDown is each, downwards.
func (b bitset) eachDown(visit func(uint32) bool) {
	for i := len(b) - 1; i >= 0; i-- {
		for w := b[i]; w != 0; {
			top := bits.Len64(w) - 1
			if !visit(uint32(i<<6 + top)) {
				return
			}
			w &^= 1 << top
		}
	}
}

func (b bitset) bytes() []byte {
	out := make([]byte, 0, len(b)*8)
	for _, w := range b {
		out = binary.LittleEndian.AppendUint64(out, w)
	}
	return out
}
