package outline

import (
	"cmp"
	"slices"

	"wornwood/annotate/shape"
)

// Area is the area of the region in mm2 that is seen: what other regions lie
// over is not counted. 0 for an unknown region. It is computed from the curves
// (flattened to 0.005 mm), not from a raster, and is good to a few mm2.
func (d *Drawing) Area(regionID string) float64 {
	d.visible.Do(func() {
		d.visible.area = map[string]float64{}
		for i := range d.Sides {
			for j, a := range d.Sides[i].visibleAreas() {
				d.visible.area[d.Sides[i].Regions[j].ID] = a
			}
		}
	})
	return d.visible.area[regionID]
}

// visibleAreas cuts the sheet into level slabs at every vertex of every
// region, so that within a slab all edges are straight, and measures along the
// middle of each slab how much of each region is not covered.
func (s *SideDrawing) visibleAreas() []float64 {
	const tol, tallest = 0.005, 0.5
	rings := make([][][]shape.Pt, len(s.Regions))
	var ys []float64
	for i, r := range s.Regions {
		rings[i] = r.Path.Flatten(tol)
		for _, ring := range rings[i] {
			for _, p := range ring {
				ys = append(ys, p.Y)
			}
		}
	}
	slices.Sort(ys)
	ys = slices.Compact(ys)
	areas := make([]float64, len(s.Regions))
	lines := newLineCutter(rings)
	for i := 1; i < len(ys); i++ {
		// Edges of different regions may cross inside a slab; thin slabs keep
		// that error of the second order small.
		parts := 1 + int((ys[i]-ys[i-1])/tallest)
		h := (ys[i] - ys[i-1]) / float64(parts)
		for k := range parts {
			lines.cut(ys[i-1]+(float64(k)+0.5)*h, func(region int, width float64) { areas[region] += width * h })
		}
	}
	return areas
}

// lineCutter cuts all regions with level lines, from the top of the sheet down.
type lineCutter struct {
	edges  [][]edgeOf // by region, sorted by their upper end
	active [][]edgeOf
	next   []int
}

// edgeOf is one edge from its upper end p to its lower end q.
type edgeOf struct{ p, q shape.Pt }

func newLineCutter(rings [][][]shape.Pt) *lineCutter {
	c := &lineCutter{edges: make([][]edgeOf, len(rings)), active: make([][]edgeOf, len(rings)), next: make([]int, len(rings))}
	for i, region := range rings {
		for _, ring := range region {
			for j, p := range ring {
				q := ring[(j+1)%len(ring)]
				if p.Y > q.Y {
					p, q = q, p
				}
				if p.Y < q.Y {
					c.edges[i] = append(c.edges[i], edgeOf{p, q})
				}
			}
		}
		slices.SortFunc(c.edges[i], func(a, b edgeOf) int { return cmp.Compare(a.p.Y, b.p.Y) })
	}
	return c
}

// cut reports the length that is seen of each region on the line at y; y must
// not decrease from call to call.
func (c *lineCutter) cut(y float64, seen func(region int, width float64)) {
	var covered []stretch
	for i := len(c.edges) - 1; i >= 0; i-- {
		own := c.stretches(i, y)
		if len(own) == 0 {
			continue
		}
		merged := merge(append(slices.Clone(covered), own...))
		if w := total(merged) - total(covered); w > 0 {
			seen(i, w)
		}
		covered = merged
	}
}

// stretches are the stretches of X where the region meets the line.
func (c *lineCutter) stretches(i int, y float64) []stretch {
	for c.next[i] < len(c.edges[i]) && c.edges[i][c.next[i]].p.Y <= y {
		c.active[i] = append(c.active[i], c.edges[i][c.next[i]])
		c.next[i]++
	}
	c.active[i] = slices.DeleteFunc(c.active[i], func(e edgeOf) bool { return e.q.Y <= y })
	var xs []float64
	for _, e := range c.active[i] {
		xs = append(xs, e.p.X+(y-e.p.Y)/(e.q.Y-e.p.Y)*(e.q.X-e.p.X))
	}
	slices.Sort(xs)
	var out []stretch
	for j := 0; j+1 < len(xs); j += 2 {
		out = append(out, stretch{xs[j], xs[j+1]})
	}
	return out
}

// stretch is a piece of a level line.
type stretch struct{ a, b float64 }

// merge is the union, from left to right.
func merge(s []stretch) []stretch {
	slices.SortFunc(s, func(a, b stretch) int { return cmp.Compare(a.a, b.a) })
	out := s[:0]
	for _, t := range s {
		if n := len(out); n > 0 && t.a <= out[n-1].b {
			out[n-1].b = max(out[n-1].b, t.b)
		} else {
			out = append(out, t)
		}
	}
	return out
}

func total(s []stretch) float64 {
	sum := 0.0
	for _, t := range s {
		sum += t.b - t.a
	}
	return sum
}
