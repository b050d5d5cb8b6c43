package suggest

import (
	"cmp"
	"slices"

	"wornwood/annotate/shape"
)

const (
	sameLine = 4.0 // pixels within which two lines are one
	joinGap  = 14.0
)

// tidy drops lines, and parts of lines, that lie along a better one.
func tidy(all []stretch) []stretch {
	slices.SortStableFunc(all, func(a, b stretch) int { return cmp.Compare(b.weigh(), a.weigh()) })
	near := map[[2]int]bool{}
	cellOf := func(p shape.Pt) [2]int { return [2]int{int(p.X) / 4, int(p.Y) / 4} }
	var out []stretch
	for _, s := range all {
		rest := s
		rest.at = nil
		best := []shape.Pt{}
		for _, p := range append(s.at, shape.Pt{X: -100, Y: -100}) {
			if p.X > -50 && !near[cellOf(p)] {
				rest.at = append(rest.at, p)
				continue
			}
			if len(rest.at) > len(best) {
				best = rest.at
			}
			rest.at = nil
		}
		rest.at = best
		if rest.length() < 24 {
			continue
		}
		for _, p := range rest.at {
			c := cellOf(p)
			for y := c[1] - 1; y <= c[1]+1; y++ {
				for x := c[0] - 1; x <= c[0]+1; x++ {
					near[[2]int{x, y}] = true
				}
			}
		}
		out = append(out, rest)
	}
	return out
}

func (s stretch) onPit(pits []pit) bool {
	for _, p := range pits {
		n := 0
		for _, q := range s.at {
			if shape.Dist(p.at, q) < p.radius+4 {
				n++
			}
		}
		if 2*n > len(s.at) {
			return true
		}
	}
	return false
}

func (p pit) onLine(lines []stretch) bool {
	for _, s := range lines {
		if shape.DistToPolyline(p.at, s.at) < 5+0.5*p.radius {
			return true
		}
	}
	return false
}

func (p pit) reaches(b bounds) bool {
	if p.pair < 0.3 && p.radius < 5 {
		return false
	}
	return p.contrast >= b.pit && p.rise >= 1.9 && p.stand >= 1.8 && p.rise*p.stand >= b.pitRise
}
