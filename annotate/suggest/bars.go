package suggest

import "math"

// The bar is what a line has to rise above: how strongly the ground itself
// answers to the line filter, in each direction and in each block of the
// area. It is taken from a high quantile of the ground's own answers, not from
// their typical size, because grain and texture have many strong ones.
const (
	blockSide = 32 // pixels; a tile holds a whole number of blocks
	barReach  = 2  // blocks on each side that share their answers
	barShare  = 0.85
	barBins   = 48
	leastBar  = 0.0008 // log measure: what 8-bit steps and rendering leave
)

// bars collects answers by block and direction.
type bars struct {
	bw, bh int
	counts []uint32  // [block][direction][bin]
	level  []float32 // [block][direction], once settled
	filled []bool    // [block], whether anything of it was counted
}

func newBars(w, h int) *bars {
	bw, bh := (w+blockSide-1)/blockSide, (h+blockSide-1)/blockSide
	return &bars{bw: bw, bh: bh, counts: make([]uint32, bw*bh*directions*barBins), level: make([]float32, bw*bh*directions), filled: make([]bool, bw*bh)}
}

// Bins are an eighth of a factor of e wide, from leastBar upwards.
func barBin(v float32) int {
	v = max(v, -v)
	if v <= leastBar {
		return 0
	}
	return min(1+int(6*fastLog(v/leastBar)), barBins-1)
}

// fastLog is the natural logarithm of v >= 1, true to about 0.03: the exponent
// and mantissa of the number as it is stored.
func fastLog(v float32) float32 {
	return (float32(math.Float32bits(v))*(1.0/(1<<23)) - 127) * math.Ln2
}

func binTop(i int) float32 { return float32(leastBar * math.Exp(float64(i)/6)) }

// settle turns the counts into levels: the quantile of the answers of a block
// and its neighbours, as the standard deviation that a bell would have.
func (b *bars) settle() {
	wide := make([]uint32, directions*barBins)
	for by := range b.bh {
		for bx := range b.bw {
			clear(wide)
			b.filled[by*b.bw+bx] = b.hasOwn(bx, by)
			for y := max(0, by-barReach); y <= min(b.bh-1, by+barReach); y++ {
				for x := max(0, bx-barReach); x <= min(b.bw-1, bx+barReach); x++ {
					for i, c := range b.counts[(y*b.bw+x)*directions*barBins:][:directions*barBins] {
						wide[i] += c
					}
				}
			}
			level := b.level[(by*b.bw+bx)*directions:][:directions]
			for k := range level {
				level[k] = quantile(wide[k*barBins:][:barBins], barShare) / bellShare
			}
		}
	}
	b.counts = nil
}

// hasOwn says whether the block itself has answers.
func (b *bars) hasOwn(bx, by int) bool {
	for _, c := range b.counts[(by*b.bw+bx)*directions*barBins:][:barBins] {
		if c > 0 {
			return true
		}
	}
	return false
}

// bellShare is where barShare of the absolute values of a bell lie, in its
// standard deviations.
const bellShare = 1.4395

func quantile(bins []uint32, share float64) float32 {
	total := uint32(0)
	for _, c := range bins {
		total += c
	}
	want, sum := float64(total)*share, 0.0
	for i, c := range bins {
		if c > 0 && sum+float64(c) >= want {
			low := float32(0)
			if i > 0 {
				low = binTop(i - 1)
			}
			t := float32((want - sum) / float64(c))
			return max(leastBar, low+t*(binTop(i)-low))
		}
		sum += float64(c)
	}
	return leastBar
}
