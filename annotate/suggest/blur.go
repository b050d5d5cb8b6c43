package suggest

import (
	"context"
	"math"
)

// gauss is a bell of the given sigma, its values adding up to 1.
func gauss(sigma float64, reach int) []float32 {
	k := make([]float32, 2*reach+1)
	total := 0.0
	for i := range k {
		total += math.Exp(-0.5 * sq(float64(i-reach)/sigma))
	}
	for i := range k {
		k[i] = float32(math.Exp(-0.5*sq(float64(i-reach)/sigma)) / total)
	}
	return k
}

func sq(v float64) float64 { return v * v }

// blurred is the plane smoothed with a bell, its border pixels going on
// outside.
func (p *plane) blurred(ctx context.Context, sigma float64) (*plane, error) {
	reach := int(math.Ceil(2.6 * sigma))
	half := gauss(sigma, reach)[reach:]
	mid, out := newPlane(p.w, p.h), newPlane(p.w, p.h)
	err := everyBand(ctx, p.h, func(y0, y1 int) {
		row := make([]float32, p.w+2*reach)
		for y := y0; y < y1; y++ {
			for x := range row {
				row[x] = p.at(x-reach, y)
			}
			dst := mid.row(y)
			scaled(dst, row[reach:], half[0])
			for i := 1; i <= reach; i++ {
				addPair(dst, row[reach-i:], row[reach+i:], half[i])
			}
		}
	})
	if err != nil {
		return nil, err
	}
	return out, everyBand(ctx, p.h, func(y0, y1 int) {
		for y := y0; y < y1; y++ {
			dst := out.row(y)
			scaled(dst, mid.row(y), half[0])
			for i := 1; i <= reach; i++ {
				addPair(dst, mid.row(max(0, y-i)), mid.row(min(p.h-1, y+i)), half[i])
			}
		}
	})
}

func (p *plane) row(y int) []float32 { return p.v[y*p.w:][:p.w] }

func scaled(dst, src []float32, f float32) {
	src = src[:len(dst)]
	for i := range dst {
		dst[i] = f * src[i]
	}
}

func addPair(dst, a, b []float32, f float32) {
	a, b = a[:len(dst)], b[:len(dst)]
	for i := range dst {
		dst[i] += f * (a[i] + b[i])
	}
}
