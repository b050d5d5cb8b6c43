package reduce

import (
	"image"
	"image/draw"
)

// turn is an EXIF orientation as what to do with the stored picture: mirror, then swap rows and columns.
type turn struct{ flipX, flipY, swap bool }

// turns gives the turn of an EXIF orientation (EXIF 2.32, tag 0x0112: which side of the scene row 0 and column 0 are).
func turns(orientation int) turn {
	switch orientation {
	case 2:
		return turn{flipX: true}
	case 3:
		return turn{flipX: true, flipY: true}
	case 4:
		return turn{flipY: true}
	case 5:
		return turn{swap: true}
	case 6:
		return turn{flipY: true, swap: true}
	case 7:
		return turn{flipX: true, flipY: true, swap: true}
	case 8:
		return turn{flipX: true, swap: true}
	}
	return turn{}
}

// Upright applies an EXIF orientation (1 to 8; anything else counts as 1). RGBA, YCbCr and Gray keep their type, other
// kinds come back as RGBA. Every pixel keeps its exact colour; where the chroma grid of a YCbCr picture would not fall
// into place, the result has its chroma at full resolution. With nothing to do, img itself is returned.
func Upright(img image.Image, orientation int) image.Image {
	return turns(orientation).apply(img)
}

func (t turn) apply(img image.Image) image.Image {
	if t == (turn{}) {
		return img
	}
	b := img.Bounds()
	w, h := b.Dx(), b.Dy()
	bounds := image.Rect(0, 0, w, h)
	if t.swap {
		bounds = image.Rect(0, 0, h, w)
	}
	switch m := img.(type) {
	case *image.Gray:
		out := image.NewGray(bounds)
		t.plane(out.Pix, out.Stride, m.Pix, m.Stride, w, h)
		return out
	case *image.YCbCr:
		return t.ycc(m)
	case *image.RGBA:
		out := image.NewRGBA(bounds)
		t.rgba(out, m)
		return out
	}
	return t.apply(toRGBA(img))
}

// toRGBA copies any picture.
func toRGBA(img image.Image) *image.RGBA {
	b := img.Bounds()
	out := image.NewRGBA(image.Rect(0, 0, b.Dx(), b.Dy()))
	draw.Draw(out, out.Rect, img, b.Min, draw.Src)
	return out
}

// tile is the side of the squares in which planes are turned, so that reads and writes both stay in the cache.
const tile = 8

// plane turns src of w x h samples into dst.
func (t turn) plane(dst []byte, dstStride int, src []byte, stride, w, h int) {
	for y0 := 0; y0 < h; y0 += tile {
		for x0 := 0; x0 < w; x0 += tile {
			x1 := min(x0+tile, w)
			for y := y0; y < min(y0+tile, h); y++ {
				at, step := t.place(x0, y, w, h, dstStride)
				for _, v := range src[y*stride+x0 : y*stride+x1] {
					dst[at] = v
					at += step
				}
			}
		}
	}
}

// place is where sample (x, y) goes, and how much further the next one of its row is.
func (t turn) place(x, y, w, h, stride int) (at, step int) {
	step = 1
	if t.flipX {
		x, step = w-1-x, -1
	}
	if t.flipY {
		y = h - 1 - y
	}
	if t.swap {
		return x*stride + y, step * stride
	}
	return y*stride + x, step
}

func (t turn) rgba(dst, src *image.RGBA) {
	b := src.Bounds()
	w, h := b.Dx(), b.Dy()
	for y0 := 0; y0 < h; y0 += tile {
		for x0 := 0; x0 < w; x0 += tile {
			x1 := min(x0+tile, w)
			for y := y0; y < min(y0+tile, h); y++ {
				at, step := t.place(x0, y, w, h, dst.Stride/4)
				row := src.Pix[src.PixOffset(b.Min.X+x0, b.Min.Y+y):]
				for x := range x1 - x0 {
					*(*[4]byte)(dst.Pix[4*at:]) = *(*[4]byte)(row[4*x:])
					at += step
				}
			}
		}
	}
}

// swapped names the ratio with rows and columns exchanged.
var swapped = map[image.YCbCrSubsampleRatio]image.YCbCrSubsampleRatio{
	image.YCbCrSubsampleRatio444: image.YCbCrSubsampleRatio444,
	image.YCbCrSubsampleRatio420: image.YCbCrSubsampleRatio420,
	image.YCbCrSubsampleRatio422: image.YCbCrSubsampleRatio440,
	image.YCbCrSubsampleRatio440: image.YCbCrSubsampleRatio422,
}

func (t turn) ycc(m *image.YCbCr) *image.YCbCr {
	b := m.Bounds()
	w, h := b.Dx(), b.Dy()
	f := chromaFactors[m.SubsampleRatio]
	ratio := m.SubsampleRatio
	named := true
	if t.swap {
		ratio, named = swapped[ratio]
	}
	inPlace := aligned(m) && (!t.flipX || w%f.x == 0) && (!t.flipY || h%f.y == 0)
	if !named || !inPlace {
		return t.ycc(fullChroma(m))
	}
	return t.yccPlanes(m, ratio)
}

// yccPlanes turns the three planes; the chroma grid falls into place.
func (t turn) yccPlanes(m *image.YCbCr, ratio image.YCbCrSubsampleRatio) *image.YCbCr {
	b := m.Bounds()
	w, h := b.Dx(), b.Dy()
	f := chromaFactors[m.SubsampleRatio]
	bounds := image.Rect(0, 0, w, h)
	if t.swap {
		bounds = image.Rect(0, 0, h, w)
	}
	out := image.NewYCbCr(bounds, ratio)
	if bounds.Empty() {
		return out
	}
	yo, co := m.YOffset(b.Min.X, b.Min.Y), m.COffset(b.Min.X, b.Min.Y)
	cw, ch := (w+f.x-1)/f.x, (h+f.y-1)/f.y
	t.plane(out.Y, out.YStride, m.Y[yo:], m.YStride, w, h)
	t.plane(out.Cb, out.CStride, m.Cb[co:], m.CStride, cw, ch)
	t.plane(out.Cr, out.CStride, m.Cr[co:], m.CStride, cw, ch)
	return out
}

// aligned tells whether the picture starts at a chroma sample's first pixel, as all but some cut-outs do.
func aligned(m *image.YCbCr) bool {
	f := chromaFactors[m.SubsampleRatio]
	return m.Rect.Min.X%f.x == 0 && m.Rect.Min.Y%f.y == 0
}

// fullChroma repeats chroma samples so that each pixel has its own.
func fullChroma(m *image.YCbCr) *image.YCbCr {
	b := m.Bounds()
	out := image.NewYCbCr(image.Rect(0, 0, b.Dx(), b.Dy()), image.YCbCrSubsampleRatio444)
	for y := range b.Dy() {
		copy(out.Y[y*out.YStride:][:b.Dx()], m.Y[m.YOffset(b.Min.X, b.Min.Y+y):])
		for x := range b.Dx() {
			c := m.COffset(b.Min.X+x, b.Min.Y+y)
			out.Cb[y*out.CStride+x], out.Cr[y*out.CStride+x] = m.Cb[c], m.Cr[c]
		}
	}
	return out
}
