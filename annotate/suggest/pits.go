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
// local energy of the picture after a band pass, the pass itself (even, for
// spots) and its slope (odd, for shaded pits) together, which does not depend on
// which of them it is. What tells it from lines, edges and grain is that the
// energy ends all round it.
const (
	pitSectors = 12
	pitSpot    = 0.7 // sigma of the best band pass over the pit's radius
)

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

// blurred is the plane smoothed with a bell.
func (p *plane) blurred(ctx context.Context, sigma float64) (*plane, error) {
	reach := int(math.Ceil(2.6 * sigma))
	k := gauss(sigma, reach)[reach:]
	mid, out := newPlane(p.w, p.h), newPlane(p.w, p.h)
	err := everyTile(ctx, bands(p.w, p.h), func() []float32 { return make([]float32, p.w+2*reach) }, func(t tile, row []float32) {
		for y := t.y0; y < t.y1; y++ {
			for x := range row {
				row[x] = p.at(x-reach, y)
			}
			dst := mid.v[y*p.w:][:p.w]
			c := row[reach:][:p.w]
			for x, v := range c {
				dst[x] = k[0] * v
			}
			for i := 1; i <= reach; i++ {
				a, b, f := row[reach-i:][:p.w], row[reach+i:][:p.w], k[i]
				for x := range dst {
					dst[x] += f * (a[x] + b[x])
				}
			}
		}
	})
	if err != nil {
		return nil, err
	}
	return out, everyTile(ctx, bands(p.w, p.h), func() struct{} { return struct{}{} }, func(t tile, _ struct{}) {
		for y := t.y0; y < t.y1; y++ {
			dst := out.v[y*p.w:][:p.w]
			for x, v := range mid.v[y*p.w:][:p.w] {
				dst[x] = k[0] * v
			}
			for i := 1; i <= reach; i++ {
				a, b, f := mid.v[max(0, y-i)*p.w:][:p.w], mid.v[min(p.h-1, y+i)*p.w:][:p.w], k[i]
				for x := range dst {
					dst[x] += f * (a[x] + b[x])
				}
			}
		}
	})
}

func bands(w, h int) []tile {
	var out []tile
	for y := 0; y < h; y += 64 {
		out = append(out, tile{0, y, w, min(y+64, h)})
	}
	return out
}

// energyOf is the local energy at a scale.
func energyOf(ctx context.Context, p *plane, sigma float64) (*plane, error) {
	fine, err := p.blurred(ctx, sigma)
	if err != nil {
		return nil, err
	}
	wide, err := p.blurred(ctx, 2*sigma)
	if err != nil {
		return nil, err
	}
	for i := range wide.v {
		wide.v[i] = fine.v[i] - wide.v[i]
	}
	out := fine
	slope := float32(0.5 * 1.6 * sigma)
	return out, everyTile(ctx, bands(p.w, p.h), func() struct{} { return struct{}{} }, func(t tile, _ struct{}) {
		for y := t.y0; y < t.y1; y++ {
			up, mid, low := wide.v[max(0, y-1)*p.w:][:p.w], wide.v[y*p.w:][:p.w], wide.v[min(p.h-1, y+1)*p.w:][:p.w]
			dst := out.v[y*p.w:][:p.w]
			for x := range dst {
				dx := slope * (mid[min(x+1, p.w-1)] - mid[max(x-1, 0)])
				dy := slope * (low[x] - up[x])
				dst[x] = float32(math.Sqrt(float64(mid[x]*mid[x] + dx*dx + dy*dy)))
			}
		}
	})
}

// findPits looks for pits at all sizes.
func findPits(ctx context.Context, g *ground) ([]pit, error) {
	var all []pit
	p, inside, step := g.log, g.inside, 1.0
	for range pitLevelsN {
		for _, sigma := range pitSigmas {
			e, err := energyOf(ctx, p, sigma)
			if err != nil {
				return nil, err
			}
			all = append(all, peaks(e, inside, sigma, step)...)
		}
		p, inside, step = p.halved(), halvedMask(inside, p.w, p.h), step*2
	}
	for i := range all {
		g.pitContrast(&all[i])
	}
	return all, nil
}

// alone keeps the best of pits that lie on each other.
func alone(all []pit) []pit {
	slices.SortStableFunc(all, func(a, b pit) int { return cmp.Compare(b.weigh(), a.weigh()) })
	var out []pit
	for _, p := range all {
		ok := true
		for _, q := range out {
			if shape.Dist(p.at, q.at) < max(p.radius, q.radius)+4 {
				ok = false
				break
			}
		}
		if ok {
			out = append(out, p)
		}
	}
	return out
}

func (p pit) weigh() float64 { return p.energy * math.Min(p.stand, 6) }

// peaks are the places of most energy that stand out all round.
func peaks(e *plane, inside []uint8, sigma, step float64) []pit {
	level := pitLevels(e, inside)
	var out []pit
	for y := 1; y < e.h-1; y++ {
		for x := 1; x < e.w-1; x++ {
			i := y*e.w + x
			v := e.v[i]
			if inside[i] == 0 || v < 0.004 || v < e.v[i-1] || v <= e.v[i+1] || v < e.v[i-e.w] || v <= e.v[i+e.w] ||
				v < e.v[i-e.w-1] || v <= e.v[i+e.w+1] || v < e.v[i-e.w+1] || v <= e.v[i+e.w-1] {
				continue
			}
			rise := float64(v) / level.at(x, y)
			if rise < 1.5 {
				continue
			}
			stand := float64(v) / clutter(e, x, y, sigma)
			if stand < 1.2 {
				continue
			}
			out = append(out, pit{at: shape.Pt{X: (float64(x)+0.5)*step - 0.5, Y: (float64(y)+0.5)*step - 0.5},
				radius: sigma * step / pitSpot, energy: float64(v), rise: rise, stand: stand})
		}
	}
	return out
}

// clutter is the energy of the busiest directions round a place.
func clutter(e *plane, x, y int, sigma float64) float64 {
	var s [pitSectors]float64
	for i := range s {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / pitSectors)
		for _, r := range [...]float64{3, 3.7, 4.4, 5.1} {
			s[i] += 0.25 * float64(e.sample(float64(x)+r*sigma*cos, float64(y)+r*sigma*sin))
		}
	}
	slices.Sort(s[:])
	return max((s[pitSectors-1]+s[pitSectors-2]+s[pitSectors-3])/3, 1e-4)
}

// pitGround is the energy of the ground in blocks.
type pitGround struct {
	bw, bh int
	v      []float64
}

const pitBlock = 32

func (g pitGround) at(x, y int) float64 { return g.v[(y/pitBlock)*g.bw+x/pitBlock] }

func pitLevels(e *plane, inside []uint8) pitGround {
	g := pitGround{bw: (e.w + pitBlock - 1) / pitBlock, bh: (e.h + pitBlock - 1) / pitBlock}
	counts := make([]uint32, g.bw*g.bh*barBins)
	for y := 0; y < e.h; y++ {
		for x := 0; x < e.w; x += 2 {
			if inside[y*e.w+x] != 0 {
				counts[((y/pitBlock)*g.bw+x/pitBlock)*barBins+barBin(e.v[y*e.w+x])]++
			}
		}
	}
	g.v = make([]float64, g.bw*g.bh)
	for by := range g.bh {
		for bx := range g.bw {
			var wide [barBins]uint32
			for y := max(0, by-barReach); y <= min(g.bh-1, by+barReach); y++ {
				for x := max(0, bx-barReach); x <= min(g.bw-1, bx+barReach); x++ {
					for i, c := range counts[(y*g.bw+x)*barBins:][:barBins] {
						wide[i] += c
					}
				}
			}
			g.v[by*g.bw+bx] = float64(quantile(wide[:])) * bellShare
		}
	}
	return g
}

// pitContrast finds the share by which the pit's darkest or lightest part differs
// from the finish round it, and whether it has a shaded and a lit side.
func (g *ground) pitContrast(p *pit) {
	var ring []float64
	for i := range 16 {
		s, c := math.Sincos(2 * math.Pi * float64(i) / 16)
		r := 1.6*p.radius + 1.5
		ring = append(ring, float64(g.log.sample(p.at.X+r*c, p.at.Y+r*s)))
	}
	slices.Sort(ring)
	around := 0.5 * (ring[7] + ring[8])
	var side [12]float64
	best := 0
	for i := range side {
		s, c := math.Sincos(2 * math.Pi * float64(i) / 12)
		sum := 0.0
		for _, d := range [...]float64{0.4, 0.55, 0.7, 0.85} {
			sum += 0.25 * float64(g.log.sample(p.at.X+d*p.radius*c, p.at.Y+d*p.radius*s))
		}
		side[i] = sum - around
		if math.Abs(side[i]) > math.Abs(side[best]) {
			best = i
		}
	}
	p.contrast = contrastOf(side[best], around)
	// Of the three directions opposite, the one that differs most the other way.
	for _, i := range [...]int{5, 6, 7} {
		p.pair = max(p.pair, -side[(best+i)%12]/side[best])
	}
}
const pitLevelsN = 3
