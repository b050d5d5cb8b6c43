package reduce

import "math"

// The transforms for more than half of the size, used for photographs not much larger than their previews and, at
// size 8, for whole pictures. Intermediate products are 64 bits wide and constants have 14 bits of fraction.

func idct5(blk *[64]int32, dst []byte, stride int) {
	var t [25]int32
	for x := range 5 {
		t[x], t[5+x], t[10+x], t[15+x], t[20+x] = five(blk[x], blk[8+x], blk[16+x], blk[24+x], blk[32+x])
	}
	for y := range 5 {
		r := t[5*y : 5*y+5 : 5*y+5]
		a, b, c, d, e := five(r[0]+idctBias, r[1], r[2], r[3], r[4])
		o := dst[y*stride : y*stride+5 : y*stride+5]
		o[0], o[1], o[2] = clamp8(a>>idctBits), clamp8(b>>idctBits), clamp8(c>>idctBits)
		o[3], o[4] = clamp8(d>>idctBits), clamp8(e>>idctBits)
	}
}

// five is the transform of length 5, whose even cosines are combinations of 1/4 and sqrt(5)/4. The quarter is in the factors.
func five(f0, f1, f2, f3, f4 int32) (x0, x1, x2, x3, x4 int32) {
	const (
		root5 = 36636 // sqrt 5
		c3    = 9630  // cos(3 pi/10)
		c1m3  = 5952  // cos(pi/10) - cos(3 pi/10)
		c1p3  = 25213 // cos(pi/10) + cos(3 pi/10)
	)
	p, q := times(f2+f4, root5), f2-f4
	z := times(f1+f3, c3)
	o0, o1 := z+times(f1, c1m3), z-times(f3, c1p3)
	e0, e1 := f0+p+q, f0-p+q
	return e0 + o0, e1 + o1, f0 - 4*q, e1 - o1, e0 - o0
}

func idct6(blk *[64]int32, dst []byte, stride int) {
	var t [36]int32
	for x := range 6 {
		t[x], t[6+x], t[12+x], t[18+x], t[24+x], t[30+x] = six(blk[x], blk[8+x], blk[16+x], blk[24+x], blk[32+x], blk[40+x])
	}
	for y := range 6 {
		r := t[6*y : 6*y+6 : 6*y+6]
		a, b, c, d, e, f := six(r[0]+idctBias, r[1], r[2], r[3], r[4], r[5])
		o := dst[y*stride : y*stride+6 : y*stride+6]
		o[0], o[1], o[2] = clamp8(a>>idctBits), clamp8(b>>idctBits), clamp8(c>>idctBits)
		o[3], o[4], o[5] = clamp8(d>>idctBits), clamp8(e>>idctBits), clamp8(f>>idctBits)
	}
}

// six is the transform of length 6: its even part is that of length 3, and its odd part needs one product.
func six(f0, f1, f2, f3, f4, f5 int32) (x0, x1, x2, x3, x4, x5 int32) {
	const tan = 5997 // (sqrt 3 - 1) / 2
	e := f0 + f4
	e0, e1, e2 := e+f2, f0-2*f4, e-f2
	z := times(f1+f5, tan)
	o0, o1, o2 := z+f1+f3, f1-f3-f5, z+f5-f3
	return e0 + o0, e1 + o1, e2 + o2, e2 - o2, e1 - o1, e0 - o0
}

// idctAny makes the transform of size n from its cosines, for the sizes that have no short form here.
func idctAny(n int) idctFunc {
	var cos [8][8]int32 // cos[x][u], 14 bits
	for x := range n {
		for u := range n {
			cos[x][u] = int32(math.Round(math.Cos(float64((2*x+1)*u)*math.Pi/float64(2*n)) * (1 << 14)))
		}
	}
	half := (n + 1) / 2
	// Samples x and n-1-x differ in the sign of their odd part only.
	line := func(in []int32, step int, out *[8]int32) {
		for x := range half {
			even, odd := int64(0), int64(0)
			for u := 0; u < n; u += 2 {
				even += int64(in[u*step]) * int64(cos[x][u])
			}
			for u := 1; u < n; u += 2 {
				odd += int64(in[u*step]) * int64(cos[x][u])
			}
			out[x], out[n-1-x] = int32((even+odd)>>14), int32((even-odd)>>14)
		}
	}
	return func(blk *[64]int32, dst []byte, stride int) {
		var t [64]int32
		var out [8]int32
		for x := range n {
			line(blk[x:], 8, &out)
			for y := range n {
				t[8*y+x] = out[y]
			}
		}
		for y := range n {
			t[8*y] += idctBias
			line(t[8*y:], 1, &out)
			o := dst[y*stride : y*stride+n]
			for x := range o {
				o[x] = clamp8(out[x] >> idctBits)
			}
		}
	}
}

func idct8(blk *[64]int32, dst []byte, stride int) {
	var t [64]int32
	for x := range 8 {
		c := blk[x:]
		if c[8]|c[16]|c[24]|c[32]|c[40]|c[48]|c[56] == 0 { // most columns of a photograph are flat
			for y := range 8 {
				t[8*y+x] = c[0]
			}
			continue
		}
		in := [8]int64{int64(c[0]), int64(c[8]), int64(c[16]), int64(c[24]), int64(c[32]), int64(c[40]), int64(c[48]), int64(c[56])}
		eight(&in)
		for y := range 8 {
			t[8*y+x] = int32(in[y])
		}
	}
	for y := range 8 {
		r := t[8*y : 8*y+8 : 8*y+8]
		in := [8]int64{int64(r[0]) + idctBias, int64(r[1]), int64(r[2]), int64(r[3]), int64(r[4]), int64(r[5]), int64(r[6]), int64(r[7])}
		eight(&in)
		o := dst[y*stride : y*stride+8 : y*stride+8]
		for x := range 8 {
			o[x] = clamp8(int32(in[x] >> idctBits))
		}
	}
}

// Constants of the transform of length 8, in fixed point of 14 bits.
const (
	c1414 = 23170 // sqrt 2
	c1847 = 30274 // 2 cos(pi/8)
	c1082 = 17734 // 2 (cos(pi/8) - cos(3 pi/8))
	c2613 = 42813 // 2 (cos(pi/8) + cos(3 pi/8))
)

// eight is the scaled transform of Arai, Agui and Nakajima: five multiplications.
func eight(f *[8]int64) {
	// Even part.
	t10, t11 := f[0]+f[4], f[0]-f[4]
	t13 := f[2] + f[6]
	t12 := (f[2]-f[6])*c1414>>14 - t13
	e0, e3 := t10+t13, t10-t13
	e1, e2 := t11+t12, t11-t12
	// Odd part.
	z13, z10 := f[5]+f[3], f[5]-f[3]
	z11, z12 := f[1]+f[7], f[1]-f[7]
	o7 := z11 + z13
	z5 := (z10 + z12) * c1847 >> 14
	o6 := z5 - z10*c2613>>14 - o7
	o5 := (z11-z13)*c1414>>14 - o6
	o4 := z5 - z12*c1082>>14 - o5
	f[0], f[7] = e0+o7, e0-o7
	f[1], f[6] = e1+o6, e1-o6
	f[2], f[5] = e2+o5, e2-o5
	f[3], f[4] = e3+o4, e3-o4
}
