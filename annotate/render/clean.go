package render

import (
	"math"
	"sync"
)

func sqrt(x float64) float64 { return math.Sqrt(x) }

// clean takes the grain out of the light on surfaces: four passes of a 5 x 5
// filter with growing holes that does not cross from one object, facing or
// clearly different brightness to another (Dammertz and others, Edge-avoiding
// a-trous wavelet transform, 2010).
func (b *buffer) clean(workers int) []rgb {
	e := b.e
	spread := b.smoothed(workers)
	for pass, hole := 0, 1; pass < 4; pass, hole = pass+1, hole*2 {
		out := make([]rgb, len(e))
		rows(b.h, workers, func(y int) {
			for x := 0; x < b.w; x++ {
				out[y*b.w+x] = b.clean1(e, spread, x, y, hole)
			}
		})
		for i := range spread {
			spread[i] *= 0.2 // about what a 5 x 5 mean leaves of it
		}
		e = out
	}
	return e
}

var bell = [5]float64{1.0 / 16, 4.0 / 16, 6.0 / 16, 4.0 / 16, 1.0 / 16}

func (b *buffer) clean1(e []rgb, spread []float32, x, y, hole int) rgb {
	i := y*b.w + x
	if b.obj[i] == nil {
		return e[i]
	}
	n, l := b.n[i], e[i].luma()
	tol := 1 / (2.2*math.Sqrt(float64(spread[i])) + 0.004)
	var sum rgb
	var weight float64
	for dy := -2; dy <= 2; dy++ {
		yy := y + dy*hole
		if yy < 0 || yy >= b.h {
			continue
		}
		for dx := -2; dx <= 2; dx++ {
			xx := x + dx*hole
			if xx < 0 || xx >= b.w {
				continue
			}
			j := yy*b.w + xx
			if b.obj[j] != b.obj[i] {
				continue
			}
			c := n.dot(b.n[j])
			if c < 0.9 {
				continue
			}
			c *= c
			c *= c
			diff := (e[j].luma() - l) * tol
			k := bell[dx+2] * bell[dy+2] * c * c * c / (1 + diff*diff*(1+diff*diff))
			sum, weight = sum.add(e[j].mul(k)), weight+k
		}
	}
	return sum.mul(1 / weight)
}

// smoothed estimates how noisy the light is around each pixel, as the variance
// among its neighbours on the same object: the samples of one pixel share
// their light and say nothing about it.
func (b *buffer) smoothed(workers int) []float32 {
	out := make([]float32, len(b.e))
	rows(b.h, workers, func(y int) {
		for x := range b.w {
			var n, s, s2 float64
			for yy := max(0, y-2); yy <= min(b.h-1, y+2); yy++ {
				for xx := max(0, x-2); xx <= min(b.w-1, x+2); xx++ {
					if j := yy*b.w + xx; b.obj[j] == b.obj[y*b.w+x] {
						l := b.e[j].luma()
						n, s, s2 = n+1, s+l, s2+l*l
					}
				}
			}
			out[y*b.w+x] = float32(max(0, s2/n-s*s/(n*n)))
		}
	})
	return out
}

// rows runs f for every row on several cores; rows must not depend on one
// another.
func rows(h, workers int, f func(y int)) {
	var wait sync.WaitGroup
	workers = max(1, workers)
	for k := range workers {
		wait.Add(1)
		go func() {
			defer wait.Done()
			for y := k; y < h; y += workers {
				f(y)
			}
		}()
	}
	wait.Wait()
}
