package reduce

import "math/bits"

// symbol writes a value after a run of zeros.
func (e *encoder) symbol(codes *[256]uint32, run, v int32) {
	m := v >> 31
	size := uint(bits.Len32(uint32((v ^ m) - m)))
	c := codes[byte(run<<4)|byte(size)]
	e.put(c>>8<<size|uint32(v+m)&(1<<size-1), uint(c&255)+size)
}

// acSymbols writes the AC values of a block; nonzero has a bit for each that is not zero.
func (e *encoder) acSymbols(codes *[256]uint32, zz *[64]int32, nonzero uint64) {
	last := 0
	for ; nonzero != 0; nonzero &= nonzero - 1 {
		k := bits.TrailingZeros64(nonzero)
		run := k - last - 1
		for ; run > 15; run -= 16 {
			e.put(codes[0xF0]>>8, uint(codes[0xF0]&255))
		}
		e.symbol(codes, int32(run), zz[k&63])
		last = k
	}
	if last < 63 {
		e.put(codes[0]>>8, uint(codes[0]&255))
	}
}

// Constants of the forward transform, fixed point of 14 bits.
const (
	f0382 = 6270  // cos(3 pi/8)
	f0541 = 8867  // cos(pi/8) - cos(3 pi/8)
	f0707 = 11585 // cos(pi/4)
	f1306 = 21407 // cos(pi/8) + cos(3 pi/8)
)

// aan is by how much coefficient u comes out too large in one direction (Arai, Agui and Nakajima, 1988).
var aan = [8]float64{1, 1.387039845, 1.306562965, 1.175875602, 1, 0.785694958, 0.541196100, 0.275899379}

// forward8x8 is the forward transform, scaled: the scheme of Arai, Agui and Nakajima with five multiplications a line.
func forward8x8(b *[64]int32) {
	for r := 0; r < 64; r += 8 {
		l := (*[8]int32)(b[r:])
		l[0], l[1], l[2], l[3], l[4], l[5], l[6], l[7] = forward8(l[0], l[1], l[2], l[3], l[4], l[5], l[6], l[7])
	}
	for c := range 8 {
		l := (*[57]int32)(b[c:])
		l[0], l[8], l[16], l[24], l[32], l[40], l[48], l[56] = forward8(l[0], l[8], l[16], l[24], l[32], l[40], l[48], l[56])
	}
}

func times(v int32, f int64) int32 { return int32(int64(v) * f >> 14) }

func forward8(a, b, c, d, e, f, g, h int32) (x0, x1, x2, x3, x4, x5, x6, x7 int32) {
	t0, t7 := a+h, a-h
	t1, t6 := b+g, b-g
	t2, t5 := c+f, c-f
	t3, t4 := d+e, d-e
	// Even part.
	u0, u3 := t0+t3, t0-t3
	u1, u2 := t1+t2, t1-t2
	z1 := times(u2+u3, f0707)
	// Odd part.
	v0, v1, v2 := t4+t5, t5+t6, t6+t7
	z5 := times(v0-v2, f0382)
	z2, z4 := times(v0, f0541)+z5, times(v2, f1306)+z5
	z3 := times(v1, f0707)
	w1, w3 := t7+z3, t7-z3
	return u0 + u1, w1 + z4, u3 + z1, w3 - z2, u0 - u1, w3 + z2, u3 - z1, w1 - z4
}
