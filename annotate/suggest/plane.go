package suggest

import (
	"image"
	"math"
)

// plane is one channel of a picture, row by row.
type plane struct {
	w, h int
	v    []float32
}

func newPlane(w, h int) *plane { return &plane{w, h, make([]float32, w*h)} }

// at is the value at a pixel; a place outside takes the nearest pixel.
func (p *plane) at(x, y int) float32 {
	return p.v[min(max(y, 0), p.h-1)*p.w+min(max(x, 0), p.w-1)]
}

// sample is the value between pixels, x and y counted from pixel centres.
func (p *plane) sample(x, y float64) float32 {
	fx, fy := math.Floor(x), math.Floor(y)
	ix, iy := int(fx), int(fy)
	ax, ay := float32(x-fx), float32(y-fy)
	if ix >= 0 && iy >= 0 && ix+1 < p.w && iy+1 < p.h {
		i := iy*p.w + ix
		top := p.v[i] + ax*(p.v[i+1]-p.v[i])
		low := p.v[i+p.w] + ax*(p.v[i+p.w+1]-p.v[i+p.w])
		return top + ay*(low-top)
	}
	top := p.at(ix, iy) + ax*(p.at(ix+1, iy)-p.at(ix, iy))
	low := p.at(ix, iy+1) + ax*(p.at(ix+1, iy+1)-p.at(ix, iy+1))
	return top + ay*(low-top)
}

// halved is the plane at half its size, each pixel the mean of four. An odd
// last column or row is left out, unless it is the only one.
func (p *plane) halved() *plane {
	out := newPlane(max(1, p.w/2), max(1, p.h/2))
	for y := range out.h {
		for x := range out.w {
			out.v[y*out.w+x] = 0.25 * (p.at(2*x, 2*y) + p.at(2*x+1, 2*y) + p.at(2*x, 2*y+1) + p.at(2*x+1, 2*y+1))
		}
	}
	return out
}

// dark is added to a grey value before its logarithm is taken, so that the
// noise of near-black pixels is not blown up.
const dark = 8

// logTable turns grey values into a measure in which equal shares of
// brightness are equal steps: a step of 0.1 is about a tenth.
var logTable = func() (t [256]float32) {
	for i := range t {
		t[i] = float32(math.Log(float64(i) + dark))
	}
	return t
}()

// contrastOf turns a step of the log measure at the level to (the brighter or
// darker surroundings) into the share by which the grey value differs.
func contrastOf(step, surround float64) float64 {
	g := math.Exp(surround)
	return math.Abs(math.Exp(surround+step)-g) / max(g-dark, 1)
}

// grey copies the luma of a rectangle of the picture, 0 to 255.
func grey(img image.Image, r image.Rectangle) *image.Gray {
	out := image.NewGray(image.Rect(0, 0, r.Dx(), r.Dy()))
	for y := range r.Dy() {
		row := out.Pix[y*out.Stride:][:r.Dx()]
		switch m := img.(type) {
		case *image.Gray:
			copy(row, m.Pix[m.PixOffset(r.Min.X, r.Min.Y+y):])
		case *image.YCbCr:
			copy(row, m.Y[m.YOffset(r.Min.X, r.Min.Y+y):])
		case *image.RGBA:
			greyRow(row, m.Pix[m.PixOffset(r.Min.X, r.Min.Y+y):])
		case *image.NRGBA:
			greyRow(row, m.Pix[m.PixOffset(r.Min.X, r.Min.Y+y):])
		default:
			for x := range row {
				cr, cg, cb, _ := img.At(r.Min.X+x, r.Min.Y+y).RGBA()
				row[x] = luma(cr>>8, cg>>8, cb>>8)
			}
		}
	}
	return out
}

func greyRow(row, pix []byte) {
	for x := range row {
		row[x] = luma(uint32(pix[4*x]), uint32(pix[4*x+1]), uint32(pix[4*x+2]))
	}
}

// luma weighs the channels as JPEG does (ITU-T T.871, section 7).
func luma(r, g, b uint32) byte { return byte((19595*r + 38470*g + 7471*b + 1<<15) >> 16) }
