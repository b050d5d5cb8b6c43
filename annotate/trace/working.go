package trace

import (
	"context"
	"image"
	"math"
)

// picture is a reduced photo in CIELAB, the space that the tracing works in.
type picture struct {
	w, h int
	px   []lab // row by row
}

func (p *picture) at(x, y int) lab { return p.px[y*p.w+x] }

// workingSize is the size in which a photo of w x h pixels is traced: at most
// the wanted number of pixels, never enlarged.
func workingSize(w, h, pixels int) (int, int) {
	if w*h <= pixels {
		return w, h
	}
	k := math.Sqrt(float64(pixels) / (float64(w) * float64(h)))
	return max(1, int(float64(w)*k)), max(1, int(float64(h)*k))
}

// reduced is the photo averaged down to w x h pixels. What is transparent
// counts as lying on white.
func reduced(ctx context.Context, img image.Image, w, h int) (*picture, error) {
	var planes [3][]float32
	ycc := false
	switch m := img.(type) {
	case *image.YCbCr:
		planes, ycc = reduceYCbCr(ctx, m, w, h), true
	case *image.Gray:
		b := m.Bounds()
		y := boxPlane(ctx, plane{m.Pix[m.PixOffset(b.Min.X, b.Min.Y):], m.Stride, 1, b.Dx(), b.Dy()}, w, h)
		planes = [3][]float32{y, y, y}
	case *image.RGBA:
		if !m.Opaque() {
			planes = reduceAny(ctx, img, w, h)
			break
		}
		b := m.Bounds()
		pix := m.Pix[m.PixOffset(b.Min.X, b.Min.Y):]
		parallel(3, func(from, to int) {
			for c := from; c < to; c++ {
				planes[c] = boxPlane(ctx, plane{pix[c:], m.Stride, 4, b.Dx(), b.Dy()}, w, h)
			}
		})
	default:
		planes = reduceAny(ctx, img, w, h)
	}
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	p := &picture{w: w, h: h, px: make([]lab, w*h)}
	parallel(h, func(from, to int) {
		for i := from * w; i < to*w; i++ {
			a, b, c := planes[0][i], planes[1][i], planes[2][i]
			if ycc {
				a, b, c = rgbOf(a, b-128, c-128)
			}
			p.px[i] = labOf(a, b, c)
		}
	})
	return p, nil
}

// rgbOf turns JPEG's YCbCr (ITU-T T.871, section 7) into R, G, B from 0 to 255.
func rgbOf(y, cb, cr float32) (r, g, b float32) {
	return y + 1.402*cr, y - 0.344136*cb - 0.714136*cr, y + 1.772*cb
}

func reduceYCbCr(ctx context.Context, m *image.YCbCr, w, h int) [3][]float32 {
	b := m.Bounds()
	fx, fy := 1, 1 // pixels that share a chroma sample
	switch m.SubsampleRatio {
	case image.YCbCrSubsampleRatio422:
		fx = 2
	case image.YCbCrSubsampleRatio420:
		fx, fy = 2, 2
	case image.YCbCrSubsampleRatio440:
		fy = 2
	case image.YCbCrSubsampleRatio411:
		fx = 4
	case image.YCbCrSubsampleRatio410:
		fx, fy = 4, 2
	}
	cw := (b.Max.X-1)/fx - b.Min.X/fx + 1
	ch := (b.Max.Y-1)/fy - b.Min.Y/fy + 1
	co := m.COffset(b.Min.X, b.Min.Y)
	src := [3]plane{
		{m.Y[m.YOffset(b.Min.X, b.Min.Y):], m.YStride, 1, b.Dx(), b.Dy()},
		{m.Cb[co:], m.CStride, 1, cw, ch},
		{m.Cr[co:], m.CStride, 1, cw, ch},
	}
	var out [3][]float32
	done := make(chan struct{})
	go func() {
		defer close(done)
		out[1], out[2] = boxPlane(ctx, src[1], w, h), boxPlane(ctx, src[2], w, h)
	}()
	out[0] = boxPlane(ctx, src[0], w, h)
	<-done
	return out
}

// plane is one channel of a picture: w x h samples, step bytes apart in a row.
type plane struct {
	pix          []byte
	stride, step int
	w, h         int
}

// boxPlane averages a plane down to w x h: each result is the mean of the area
// it covers, samples on its border counting by their share.
func boxPlane(ctx context.Context, p plane, w, h int) []float32 {
	out := make([]float32, w*h)
	cols := spans(p.w, w)
	rows := spans(p.h, h)
	line := make([]float32, w)
	for y := range h {
		if ctx.Err() != nil {
			return out
		}
		sum := out[y*w : (y+1)*w]
		s := rows[y]
		for sy := s.from; sy <= s.to; sy++ {
			k := s.weight(sy)
			if k == 0 {
				continue
			}
			boxLine(line, p.pix[sy*p.stride:], p.step, cols)
			for x, v := range line {
				sum[x] += k * v
			}
		}
	}
	return out
}

func boxLine(line []float32, pix []byte, step int, cols []span) {
	for x := range line {
		s := &cols[x]
		v := s.first * float32(pix[s.from*step])
		inner := 0
		if step == 1 {
			for _, b := range pix[s.from+1 : max(s.to, s.from+1)] {
				inner += int(b)
			}
		} else {
			for i := s.from + 1; i < s.to; i++ {
				inner += int(pix[i*step])
			}
		}
		v += s.full * float32(inner)
		if s.to > s.from {
			v += s.last * float32(pix[s.to*step])
		}
		line[x] = v
	}
}

// span is the run of samples, both ends included, that one result covers, and
// the weights of the first, the last and those between; they add up to one.
type span struct {
	from, to          int
	first, full, last float32
}

func (s *span) weight(i int) float32 {
	switch i {
	case s.from:
		return s.first
	case s.to:
		return s.last
	}
	return s.full
}

// spans divides n samples evenly among m results.
func spans(n, m int) []span {
	out := make([]span, m)
	ratio := float64(n) / float64(m)
	for i := range out {
		a, b := float64(i)*ratio, float64(i+1)*ratio
		from, to := int(a), min(int(b), n-1)
		s := span{from: from, to: to, full: float32(1 / ratio)}
		if from == to {
			s.first = 1
		} else {
			s.first = float32((float64(from+1) - a) / ratio)
			s.last = float32((b - float64(to)) / ratio)
		}
		out[i] = s
	}
	return out
}

// mostLooks is how many samples a side a result of reduceAny is the mean of.
const mostLooks = 3

// reduceAny serves every kind of picture through its At method. That is slow,
// so a result is the mean of a few samples spread over its area.
func reduceAny(ctx context.Context, img image.Image, w, h int) [3][]float32 {
	var out [3][]float32
	for c := range out {
		out[c] = make([]float32, w*h)
	}
	b := img.Bounds()
	nx, ny := min(mostLooks, (b.Dx()+w-1)/w), min(mostLooks, (b.Dy()+h-1)/h)
	parallel(h, func(from, to int) {
		for y := from; y < to && ctx.Err() == nil; y++ {
			for x := range w {
				var sum [3]float32
				for k := range nx * ny {
					px := b.Min.X + (x*nx+k%nx)*b.Dx()/(w*nx)
					py := b.Min.Y + (y*ny+k/nx)*b.Dy()/(h*ny)
					r, g, bl, a := img.At(px, py).RGBA()
					white := 0xffff - a
					sum[0] += float32(r + white)
					sum[1] += float32(g + white)
					sum[2] += float32(bl + white)
				}
				for c := range out {
					out[c][y*w+x] = sum[c] / float32(nx*ny) / 257
				}
			}
		}
	})
	return out
}

// halved is the picture averaged over blocks of k x k pixels; what is left over at
// the right and lower edge makes smaller blocks.
func (p *picture) shrunk(k int) *picture {
	q := &picture{w: (p.w + k - 1) / k, h: (p.h + k - 1) / k}
	q.px = make([]lab, q.w*q.h)
	parallel(q.h, func(from, to int) {
		for y := from; y < to; y++ {
			for x := range q.w {
				var sum lab
				n := float32(0)
				for sy := y * k; sy < min((y+1)*k, p.h); sy++ {
					for sx := x * k; sx < min((x+1)*k, p.w); sx++ {
						sum = sum.add(p.at(sx, sy))
						n++
					}
				}
				q.px[y*q.w+x] = sum.mul(1 / n)
			}
		}
	})
	return q
}
