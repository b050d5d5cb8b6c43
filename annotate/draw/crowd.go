package draw

import (
	"math"

	"wornwood/annotate/shape"
)

// crowd finds the points near a place without looking at all of them.
type crowd struct {
	cell float64
	m    map[[2]int][]spot
}

type spot struct {
	id int
	p  shape.Pt
}

func (c *crowd) key(p shape.Pt) [2]int {
	return [2]int{int(math.Floor(p.X / c.cell)), int(math.Floor(p.Y / c.cell))}
}

func (c *crowd) add(id int, p shape.Pt) {
	if c.m == nil {
		c.m = map[[2]int][]spot{}
	}
	k := c.key(p)
	c.m[k] = append(c.m[k], spot{id, p})
}

func (c *crowd) near(p shape.Pt, d float64, visit func(id int, q shape.Pt)) {
	k, n := c.key(p), int(math.Ceil(d/c.cell))
	for y := k[1] - n; y <= k[1]+n; y++ {
		for x := k[0] - n; x <= k[0]+n; x++ {
			for _, s := range c.m[[2]int{x, y}] {
				if shape.Dist(s.p, p) < d {
					visit(s.id, s.p)
				}
			}
		}
	}
}

// within says whether a point other than that of the id is nearer than d.
func (c *crowd) within(p shape.Pt, d float64, id int) bool {
	found := false
	c.near(p, d, func(k int, _ shape.Pt) { found = found || k != id })
	return found
}
