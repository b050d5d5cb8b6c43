package markview

import (
	"image"
	"image/color"
	"image/draw"
	"math"

	"wornwood/annotate/shape"
)

// Surround is the neutral mid grey around a photo (CIELAB lightness 50), so
// that the surround does not change how a finish looks; ISO 3664 asks for
// neutral surroundings.
var Surround = color.RGBA{119, 119, 119, 255}

// smallest is the longer side, in pixels, at which halving stops.
const smallest = 64

// Pyramid is a decoded photo prepared for quick zooming: the photo and copies
// of it at a half, a quarter ... of the size. It does not change after
// NewPyramid and may be read by several goroutines.
type Pyramid struct {
	levels []*image.RGBA // tight, zero origin, opaque
}

// NewPyramid prepares a photo. A see-through picture is laid on white. An
// opaque *image.RGBA is used as it is and must not be written to afterwards;
// any other picture is copied. It takes about 5.4 bytes a pixel and does its
// work on the caller's goroutine: call it in the background.
func NewPyramid(img image.Image) *Pyramid {
	p := &Pyramid{levels: []*image.RGBA{tight(img)}}
	for {
		last := p.levels[len(p.levels)-1]
		if max(last.Rect.Dx(), last.Rect.Dy()) <= smallest {
			return p
		}
		p.levels = append(p.levels, halve(last))
	}
}

// Size is the size of the photo in pixels.
func (p *Pyramid) Size() (w, h int) { return p.levels[0].Rect.Dx(), p.levels[0].Rect.Dy() }

// Bytes is the memory that the pyramid holds.
func (p *Pyramid) Bytes() int64 {
	n := int64(0)
	for _, l := range p.levels {
		n += int64(len(l.Pix))
	}
	return n
}

// At is the colour of one pixel of the photo; the Surround outside.
func (p *Pyramid) At(x, y int) color.RGBA {
	if !(image.Point{X: x, Y: y}).In(p.levels[0].Rect) {
		return Surround
	}
	return p.levels[0].RGBAAt(x, y)
}

// Original is the photo itself at full size; do not write to it.
func (p *Pyramid) Original() *image.RGBA { return p.levels[0] }

// tight is the picture as an opaque RGBA whose rows follow each other without
// gaps, its origin at zero.
func tight(img image.Image) *image.RGBA {
	b := img.Bounds()
	if m, ok := img.(*image.RGBA); ok && b.Min == (image.Point{}) && m.Stride == 4*b.Dx() && m.Opaque() {
		return m
	}
	out := image.NewRGBA(image.Rect(0, 0, b.Dx(), b.Dy()))
	op := draw.Src
	if o, ok := img.(interface{ Opaque() bool }); !ok || !o.Opaque() {
		draw.Draw(out, out.Rect, image.White, image.Point{}, draw.Src)
		op = draw.Over
	}
	draw.Draw(out, out.Rect, img, b.Min, op)
	return out
}

// halve averages each square of two by two pixels. At an odd edge the last row
// or column counts twice.
func halve(src *image.RGBA) *image.RGBA {
	w, h := src.Rect.Dx(), src.Rect.Dy()
	dst := image.NewRGBA(image.Rect(0, 0, (w+1)/2, (h+1)/2))
	for y := range dst.Rect.Dy() {
		r0 := src.Pix[2*y*src.Stride:][:4*w]
		r1 := src.Pix[min(2*y+1, h-1)*src.Stride:][:4*w]
		out := dst.Pix[y*dst.Stride:][:4*dst.Rect.Dx()]
		for x := range w / 2 {
			a, b := r0[8*x:][:8], r1[8*x:][:8]
			s := spread(pixel(a)) + spread(pixel(a[4:])) + spread(pixel(b)) + spread(pixel(b[4:]))
			setPixel(out[4*x:], pack((s+0x0002000200020002)>>2&lanes))
		}
		if w%2 == 1 {
			s := 2*spread(pixel(r0[4*(w-1):])) + 2*spread(pixel(r1[4*(w-1):]))
			setPixel(out[4*(w/2):], pack((s+0x0002000200020002)>>2&lanes))
		}
	}
	return dst
}

// View fills dst with what shows when the photo is mapped by a, which may zoom
// and move but not turn; the rest is the Surround. At a factor of one and whole
// steps pixels are copied as they are. Below one the nearest larger copy is
// scaled by interpolation; from four on pixels are shown as squares, because
// somebody who looks that closely wants to see what the camera recorded.
// dst must be tight with its origin at zero.
func (p *Pyramid) View(dst *image.RGBA, a shape.Affine) {
	if !(a[0] > 0) || !(a[4] > 0) || math.IsInf(a[0], 0) || math.IsInf(a[4], 0) {
		fillRect(dst, dst.Rect, Surround)
		return
	}
	level := 0
	for k := math.Min(a[0], a[4]); k <= 0.5 && level+1 < len(p.levels); k *= 2 {
		level++
	}
	src := p.levels[level]
	zoom := float64(int(1) << level)
	// The area is bounded by the photo, not by the copy, whose last column may
	// stand for less than a whole one.
	w, h := p.Size()
	x := newAxis(a[0], a[2], w, zoom, src.Rect.Dx(), dst.Rect.Dx())
	y := newAxis(a[4], a[5], h, zoom, src.Rect.Dy(), dst.Rect.Dy())
	if x.from >= x.to || y.from >= y.to {
		fillRect(dst, dst.Rect, Surround)
		return
	}
	fillAround(dst, image.Rect(x.from, y.from, x.to, y.to))
	switch {
	case x.whole() && y.whole():
		copyPixels(dst, src, x, y)
	case a[0] >= 4:
		nearest(dst, src, x, y)
	default:
		bilinear(dst, src, x, y)
	}
}

// Nearest fills dst as View does, from the photo's own pixels, each shown as a
// square: what a loupe shows.
func (p *Pyramid) Nearest(dst *image.RGBA, a shape.Affine) {
	src := p.levels[0]
	x := newAxis(a[0], a[2], src.Rect.Dx(), 1, src.Rect.Dx(), dst.Rect.Dx())
	y := newAxis(a[4], a[5], src.Rect.Dy(), 1, src.Rect.Dy(), dst.Rect.Dy())
	if x.from >= x.to || y.from >= y.to {
		fillRect(dst, dst.Rect, Surround)
		return
	}
	fillAround(dst, image.Rect(x.from, y.from, x.to, y.to))
	nearest(dst, src, x, y)
}

// fillAround fills everything but the rectangle with the Surround.
func fillAround(dst *image.RGBA, r image.Rectangle) {
	d := dst.Rect
	fillRect(dst, image.Rect(d.Min.X, d.Min.Y, d.Max.X, r.Min.Y), Surround)
	fillRect(dst, image.Rect(d.Min.X, r.Max.Y, d.Max.X, d.Max.Y), Surround)
	fillRect(dst, image.Rect(d.Min.X, r.Min.Y, r.Min.X, r.Max.Y), Surround)
	fillRect(dst, image.Rect(r.Max.X, r.Min.Y, d.Max.X, r.Max.Y), Surround)
}

// fillRect fills one row and copies it to the others.
func fillRect(dst *image.RGBA, r image.Rectangle, c color.RGBA) {
	if r = r.Intersect(dst.Rect); r.Empty() {
		return
	}
	first := dst.Pix[dst.PixOffset(r.Min.X, r.Min.Y):][:4*r.Dx()]
	copy(first, []byte{c.R, c.G, c.B, c.A})
	for n := 4; n < len(first); n *= 2 {
		copy(first[n:], first[:n])
	}
	for y := r.Min.Y + 1; y < r.Max.Y; y++ {
		copy(dst.Pix[dst.PixOffset(r.Min.X, y):], first)
	}
}
