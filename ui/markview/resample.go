package markview

import (
	"encoding/binary"
	"image"
	"math"
)

// The four channels of a pixel are worked on at once, each in its own sixteen
// bits of a word: spread and pack go to and fro, lanes masks the low byte of
// each.
const lanes = 0x00ff00ff00ff00ff

func pixel(b []byte) uint64       { return uint64(binary.LittleEndian.Uint32(b)) }
func setPixel(b []byte, v uint32) { binary.LittleEndian.PutUint32(b, v) }
func spread(v uint64) uint64      { return (v | v<<24) & lanes }
func pack(v uint64) uint32        { return uint32(v | v>>24) }
func mix(a, b, w uint64) uint64   { return (a*(256-w) + b*w + 0x0080008000800080) >> 8 & lanes }

// axis says, for one direction, which pixels of the view show the photo and
// where on the source each of them lies.
type axis struct {
	from, to int     // pixels of the view, half open
	at       []int32 // index of the source pixel at or before, for from..to
	next     []int32 // the one after it, the same at the edge
	share    []uint8 // how far towards the next, in 1/256
}

// newAxis maps pixel centres. k and t map the photo of the length full to the
// view; the source is the photo divided by zoom and has n pixels; the view has
// room pixels.
func newAxis(k, t float64, full int, zoom float64, n, room int) axis {
	a := axis{
		from: int(math.Max(0, math.Ceil(t-0.5))),
		to:   int(math.Max(0, math.Min(float64(room), math.Ceil(t+k*float64(full)-0.5)))),
	}
	if a.from >= a.to {
		return axis{}
	}
	m := a.to - a.from
	a.at, a.next, a.share = make([]int32, m), make([]int32, m), make([]uint8, m)
	step := 1 / (k * zoom)
	for i := range m {
		u := (float64(a.from+i)+0.5-t)*step - 0.5
		f := math.Floor(u*256+0.5) / 256
		j := math.Floor(f)
		a.at[i] = int32(min(max(int(j), 0), n-1))
		a.next[i] = int32(min(max(int(j)+1, 0), n-1))
		a.share[i] = uint8((f - j) * 256)
	}
	return a
}

// whole says that every pixel falls on exactly one source pixel, one step
// apart.
func (a axis) whole() bool {
	m := len(a.at)
	return a.share[0] == 0 && a.share[m-1] == 0 && a.share[m/2] == 0 && int(a.at[m-1]-a.at[0]) == m-1
}

func copyPixels(dst, src *image.RGBA, x, y axis) {
	for i, sy := range y.at {
		to := dst.Pix[(y.from+i)*dst.Stride+4*x.from:][:4*len(x.at)]
		copy(to, src.Pix[int(sy)*src.Stride+4*int(x.at[0]):])
	}
}

func nearest(dst, src *image.RGBA, x, y axis) {
	w := 4 * len(x.at)
	var last []byte
	for i := range y.at {
		to := dst.Pix[(y.from+i)*dst.Stride+4*x.from:][:w]
		sy := y.nearest(i)
		if i > 0 && sy == y.nearest(i-1) {
			copy(to, last)
			continue
		}
		row := src.Pix[sy*src.Stride:][:4*src.Rect.Dx()]
		for j := range x.at {
			copy(to[4*j:4*j+4], row[4*x.nearest(j):])
		}
		last = to
	}
}

// nearest is the source pixel whose area holds the centre of the i-th pixel.
func (a axis) nearest(i int) int {
	if a.share[i] >= 128 {
		return int(a.next[i])
	}
	return int(a.at[i])
}

// bilinear mixes the two source rows once into a line of spread pixels, which
// the mixing along the row then reads twice.
func bilinear(dst, src *image.RGBA, x, y axis) {
	first := int(x.at[0])
	n := int(x.next[len(x.next)-1]) - first + 1
	line := make([]uint64, n)
	for i := range y.at {
		r0 := src.Pix[int(y.at[i])*src.Stride+4*first:][:4*n]
		r1 := src.Pix[int(y.next[i])*src.Stride+4*first:][:4*n]
		mixRows(line, r0, r1, uint64(y.share[i]))
		to := dst.Pix[(y.from+i)*dst.Stride+4*x.from:][:4*len(x.at)]
		for j, s := range x.at {
			a, b := line[int(s)-first], line[int(x.next[j])-first]
			setPixel(to[4*j:4*j+4], pack(mix(a, b, uint64(x.share[j]))))
		}
	}
}

func mixRows(line []uint64, r0, r1 []byte, w uint64) {
	if w == 0 {
		for j := range line {
			line[j] = spread(pixel(r0[4*j : 4*j+4]))
		}
		return
	}
	for j := range line {
		line[j] = mix(spread(pixel(r0[4*j:4*j+4])), spread(pixel(r1[4*j:4*j+4])), w)
	}
}
