package reduce

import (
	"bytes"
	"image"
	"math"
	"sync"
	"testing"
)

// noiseAt is a reproducible random byte for a place (a 64-bit finaliser of multiplications and shifts).
func noiseAt(x, y, seed uint64) int {
	v := x*0x9E3779B97F4A7C15 ^ y*0xC2B2AE3D27D4EB4F ^ seed*0x165667B19E3779F9
	v ^= v >> 29
	v *= 0xBF58476D1CE4E5B9
	v ^= v >> 32
	return int(v & 255)
}

// addOctave adds smooth noise with a grid of cell pixels, amplitude in grey levels times 256.
func addOctave(acc []int32, w, h, cellX, cellY, amplitude int, seed uint64) {
	line := make([]int, w/cellX+2)
	for y := range h {
		gy, fy := y/cellY, y%cellY
		for i := range line {
			a, b := noiseAt(uint64(i), uint64(gy), seed), noiseAt(uint64(i), uint64(gy+1), seed)
			line[i] = (a*(cellY-fy)+b*fy)*256/cellY - 127*256
		}
		row := acc[y*w:][:w]
		for gx, x := 0, 0; x < w; gx++ {
			a, b := line[gx], line[gx+1]
			for fx := 0; fx < cellX && x < w; fx++ {
				row[x] += int32((a*(cellX-fx) + b*fx) / cellX * amplitude >> 7 >> 8)
				x++
			}
		}
	}
}

// scene paints a reproducible picture that behaves like a photograph of a worn wooden thing: detail in every octave,
// grain along one direction, hard edges (a round plate, taut lines, a bar), coloured light, and a little sensor noise.
func scene(w, h int, ratio image.YCbCrSubsampleRatio) *image.YCbCr {
	img := image.NewYCbCr(image.Rect(0, 0, w, h), ratio)
	acc := make([]int32, w*h)
	for cell, k := max(w, h)/4, 0; cell >= 1; cell, k = cell/2, k+1 {
		amplitude := 18 * 256
		if cell < 32 {
			amplitude = 18 * 256 * (cell + 8) / 40 // a lens softens the finest detail
		}
		addOctave(acc, w, h, cell, cell, amplitude, uint64(k))
	}
	addOctave(acc, w, h, max(w/8, 1), 3, 10*256, 77)
	for y := range h {
		for x := range w {
			img.Y[y*img.YStride+x] = clamp8(acc[y*w+x]>>8 + int32(edges(x, y, w, h)) + int32(noiseAt(uint64(x), uint64(y), 99)>>6))
		}
	}
	f := chromaFactors[ratio]
	cw, ch := (w+f.x-1)/f.x, (h+f.y-1)/f.y
	for i, plane := range [][]byte{img.Cb, img.Cr} {
		c := make([]int32, cw*ch)
		for cell := max(cw, ch) / 3; cell >= 4; cell /= 3 {
			addOctave(c, cw, ch, cell, cell, 6*256, uint64(cell+100*i))
		}
		for y := range ch {
			for x := range cw {
				v := c[y*cw+x]>>8 + 120 + int32(16*i)
				if e := edges(x*f.x, y*f.y, w, h); e > 150 {
					v += int32(30 - 60*i)
				}
				plane[y*img.CStride+x] = clamp8(v)
			}
		}
	}
	return img
}

// edges is the brightness of the hard-edged parts at a pixel.
func edges(x, y, w, h int) int {
	s := max(w, h)
	dx, dy := x-w/3, y-h/2
	v := 110
	if dx*dx+dy*dy < s*s/36 {
		v = 55
	}
	if bar := x + y/3; bar > 3*w/4 && bar < 3*w/4+s/20 {
		v = 190
	}
	if pitch := max(s/40, 4); (y+x/50)%pitch < max(pitch/12, 1) && y > h/3 && y < 2*h/3 {
		v += 60
	}
	return v
}

// encoded writes img with our encoder and a restart marker every interval MCUs.
func encoded(t testing.TB, img image.Image, quality, interval int) []byte {
	t.Helper()
	var buf bytes.Buffer
	e := newEncoder(quality)
	e.interval = interval
	switch m := img.(type) {
	case *image.YCbCr:
		e.planes = yccPlanes(m)
	case *image.Gray:
		e.planes = []encPlane{{pix: m.Pix, stride: m.Stride, w: m.Rect.Dx(), h: m.Rect.Dy(), fx: 1, fy: 1}}
	default:
		t.Fatalf("cannot encode %T", img)
	}
	if err := e.encode(&buf, img.Bounds().Dx(), img.Bounds().Dy()); err != nil {
		t.Fatal(err)
	}
	return buf.Bytes()
}

// psnr compares two pictures of the same size over red, green and blue.
func psnr(t testing.TB, a, b image.Image) float64 {
	t.Helper()
	if a.Bounds().Size() != b.Bounds().Size() {
		t.Fatalf("sizes differ: %v and %v", a.Bounds(), b.Bounds())
	}
	ra, rb := toRGBA(a), toRGBA(b)
	sum := 0.0
	for i := range ra.Pix {
		d := float64(ra.Pix[i]) - float64(rb.Pix[i])
		sum += d * d
	}
	n := float64(len(ra.Pix)) * 3 / 4 // alpha is equal throughout
	return 10 * math.Log10(255*255*n/max(sum, 1e-9))
}

// maxDiff is the largest difference of two planes.
func maxDiff(a, b []byte) int {
	m := 0
	for i := range a {
		m = max(m, int(a[i])-int(b[i]), int(b[i])-int(a[i]))
	}
	return m
}

func grayScene(w, h int) *image.Gray {
	y := scene(w, h, image.YCbCrSubsampleRatio444)
	return &image.Gray{Pix: y.Y, Stride: y.YStride, Rect: y.Rect}
}

// photo24 is the benchmarks' photograph: 24 megapixels with chroma at half resolution, at a camera's usual quality.
var photo24 = sync.OnceValue(func() []byte {
	var buf bytes.Buffer
	if err := EncodeJPEG(&buf, scene(6000, 4000, image.YCbCrSubsampleRatio420), 97); err != nil {
		panic(err)
	}
	return buf.Bytes()
})
