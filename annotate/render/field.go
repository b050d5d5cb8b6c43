package render

import "math"

// pt is a point of an outline in millimetres.
type pt struct{ X, Y float64 }

// field holds the signed distance to a closed polygon, negative inside, on a
// grid that is fine enough to be smooth under cubic interpolation.
type field struct {
	x0, y0, step float64
	w, h         int
	d            []float32
}

// newField measures the distance on a grid that reaches margin mm outside.
func newField(ring []pt, step, margin float64) *field {
	lo, hi := ringBox(ring)
	f := &field{x0: lo.X - margin, y0: lo.Y - margin, step: step}
	f.w = int((hi.X-lo.X+2*margin)/step) + 3
	f.h = int((hi.Y-lo.Y+2*margin)/step) + 3
	f.d = make([]float32, f.w*f.h)
	for j := 0; j < f.h; j++ {
		for i := 0; i < f.w; i++ {
			f.d[j*f.w+i] = float32(ringDistance(ring, pt{f.x0 + float64(i)*step, f.y0 + float64(j)*step}))
		}
	}
	return f
}

func ringBox(ring []pt) (lo, hi pt) {
	lo, hi = ring[0], ring[0]
	for _, p := range ring {
		lo.X, lo.Y = min(lo.X, p.X), min(lo.Y, p.Y)
		hi.X, hi.Y = max(hi.X, p.X), max(hi.Y, p.Y)
	}
	return lo, hi
}

// ringDistance is the exact signed distance of p to a closed ring.
func ringDistance(ring []pt, p pt) float64 {
	best, inside := math.Inf(1), false
	b := ring[len(ring)-1]
	for _, a := range ring {
		ex, ey, wx, wy := b.X-a.X, b.Y-a.Y, p.X-a.X, p.Y-a.Y
		if l := ex*ex + ey*ey; l > 0 {
			t := clamp((wx*ex + wy*ey) / l)
			dx, dy := wx-ex*t, wy-ey*t
			best = min(best, dx*dx+dy*dy)
			if (a.Y > p.Y) != (b.Y > p.Y) && p.X < a.X+(p.Y-a.Y)*ex/ey {
				inside = !inside
			}
		}
		b = a
	}
	if inside {
		return -math.Sqrt(best)
	}
	return math.Sqrt(best)
}

// at interpolates by cubic B-spline: twice differentiable, so that a highlight
// along a rounded edge shows no facets. Off the grid it adds the way to it.
func (f *field) at(x, y float64) float64 {
	u, v := (x-f.x0)/f.step, (y-f.y0)/f.step
	cu := max(1, min(float64(f.w)-2.001, u))
	cv := max(1, min(float64(f.h)-2.001, v))
	i, j := int(cu), int(cv)
	wx, wy := cubicWeights(cu-float64(i)), cubicWeights(cv-float64(j))
	sum := 0.0
	for n := 0; n < 4; n++ {
		row := f.d[(j+n-1)*f.w+i-1:]
		sum += wy[n] * (wx[0]*float64(row[0]) + wx[1]*float64(row[1]) + wx[2]*float64(row[2]) + wx[3]*float64(row[3]))
	}
	if cu != u || cv != v {
		sum += hypot(u-cu, v-cv) * f.step * 0.7
	}
	return sum
}

func cubicWeights(t float64) [4]float64 {
	s := 1 - t
	return [4]float64{
		s * s * s / 6,
		(4 - 6*t*t + 3*t*t*t) / 6,
		(4 - 6*s*s + 3*s*s*s) / 6,
		t * t * t / 6,
	}
}

// slope is the direction in which the distance grows fastest: outwards.
func (f *field) slope(x, y float64) (float64, float64) {
	const e = 0.25
	dx := f.at(x+e, y) - f.at(x-e, y)
	dy := f.at(x, y+e) - f.at(x, y-e)
	l := hypot(dx, dy)
	if l == 0 {
		return 0, 0
	}
	return dx / l, dy / l
}
