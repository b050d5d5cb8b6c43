package trace

import (
	"context"
	"math"
)

// Evidence is counted in thousandths of a natural logarithm and capped, so that
// one pixel's colour cannot outweigh all of its neighbours.
const (
	nat     = 1000
	mostNat = 8 * nat
	hard    = 1 << 24
)

func evidence(nats float32) int32 {
	return int32(max(-mostNat, min(mostNat, nats*nat)))
}

// cut divides the picture by the models and the contrast between neighbours.
// bias, in nats, leans every pixel towards the instrument. The error is the
// context's.
func (s *scene) cut(ctx context.Context, bias float32) ([]bool, error) {
	p := s.pic
	g := newNetwork(len(p.px))
	parallel(len(p.px), func(from, to int) {
		for i := from; i < to; i++ {
			c := p.px[i]
			g.end[i] = evidence(s.looksInst(c, i) - s.looksBack(c, i) + bias)
			if s.seeds[i] != unsaid {
				g.end[i] = hard * int32(s.seeds[i])
			}
		}
	})
	beta := sensitivity(p, nil)
	for i := range p.px {
		x, y := i%p.w, i/p.w
		for k := 0; k < degree; k += 2 {
			nx, ny := x+directions[k][0], y+directions[k][1]
			if nx < 0 || nx >= p.w || ny >= p.h {
				continue
			}
			j := ny*p.w + nx
			g.link(int32(i), k, int32(j), linkCost(p.px[i].dist2(p.px[j]), beta, k))
		}
	}
	if err := g.cut(ctx); err != nil {
		return nil, err
	}
	mask := make([]bool, len(p.px))
	for i := range mask {
		mask[i] = g.isInside(i)
	}
	return mask, nil
}

// An edge between two pixels costs smoothness nats where they are alike,
// falling to a twenty-fifth of that where they differ much more than neighbours
// usually do.
const smoothness = 5

// fall is exp(-v) in steps of 1/fallSteps.
var fall = func() (t [12 * fallSteps]float32) {
	for i := range t {
		t[i] = float32(math.Exp(-(float64(i) + 0.5) / fallSteps))
	}
	return t
}()

const fallSteps = 64

func linkCost(d2, beta float32, k int) int32 {
	c := float32(0.04)
	if v := int(d2 * beta * fallSteps); v < len(fall) {
		c += 0.96 * fall[v]
	}
	c *= smoothness * nat
	if k >= 4 { // diagonal neighbours are further apart
		c *= math.Sqrt2 / 2
	}
	return int32(c)
}

// sensitivity is the factor on squared differences between neighbours from
// their mean over the places, nil for all: 1/(2 mean), as Rother, Kolmogorov and
// Blake set it ("GrabCut", SIGGRAPH 2004).
func sensitivity(p *picture, places []int32) float32 {
	sum, n := 0.0, 0
	look := func(i int) {
		if i%p.w+1 < p.w {
			sum += float64(p.px[i].dist2(p.px[i+1]))
			n++
		}
		if i+p.w < len(p.px) {
			sum += float64(p.px[i].dist2(p.px[i+p.w]))
			n++
		}
	}
	if places == nil {
		for i := range p.px {
			look(i)
		}
	}
	for _, i := range places {
		look(int(i))
	}
	return float32(1 / (2*sum/float64(max(n, 1)) + 1))
}
