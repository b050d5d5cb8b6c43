package reduce

import "encoding/binary"

// bitReader reads the entropy-coded bits of one restart interval. It stops at the first marker and hands out zero
// bits from there on, counting them, so that reading beyond the end is noticed without a check per bit.
type bitReader struct {
	data []byte
	pos  int    // next byte
	acc  uint64 // bits not yet consumed, from the top; below the top n there may be bits of the byte at pos
	n    uint   // bits in acc
	pad  uint   // of all bits ever put in acc, how many were made up at the end
}

func (r *bitReader) reset(pos int) { r.pos, r.acc, r.n, r.pad = pos, 0, 0, 0 }

// overrun tells whether made-up bits have been consumed. They are always the last ones in acc.
func (r *bitReader) overrun() bool { return r.n < r.pad }

// fill brings n to 56 or more.
func (r *bitReader) fill() {
	if r.pos+8 <= len(r.data) {
		x := binary.BigEndian.Uint64(r.data[r.pos:])
		// The usual test for a zero byte, on the complement: no byte of x is 0xFF.
		if y := ^x; (y-0x0101010101010101)&x&0x8080808080808080 == 0 {
			r.acc |= x >> (r.n & 63)
			r.pos += int(63-r.n) >> 3
			r.n |= 56
			return
		}
	}
	r.fillSlowly()
}

// fillSlowly goes byte by byte, undoing the stuffed zero after 0xFF (T.81 section F.1.2.3).
func (r *bitReader) fillSlowly() {
	for r.n <= 56 {
		if r.pos >= len(r.data) {
			r.n, r.pad = r.n+8, r.pad+8
			continue
		}
		b := r.data[r.pos]
		if b == 0xFF {
			if r.pos+1 >= len(r.data) || r.data[r.pos+1] != 0 {
				r.n, r.pad = r.n+8, r.pad+8
				continue
			}
			r.pos++
		}
		r.pos++
		r.acc |= uint64(b) << (56 - r.n)
		r.n += 8
	}
}

// difference reads one DC difference. ok is false when no code fits.
func (r *bitReader) difference(t *huffman) (v int32, ok bool) {
	if r.n < 32 {
		r.fill()
	}
	e := t.lut[r.acc>>(64-lutBits)]
	if e != 0 && e&lutCodeOnly == 0 {
		r.acc <<= e & lutLength
		r.n -= uint(e & lutLength)
		return int32(e) >> 16, true
	}
	_, v, ok = r.symbol(t, e)
	return v, ok
}

// symbol reads a symbol and its value when the look-up entry e did not hold them whole.
func (r *bitReader) symbol(t *huffman, e uint32) (run int, v int32, ok bool) {
	sym, l := byte(e>>16), uint(e&lutLength)
	if e == 0 {
		if sym, l = t.long(r.acc); l == 0 {
			return 0, 0, false
		}
	}
	size := uint(sym & 15)
	r.acc <<= l
	r.n -= l + size
	switch {
	case size > 0:
		v = extend(uint32(r.acc>>(64-size)), int(size))
		r.acc <<= size
	case sym>>4 < 15 && !t.dc:
		return lutEndOfBlck - 1, 0, true
	}
	return int(sym >> 4), v, true
}

// coefficients reads the AC values up to zigzag index last, times q, into their natural places in blk, and passes
// over the rest of the block. It returns the index of the last value stored, or -1 when the codes make no sense.
func (r *bitReader) coefficients(t *huffman, q *[64]int32, blk *[64]int32, last int) int {
	k, stored := 1, 0
	for k <= last {
		if r.n < 32 {
			r.fill()
		}
		e := t.lut[r.acc>>(64-lutBits)]
		adv, v := int(e>>8&lutAdvance), int32(e)>>16
		if e&lutCodeOnly == 0 && e != 0 {
			r.acc <<= e & lutLength
			r.n -= uint(e & lutLength)
		} else {
			run, value, ok := r.symbol(t, e)
			if !ok {
				return -1
			}
			adv, v = run+1, value
		}
		k += adv
		if k > 64 {
			if adv == lutEndOfBlck {
				return stored
			}
			return -1
		}
		stored = k - 1
		blk[natural[stored&63]] = v * q[stored&63]
	}
	if k < 64 && !r.pass(t, k) {
		return -1
	}
	return stored
}

// pass reads over the AC values from index k to the end of the block, several at a time.
func (r *bitReader) pass(t *huffman, k int) bool {
	for k < 64 {
		if r.n < 32 {
			r.fill()
		}
		e := t.skip[r.acc>>(64-lutBits)]
		adv := int(e >> 8 & 255)
		// Taken whole only if it cannot run past this block: its last symbols could belong to the next one.
		if adv != 0 && k+adv <= 64 {
			r.acc <<= e & lutLength
			r.n -= uint(e & lutLength)
			if e&skipEnd != 0 {
				return true
			}
			k += adv
			continue
		}
		step, ok := r.passOne(t)
		if !ok {
			return false
		}
		if step == lutEndOfBlck {
			return true
		}
		k += step
	}
	return k == 64
}

// passOne reads over one symbol and its value and returns the advance.
func (r *bitReader) passOne(t *huffman) (adv int, ok bool) {
	e := t.lut[r.acc>>(64-lutBits)]
	if e&lutCodeOnly == 0 && e != 0 {
		r.acc <<= e & lutLength
		r.n -= uint(e & lutLength)
		return int(e >> 8 & lutAdvance), true
	}
	run, _, ok := r.symbol(t, e)
	return run + 1, ok
}

// natural gives the row-major place of each zigzag index (T.81 figure A.6).
var natural = [64]uint8{
	0, 1, 8, 16, 9, 2, 3, 10, 17, 24, 32, 25, 18, 11, 4, 5,
	12, 19, 26, 33, 40, 48, 41, 34, 27, 20, 13, 6, 7, 14, 21, 28,
	35, 42, 49, 56, 57, 50, 43, 36, 29, 22, 15, 23, 30, 37, 44, 51,
	58, 59, 52, 45, 38, 31, 39, 46, 53, 60, 61, 54, 47, 55, 62, 63,
}
