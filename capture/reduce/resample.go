package reduce

import "image"

// Resample gives a picture of w x h pixels by separable three-lobed Lanczos resampling, each channel by itself, with
// samples clamped to 0..255. RGBA, YCbCr (in its own subsampling) and Gray keep their type, other kinds come back as
// RGBA. The whole of src is fitted to the whole of the result; w and h below 1 count as 1.
func Resample(src image.Image, w, h int) image.Image {
	w, h = max(w, 1), max(h, 1)
	bounds := image.Rect(0, 0, w, h)
	b := src.Bounds()
	if b.Empty() {
		return image.NewRGBA(bounds)
	}
	switch m := src.(type) {
	case *image.Gray:
		out := image.NewGray(bounds)
		resamplePlane(out.Pix, out.Stride, m.Pix, m.Stride, span{b.Dx(), w, 1}, span{b.Dy(), h, 1})
		return out
	case *image.YCbCr:
		if !aligned(m) {
			m = fullChroma(m)
		}
		return resampleYCC(m, bounds)
	case *image.RGBA:
		return resampleRGBA(m, bounds)
	}
	return resampleRGBA(toRGBA(src), bounds)
}

// span is one direction of a plane: pixels of source and result, and how many of them share one sample.
type span struct{ from, to, factor int }

func (s span) geometry() geometry {
	f := s.factor
	return geometry{n: (s.from + f - 1) / f, m: (s.to + f - 1) / f, ratio: float64(s.from) / float64(s.to)}
}

func resamplePlane(dst []byte, dstStride int, src []byte, stride int, x, y span) {
	gx, gy := x.geometry(), y.geometry()
	s := newScaler(gx, gy, dst, dstStride)
	for row := range gy.n {
		s.push(src[row*stride:][:gx.n])
	}
}

func resampleYCC(m *image.YCbCr, bounds image.Rectangle) *image.YCbCr {
	out := image.NewYCbCr(bounds, m.SubsampleRatio)
	b := m.Bounds()
	f := chromaFactors[m.SubsampleRatio]
	x, y := span{b.Dx(), bounds.Dx(), 1}, span{b.Dy(), bounds.Dy(), 1}
	yo, co := m.YOffset(b.Min.X, b.Min.Y), m.COffset(b.Min.X, b.Min.Y)
	resamplePlane(out.Y, out.YStride, m.Y[yo:], m.YStride, x, y)
	x.factor, y.factor = f.x, f.y
	resamplePlane(out.Cb, out.CStride, m.Cb[co:], m.CStride, x, y)
	resamplePlane(out.Cr, out.CStride, m.Cr[co:], m.CStride, x, y)
	return out
}

// resampleRGBA takes the channels apart row by row. An opaque picture has its alpha set instead of computed.
func resampleRGBA(m *image.RGBA, bounds image.Rectangle) *image.RGBA {
	out := image.NewRGBA(bounds)
	b := m.Bounds()
	gx, gy := span{b.Dx(), bounds.Dx(), 1}.geometry(), span{b.Dy(), bounds.Dy(), 1}.geometry()
	channels := 4
	if m.Opaque() {
		channels = 3
	}
	n := bounds.Dx() * bounds.Dy()
	row := make([]byte, gx.n)
	planes := make([]byte, channels*n)
	scalers := make([]*scaler, channels)
	for c := range scalers {
		scalers[c] = newScaler(gx, gy, planes[c*n:][:n], bounds.Dx())
	}
	for y := range gy.n {
		src := m.Pix[m.PixOffset(b.Min.X, b.Min.Y+y):]
		for c, s := range scalers {
			for x := range row {
				row[x] = src[4*x+c]
			}
			s.push(row)
		}
	}
	for i := range n {
		p := out.Pix[4*i : 4*i+4 : 4*i+4]
		p[0], p[1], p[2], p[3] = planes[i], planes[n+i], planes[2*n+i], 255
		if channels == 4 {
			p[3] = planes[3*n+i]
			p[0], p[1], p[2] = min(p[0], p[3]), min(p[1], p[3]), min(p[2], p[3]) // ringing must not exceed alpha
		}
	}
	return out
}
