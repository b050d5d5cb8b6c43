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
	guide, spread := b.guide(workers)
	for pass, hole := 0, 1; pass < 4; pass, hole = pass+1, hole*2 {
		out := make([]rgb, len(e))
		rows(b.h, workers, func(y int) {
			for x := 0; x < b.w; x++ {
				out[y*b.w+x] = b.clean1(e, guide, spread, x, y, hole)
			}
		})
		for i := range spread {
			guide[i] = float32(out[i].luma())
			spread[i] *= 0.45 // what one more pass leaves of it, carefully guessed
		}
		e = out
	}
	return e
}

// taps weigh every place of a 4 x 4 block alike, because the dice are spread
// over such blocks and a bell would leave their pattern.
var taps = [5]float64{1.0 / 8, 2.0 / 8, 2.0 / 8, 2.0 / 8, 1.0 / 8}

func (b *buffer) clean1(e []rgb, guide, spread []float32, x, y, hole int) rgb {
	i := y*b.w + x
	obj := b.px[i].main
	if obj == nil {
		return e[i]
	}
	n, l := b.px[i].n, guide[i]
	tol := 1 / (1.6*math.Sqrt(float64(spread[i])) + 0.004)
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
			if b.px[j].main != obj {
				continue
			}
			c := n.dot(b.px[j].n)
			if c < 0.9 {
				continue
			}
			c *= c
			c *= c
			diff := float64(guide[j]-l) * tol
			k := taps[dx+2] * taps[dy+2] * c * c * c / (1 + diff*diff*(1+diff*diff))
			sum, weight = sum.add(e[j].mul(k)), weight+k
		}
	}
	return sum.mul(1 / weight)
}

// guide is the brightness of the light around each pixel, a mean over 5 x 5
// neighbours on the same object, and how uncertain that mean is (a variance).
// The samples of one pixel share their light and say nothing about its noise.
func (b *buffer) guide(workers int) (mean, spread []float32) {
	mean, spread = make([]float32, len(b.e)), make([]float32, len(b.e))
	rows(b.h, workers, func(y int) {
		for x := range b.w {
			var n, s, s2 float64
			for yy := max(0, y-2); yy <= min(b.h-1, y+2); yy++ {
				for xx := max(0, x-2); xx <= min(b.w-1, x+2); xx++ {
					if j := yy*b.w + xx; b.px[j].main == b.px[y*b.w+x].main {
						l, k := b.e[j].luma(), taps[xx-x+2]*taps[yy-y+2]
						n, s, s2 = n+k, s+k*l, s2+k*l*l
					}
				}
			}
			mean[y*b.w+x] = float32(s / n)
			spread[y*b.w+x] = float32(max(0, s2/n-s*s/(n*n)) / (5 * math.Sqrt(n)))
		}
	})
	return mean, spread
}

// litOther is the light of a pixel's second object: its colour under the clean
// light that the same object has in a neighbouring pixel, or the light as
// sampled when it has none.
func (b *buffer) litOther(e []rgb, x, y int) rgb {
	p := &b.px[y*b.w+x]
	if p.other == nil || p.second == (rgb{}) {
		return p.lit2
	}
	var sum rgb
	n := 0.0
	for yy := max(0, y-1); yy <= min(b.h-1, y+1); yy++ {
		for xx := max(0, x-1); xx <= min(b.w-1, x+1); xx++ {
			if j := yy*b.w + xx; b.px[j].main == p.other {
				sum, n = sum.add(e[j]), n+1
			}
		}
	}
	if n == 0 {
		return p.lit2
	}
	return p.second.by(sum.mul(1 / n))
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
