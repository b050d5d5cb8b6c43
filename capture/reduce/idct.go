package reduce

import "math"

// The reduced inverse transform takes the N x N lowest coefficients of an 8 x 8 block and gives N x N samples: the
// block's part of the picture at N/8 of its size, low-passed by leaving the high frequencies out.
//
//	f(x) = 1/2 sum over u < N of C(u) F(u) cos((2x+1) u pi / 2N),   C(0) = 1/sqrt 2, else 1
//
// in each direction (T.81 section A.3.3 with N in place of 8). As many of the factors as possible are multiplied
// into the quantisation table beforehand, so that the transform itself has few multiplications left.

// idctBits is the fixed point of the dequantised coefficients.
const idctBits = 16

// idctBias adds the level shift of 128 and half a unit of rounding to the DC coefficient.
const idctBias = 128<<idctBits + 1<<(idctBits-1)

type idctFunc func(blk *[64]int32, dst []byte, stride int)

// idcts holds the transform for each N.
var idcts = [9]idctFunc{1: idct1, 2: idct2, 3: idct3, 4: idct4, 5: idct5, 6: idct6, 7: idctAny(7), 8: idct8}

// idctFactor is what coefficient u is multiplied with beforehand, in one direction, for the transform of size n.
func idctFactor(n, u int) float64 {
	cos := func(num, den float64) float64 { return math.Cos(num * math.Pi / den) }
	if u == 0 {
		return math.Sqrt2 / 4
	}
	switch n {
	case 2:
		return cos(1, 4) / 2
	case 3:
		return [3]float64{0, cos(1, 6) / 2, cos(1, 3) / 2}[u]
	case 4:
		return [4]float64{0, cos(1, 8) / 2, cos(1, 4) / 2, cos(3, 8) / 2}[u]
	case 5:
		return [5]float64{0, 0.5, 0.125, 0.5, 0.125}[u]
	case 6:
		return [6]float64{0, cos(1, 4) / 2, cos(1, 6) / 2, cos(1, 4) / 2, cos(1, 3) / 2, cos(1, 4) / 2}[u]
	case 8:
		return cos(float64(u), 16) / 2 // as Arai, Agui and Nakajima (1988) have it
	}
	return 0.5
}

// scaledQuant folds the factors into a quantisation table, both in zigzag order.
func scaledQuant(q *[64]uint16, n int) (out [64]int32) {
	for k, at := range natural {
		u, v := int(at&7), int(at>>3)
		if u < n && v < n {
			out[k] = int32(math.Round(float64(q[k]) * idctFactor(n, u) * idctFactor(n, v) * (1 << idctBits)))
		}
	}
	return out
}

// lastNeeded is the highest zigzag index among the n x n lowest coefficients.
func lastNeeded(n int) int {
	last := 0
	for k, at := range natural {
		if int(at&7) < n && int(at>>3) < n {
			last = k
		}
	}
	return last
}

func clamp8(v int32) byte {
	if uint32(v) > 255 {
		v = ^(v >> 31) & 255
	}
	return byte(v)
}

func idct1(blk *[64]int32, dst []byte, _ int) {
	dst[0] = clamp8((blk[0] + idctBias) >> idctBits)
}

func idct2(blk *[64]int32, dst []byte, stride int) {
	a, b := blk[0]+idctBias, blk[1]
	c, d := blk[8], blk[9]
	r0, r1 := dst[0:2:2], dst[stride:stride+2:stride+2]
	r0[0], r0[1] = clamp8((a+b+c+d)>>idctBits), clamp8((a-b+c-d)>>idctBits)
	r1[0], r1[1] = clamp8((a+b-c-d)>>idctBits), clamp8((a-b-c+d)>>idctBits)
}

func idct3(blk *[64]int32, dst []byte, stride int) {
	b := (*[19]int32)(blk[:])
	d0, d1, d2 := b[0]+idctBias, b[1], b[2]
	// Columns: x0 = e + o, x1 = e' , x2 = e - o.
	p, q := d0+b[16], b[8]
	a0, a1, a2 := p+q, d0-2*b[16], p-q
	p, q = d1+b[17], b[9]
	b0, b1, b2 := p+q, d1-2*b[17], p-q
	p, q = d2+b[18], b[10]
	c0, c1, c2 := p+q, d2-2*b[18], p-q
	row := func(r []byte, e, o, f int32) {
		s := e + f
		r[0], r[1], r[2] = clamp8((s+o)>>idctBits), clamp8((e-2*f)>>idctBits), clamp8((s-o)>>idctBits)
	}
	row(dst[0:3:3], a0, b0, c0)
	row(dst[stride:stride+3:stride+3], a1, b1, c1)
	row(dst[2*stride:2*stride+3:2*stride+3], a2, b2, c2)
}

// sqrt2 in fixed point of 14 bits.
const sqrt2 = 23170

func idct4(blk *[64]int32, dst []byte, stride int) {
	var t [16]int32
	for x := range 4 {
		t[x], t[4+x], t[8+x], t[12+x] = four(blk[x], blk[8+x], blk[16+x], blk[24+x])
	}
	for y := range 4 {
		r := t[4*y : 4*y+4 : 4*y+4]
		a, b, c, d := four(r[0]+idctBias, r[1], r[2], r[3])
		o := dst[y*stride : y*stride+4 : y*stride+4]
		o[0], o[1], o[2], o[3] = clamp8(a>>idctBits), clamp8(b>>idctBits), clamp8(c>>idctBits), clamp8(d>>idctBits)
	}
}

// four is the transform of length 4: with a = F1 cos(pi/8), b = F3 cos(3 pi/8), the odd part of the inner samples is
// a tan(pi/8) - b / tan(pi/8) = sqrt 2 (a - b) - (a + b).
func four(f0, f1, f2, f3 int32) (x0, x1, x2, x3 int32) {
	e, f := f0+f2, f0-f2
	o := f1 + f3
	p := int32(int64(f1-f3)*sqrt2>>14) - o
	return e + o, f + p, f - p, e - o
}
