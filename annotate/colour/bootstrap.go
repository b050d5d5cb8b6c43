package colour

import (
	"math"
	"math/rand/v2"
)

// resamples is how many times a patch is drawn anew from its own blocks.
const resamples = 200

// blockMeans draws a patch's trimmed mean anew from square blocks of its
// pulled pixels (see trimmedMean): noise and grain go over more than one pixel,
// so single ones are not independent. The seed is fixed, so a patch always gives
// the same answer.
func blockMeans(s []sample, step int, mean Linear) []Linear {
	side := blockSide(len(s)) * step
	type block struct {
		sum Linear
		n   int
	}
	blocks := map[[2]int]*block{}
	var order []*block
	for i := range s {
		at := [2]int{s[i].x / side, s[i].y / side}
		b := blocks[at]
		if b == nil {
			b = &block{}
			blocks[at] = b
			order = append(order, b)
		}
		b.sum, b.n = b.sum.plus(s[i].c), b.n+1
	}
	n := float64(len(order))
	widen := math.Sqrt(n/max(1, n-1)) / (1 - 2*trim)
	middle := meanColour(s)
	r := rand.New(rand.NewPCG(1976, 2000))
	out := make([]Linear, resamples)
	for i := range out {
		var sum Linear
		n := 0
		for range order {
			b := order[r.IntN(len(order))]
			sum, n = sum.plus(b.sum), n+b.n
		}
		off := sum.times(1 / float64(n)).plus(middle.times(-1))
		out[i] = mean.plus(off.times(widen))
	}
	return out
}

// blockSide is the side of a block in samples: at least as large as the blocks
// of a JPEG where the patch allows, sixteen blocks at the least, about a
// hundred in a large patch.
func blockSide(n int) int {
	side := math.Sqrt(float64(n))
	return int(max(1, min(8, side/4), side/10))
}

// spreadOf is the root mean square distance of resampled means from the mean,
// as dE*ab.
func spreadOf(means []Linear, from Linear) float64 {
	at, sum := from.Lab(), 0.0
	for _, m := range means {
		d := DEab(m.Lab(), at)
		sum += d * d
	}
	return math.Sqrt(sum / float64(len(means)))
}
