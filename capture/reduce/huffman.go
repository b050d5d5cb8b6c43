package reduce

// lutBits is how many bits one table look-up sees. Eleven keeps the four tables of a colour picture in the first-level cache.
const lutBits = 11

// Layout of a huffman.lut entry: bits 0 to 5 the bits it consumes, bits 8 to 14 by how much the coefficient index
// advances, bits 16 to 31 the signed value. An entry with lutCodeOnly holds only a code: consume its length, take
// the symbol from bits 16 to 23 and read the value's bits after it. A zero entry means a code longer than lutBits.
const (
	lutLength    = 63
	lutCodeOnly  = 1 << 7
	lutAdvance   = 127
	lutEndOfBlck = 127 // the advance that stands for end of block

	skipEnd = 1 << 31 // in a huffman.skip entry: ends with end of block
)

// huffman is one decoding table.
type huffman struct {
	lut [1 << lutBits]uint32
	// skip decodes as many whole symbols as fit in lutBits when their values do not matter: bits 0 to 5 the bits
	// consumed, bits 8 to 15 the advance (one more with end of block). Zero: not one fits.
	skip [1 << lutBits]uint32

	limit [18]uint32 // per length: first 16-bit prefix that belongs to a longer code
	base  [17]int32  // per length: index of the first symbol minus its code
	syms  []byte
	dc    bool
	skips bool // skip is filled
}

// newHuffman builds the canonical code of T.81 annex C from its counts per length and its symbols.
func newHuffman(counts, syms []byte, dc bool) (*huffman, error) {
	t := &huffman{syms: append([]byte(nil), syms...), dc: dc}
	code, k := uint32(0), 0
	for l := 1; l <= 16; l++ {
		n := uint32(counts[l-1])
		if code+n > 1<<l {
			return nil, damagedJPEG("its Huffman table makes no sense")
		}
		t.base[l] = int32(k) - int32(code)
		for range n {
			sym := syms[k]
			if dc && sym > 15 {
				return nil, damagedJPEG("its Huffman table makes no sense")
			}
			if l <= lutBits {
				t.enter(code, l, sym)
			}
			code++
			k++
		}
		t.limit[l] = code << (16 - l)
		code <<= 1
	}
	t.limit[17] = 1 << 16
	return t, nil
}

// prepareSkip fills the skip table, which whole decoding does without.
func (t *huffman) prepareSkip() {
	if t.skips {
		return
	}
	t.skips = true
	for i := range t.skip {
		t.skip[i] = t.skipEntry(uint32(i))
	}
}

// enter fills the look-up entries that start with the code of l bits.
func (t *huffman) enter(code uint32, l int, sym byte) {
	run, size := uint32(sym>>4), int(sym&15)
	first := code << (lutBits - l)
	for i := range uint32(1) << (lutBits - l) {
		e := uint32(0)
		switch {
		case size == 0 && (run == 15 || t.dc): // sixteen zeros, or an unchanged DC value
			e = uint32(l) | (run+1)<<8
		case size == 0: // end of block; runs 1 to 14 do not occur in sequential files
			e = uint32(l) | lutEndOfBlck<<8
		case l+size <= lutBits:
			raw := i >> (lutBits - l - size)
			e = uint32(l+size) | (run+1)<<8 | uint32(extend(raw, size))<<16
		default:
			e = uint32(l) | lutCodeOnly | uint32(sym)<<16
		}
		t.lut[first+i] = e
	}
}

// skipEntry walks through the symbols that lie whole within the bits of index i.
func (t *huffman) skipEntry(i uint32) uint32 {
	used, adv := uint32(0), uint32(0)
	for used < lutBits {
		e := t.lut[i<<used&(1<<lutBits-1)]
		l := e & lutLength
		if e == 0 || e&lutCodeOnly != 0 || used+l > lutBits {
			break
		}
		used += l
		a := e >> 8 & lutAdvance
		if a == lutEndOfBlck {
			return used | (adv+1)<<8 | skipEnd
		}
		adv += a
	}
	return used | adv<<8
}

// long finds a code longer than lutBits at the top of acc. A length of 0 means that no code fits.
func (t *huffman) long(acc uint64) (sym byte, length uint) {
	top := uint32(acc >> 48)
	for l := lutBits + 1; l <= 16; l++ {
		if top < t.limit[l] {
			i := int32(top>>(16-l)) + t.base[l]
			if i < 0 || int(i) >= len(t.syms) {
				return 0, 0
			}
			return t.syms[i], uint(l)
		}
	}
	return 0, 0
}

// extend turns the raw bits of a value into its sign and size (T.81 figure F.12).
func extend(raw uint32, size int) int32 {
	v := int32(raw)
	if v < 1<<(size-1) {
		v += -1<<size + 1
	}
	return v
}
