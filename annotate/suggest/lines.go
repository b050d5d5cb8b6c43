package suggest

import "math"

// The line filter. A Gaussian second derivative across a line, averaged along
// it, answers to a thin line and hardly to noise. The second derivative in any
// direction is a sum of three pictures (Freeman and Adelson, The design and
// use of steerable filters, IEEE Transactions on Pattern Analysis and Machine
// Intelligence 13, 1991), and the mean along a direction is a running sum
// along sheared rows, so each direction costs a few operations a pixel.
const (
	directions = 16 // over half a turn
	lineLength = 21 // pixels over which a line is averaged
	lineBlur   = 1.0
	blurReach  = 3
	lineHalo   = lineLength/2 + blurReach + 2
	paddedSide = tileSide + 2*lineHalo
)

// lineTile holds the buffers of one tile with its surroundings.
type lineTile struct {
	side          int       // of the padded square, always paddedSide
	raw, half     []float32 // values, and values blurred one way
	xx, xy, yy    []float32 // second derivatives
	txx, txy, tyy []float32 // the same, rows and columns exchanged
	second        []float32 // second derivative across one direction
	mean          []float32 // its mean along the direction
	sum           []float32 // running sums
	kernel        []float32 // blur
}

func newLineTile() *lineTile {
	n := paddedSide * paddedSide
	b := &lineTile{side: paddedSide, kernel: gauss(lineBlur, blurReach), sum: make([]float32, 3*paddedSide)}
	for _, p := range []*[]float32{&b.raw, &b.half, &b.xx, &b.xy, &b.yy, &b.txx, &b.txy, &b.tyy, &b.second, &b.mean} {
		*p = make([]float32, n)
	}
	return b
}

// load fills the tile from the plane and takes its second derivatives.
func (b *lineTile) load(p *plane, t tile) {
	n := b.side
	for y := range n {
		for x, row := 0, b.raw[y*n:][:n]; x < n; x++ {
			row[x] = p.at(t.x0-lineHalo+x, t.y0-lineHalo+y)
		}
	}
	b.blur()
	for y := 1; y < n-1; y++ {
		up, mid, low := b.raw[(y-1)*n:][:n], b.raw[y*n:][:n], b.raw[(y+1)*n:][:n]
		xx, xy, yy := b.xx[y*n:][:n], b.xy[y*n:][:n], b.yy[y*n:][:n]
		for x := 1; x < n-1; x++ {
			xx[x] = mid[x-1] - 2*mid[x] + mid[x+1]
			yy[x] = up[x] - 2*mid[x] + low[x]
			xy[x] = 0.25 * (up[x-1] - up[x+1] - low[x-1] + low[x+1])
		}
	}
	transpose(b.txx, b.xx, n)
	transpose(b.txy, b.xy, n)
	transpose(b.tyy, b.yy, n)
}

// blur smooths raw; a border of blurReach pixels is left as it is.
func (b *lineTile) blur() {
	n, r := b.side, blurReach
	k0, k1, k2, k3 := b.kernel[r], b.kernel[r+1], b.kernel[r+2], b.kernel[r+3]
	copy(b.half, b.raw)
	for y := range n {
		src, dst := b.raw[y*n:][:n], b.half[y*n:][:n]
		for x := r; x < n-r; x++ {
			s := src[x-3 : x+4 : x+4]
			dst[x] = k0*s[3] + k1*(s[2]+s[4]) + k2*(s[1]+s[5]) + k3*(s[0]+s[6])
		}
	}
	for y := r; y < n-r; y++ {
		a, c, d := b.half[(y-3)*n:][:n], b.half[(y-2)*n:][:n], b.half[(y-1)*n:][:n]
		e := b.half[y*n:][:n]
		f, g, h := b.half[(y+1)*n:][:n], b.half[(y+2)*n:][:n], b.half[(y+3)*n:][:n]
		for x, dst := 0, b.raw[y*n:][:n]; x < n; x++ {
			dst[x] = k0*e[x] + k1*(d[x]+f[x]) + k2*(c[x]+g[x]) + k3*(a[x]+h[x])
		}
	}
}

func transpose(dst, src []float32, n int) {
	const block = 16
	for y0 := 0; y0 < n; y0 += block {
		for x0 := 0; x0 < n; x0 += block {
			for y := y0; y < min(y0+block, n); y++ {
				for x := x0; x < min(x0+block, n); x++ {
					dst[x*n+y] = src[y*n+x]
				}
			}
		}
	}
}

// bearing is the unit vector of a direction: 0 runs along a row.
func bearing(k int) (c, s float64) {
	s, c = math.Sincos(math.Pi * float64(k) / directions)
	return c, s
}

// steep says that a direction runs more down than across; the others are
// worked on the exchanged pictures.
func steep(k int) bool { return k > directions/4 && k <= directions*3/4 }

// along leaves in mean the second derivative across direction k, averaged
// along it; positive on a dark line. For a direction that is not steep, rows
// and columns are exchanged.
func (b *lineTile) along(k int) {
	c, s := bearing(k)
	cc, cs, ss := float32(c*c), float32(2*c*s), float32(s*s)
	xx, xy, yy, slope := b.xx, b.xy, b.yy, c/s
	if !steep(k) {
		xx, xy, yy, slope = b.txx, b.txy, b.tyy, s/c
	}
	for i := range b.second {
		b.second[i] = ss*xx[i] - cs*xy[i] + cc*yy[i]
	}
	b.run(slope)
}

// run takes running sums along paths that move slope columns a row; each path
// has a number, the column in which it meets row 0, moved so that none is
// negative.
func (b *lineTile) run(slope float64) {
	const share, half = float32(1) / lineLength, lineLength / 2
	n := b.side
	paths := func(y int) []float32 {
		from := -int(math.Floor(slope*float64(y) + 0.5))
		if slope > 0 {
			from += n
		}
		return b.sum[from:][:n]
	}
	clear(b.sum)
	for y := range n {
		sum := paths(y)
		for x, v := range b.second[y*n:][:n] {
			sum[x] += v
		}
		if y < 2*half {
			continue
		}
		out := b.mean[(y-half)*n:][:n]
		for x, v := range paths(y - half) {
			out[x] = v * share
		}
		sum = paths(y - 2*half)
		for x, v := range b.second[(y-2*half)*n:][:n] {
			sum[x] -= v
		}
	}
}
