package suggest

import (
	"cmp"
	"context"
	"math"
	"slices"

	"wornwood/annotate/shape"
)

// A ding is a small place that differs from everything round it: a pit shaded
// on one side and lit on the other, or a dark or light spot. Its strength is the
// local energy of the picture after a band pass: the pass itself (even, for
// spots) and its slope (odd, for shaded pits) together, which does not depend
// on which of them it is. What tells it from lines, edges and grain is that the
// energy ends all round it.
const (
	pitScales   = 4      // the picture and three halvings
	pitSectors  = 12     // directions round a place
	pitSpot     = 0.7    // sigma of the best band pass over the pit's radius
	pitSlope    = 0.8    // weight of the slope, in sigmas
	leastEnergy = 0.004  // log measure; under it is rounding
	leastRise   = 1.3    // over the ground's energy
	leastStand  = 1.8    // over the energy of the busiest directions round it
	leastPair   = 0.3    // weaker over stronger side of a small pit: dust is light all over
	smallPit    = 5.0    // pixels of radius
	mostPits    = 1000   // that are compared with each other: the best of them
	emptyRound  = 0.0001 // energy that stands for none
)

// pitSigmas are the band passes of one scale; the next scale doubles them.
var pitSigmas = [...]float64{1.4, 2.0}

// pit is a place that may be a ding, in pixels of the searched picture.
type pit struct {
	at       shape.Pt
	radius   float64
	energy   float64 // log measure
	stand    float64 // energy over that of its surroundings
	rise     float64 // energy over the ground's
	contrast float64
	pair     float64 // the weaker of a shaded and a lit side over the stronger; at most 0 for a spot
}

// weigh is how much speaks for a pit.
func (p pit) weigh() float64 { return p.energy * math.Min(p.stand, 6) }

func (p pit) reaches(b bounds) bool {
	if p.pair < leastPair && p.radius < smallPit {
		return false
	}
	return p.contrast >= b.contrast && p.rise*p.stand >= b.pit
}

// findPits looks for pits of all sizes, and gives the ground's energy at the
// finest scale.
func findPits(ctx context.Context, g *ground) (all []pit, level float64, err error) {
	p, inside, step := g.log, g.inside, 1.0
	for range pitScales {
		for _, sigma := range pitSigmas {
			e, err := energyOf(ctx, p, sigma)
			if err != nil {
				return nil, 0, err
			}
			ground := spotLevels(e, inside)
			if level == 0 {
				level = median(slices.DeleteFunc(slices.Clone(ground.v), func(v float64) bool { return v == 0 }))
			}
			all = append(all, peaks(e, inside, ground, sigma, step)...)
		}
		p, inside, step = p.halved(), halvedMask(inside, p.w, p.h), step*2
	}
	for i := range all {
		g.sides(&all[i])
	}
	return all, level, nil
}

// energyOf is the local energy at a scale.
func energyOf(ctx context.Context, p *plane, sigma float64) (*plane, error) {
	out, err := p.blurred(ctx, sigma)
	if err != nil {
		return nil, err
	}
	band, err := p.blurred(ctx, 2*sigma)
	if err != nil {
		return nil, err
	}
	for i := range band.v {
		band.v[i] = out.v[i] - band.v[i]
	}
	slope := float32(pitSlope * sigma)
	return out, everyBand(ctx, p.h, func(y0, y1 int) {
		for y := y0; y < y1; y++ {
			up, mid, low := band.row(max(0, y-1)), band.row(y), band.row(min(p.h-1, y+1))
			for x, dst := 0, out.row(y); x < len(dst); x++ {
				dx := slope * (mid[min(x+1, p.w-1)] - mid[max(x-1, 0)])
				dy := slope * (low[x] - up[x])
				dst[x] = float32(math.Sqrt(float64(mid[x]*mid[x] + dx*dx + dy*dy)))
			}
		}
	})
}

// peaks are the places of most energy that stand out all round.
func peaks(e *plane, inside []uint8, ground spotGround, sigma, step float64) []pit {
	var out []pit
	for y := 1; y < e.h-1; y++ {
		for x := 1; x < e.w-1; x++ {
			i := y*e.w + x
			v := e.v[i]
			if inside[i] == 0 || v < leastEnergy || !isPeak(e, i) {
				continue
			}
			rise := float64(v) / ground.at(x, y)
			if rise < leastRise {
				continue
			}
			if stand := float64(v) / clutter(e, x, y, sigma); stand >= leastStand {
				out = append(out, pit{at: shape.Pt{X: (float64(x)+0.5)*step - 0.5, Y: (float64(y)+0.5)*step - 0.5},
					radius: sigma * step / pitSpot, energy: float64(v), rise: rise, stand: stand})
			}
		}
	}
	return out
}

// isPeak says whether a pixel is above its neighbours; of two alike the later
// one is.
func isPeak(e *plane, i int) bool {
	v, up, low := e.v[i], e.v[i-e.w-1:][:3], e.v[i+e.w-1:][:3]
	return v >= e.v[i-1] && v > e.v[i+1] && v >= up[0] && v >= up[1] && v >= up[2] && v > low[0] && v > low[1] && v > low[2]
}

// clutter is the energy of the three busiest directions round a place: a line
// or an edge through it takes two at least.
func clutter(e *plane, x, y int, sigma float64) float64 {
	var s [pitSectors]float64
	for i := range s {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / pitSectors)
		for _, r := range [...]float64{3, 3.7, 4.4, 5.1} {
			s[i] += 0.25 * float64(e.sample(float64(x)+r*sigma*cos, float64(y)+r*sigma*sin))
		}
	}
	slices.Sort(s[:])
	return max((s[pitSectors-1]+s[pitSectors-2]+s[pitSectors-3])/3, emptyRound)
}

// sides finds by how much the pit's darkest or lightest side differs from the
// finish round it, and whether the side opposite differs the other way.
func (g *ground) sides(p *pit) {
	around := make([]float64, 16)
	for i := range around {
		s, c := math.Sincos(2 * math.Pi * float64(i) / 16)
		r := 1.6*p.radius + 1.5
		around[i] = float64(g.log.sample(p.at.X+r*c, p.at.Y+r*s))
	}
	level := median(around)
	var side [pitSectors]float64
	best := 0
	for i := range side {
		s, c := math.Sincos(2 * math.Pi * float64(i) / pitSectors)
		for _, d := range [...]float64{0.4, 0.55, 0.7, 0.85} {
			side[i] += 0.25 * float64(g.log.sample(p.at.X+d*p.radius*c, p.at.Y+d*p.radius*s))
		}
		side[i] -= level
		if math.Abs(side[i]) > math.Abs(side[best]) {
			best = i
		}
	}
	p.contrast = contrastOf(side[best], level)
	for _, i := range [...]int{5, 6, 7} { // the three directions opposite
		if side[best] != 0 {
			p.pair = max(p.pair, -side[(best+i)%pitSectors]/side[best])
		}
	}
}

// goodPits are the pits that reach the bounds, one to a place, away from ruled
// lines.
func (s *Search) goodPits(b bounds, ruled rulings) []pit {
	all := slices.DeleteFunc(slices.Clone(s.pits), func(p pit) bool { return !p.reaches(b) || ruled.has(p.at) })
	slices.SortStableFunc(all, func(a, b pit) int { return cmp.Compare(b.weigh(), a.weigh()) })
	all = all[:min(len(all), mostPits)]
	var out []pit
	for _, p := range all {
		if !slices.ContainsFunc(out, func(q pit) bool { return shape.Dist(p.at, q.at) < max(p.radius, q.radius)+4 }) {
			out = append(out, p)
		}
	}
	return out
}

// onPit says whether most of a line lies on pits: the outline of a pit.
func (s stretch) onPit(pits []pit) bool {
	n := 0
	for _, q := range s.at {
		if slices.ContainsFunc(pits, func(p pit) bool { return shape.Dist(p.at, q) < p.radius+4 }) {
			n++
		}
	}
	return 2*n > len(s.at)
}

// onLine says whether a pit is part of a line: its end, or a bend.
func (p pit) onLine(lines []stretch) bool {
	return slices.ContainsFunc(lines, func(s stretch) bool { return shape.DistToPolyline(p.at, s.at) < 5+0.5*p.radius })
}
