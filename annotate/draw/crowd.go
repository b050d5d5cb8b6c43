package draw

import (
	"math"

	"wornwood/annotate/shape"
)

// crowd finds the points near a place without looking at all of them. Points
// outside of its rectangle are kept in the cells at its edge.
type crowd struct {
	cell  float64
	min   shape.Pt
	w, h  int
	first []int32 // per cell, index into spots plus one; 0 for none
	spots []spot
}

type spot struct {
	id   int
	p    shape.Pt
	next int32
}

// maxCrowdCells bounds the memory of a crowd; on a larger rectangle cells are
// larger.
const maxCrowdCells = 1 << 16

func newCrowd(r shape.Rect, cell float64) crowd {
	c := crowd{cell: math.Max(cell, math.Sqrt(r.Dx()*r.Dy()/maxCrowdCells)), min: r.Min}
	c.w = max(1, min(maxCrowdCells, int(math.Ceil(r.Dx()/c.cell))))
	c.h = max(1, min(maxCrowdCells/c.w, int(math.Ceil(r.Dy()/c.cell))))
	c.first = make([]int32, c.w*c.h)
	return c
}

// column and row of a coordinate, kept inside.
func (c *crowd) column(x float64) int { return within(x-c.min.X, c.cell, c.w) }
func (c *crowd) row(y float64) int    { return within(y-c.min.Y, c.cell, c.h) }

func within(d, cell float64, n int) int {
	return int(math.Max(0, math.Min(float64(n-1), math.Floor(d/cell))))
}

func (c *crowd) add(id int, p shape.Pt) {
	k := c.row(p.Y)*c.w + c.column(p.X)
	c.spots = append(c.spots, spot{id, p, c.first[k]})
	c.first[k] = int32(len(c.spots))
}

// remove forgets the point of the id that was added at the place.
func (c *crowd) remove(id int, p shape.Pt) {
	at := &c.first[c.row(p.Y)*c.w+c.column(p.X)]
	for *at > 0 {
		s := &c.spots[*at-1]
		if s.id == id {
			*at = s.next
			return
		}
		at = &s.next
	}
}

// near visits the points nearer than d until visit says that it has enough.
func (c *crowd) near(p shape.Pt, d float64, visit func(id int, q shape.Pt) (enough bool)) {
	x0, x1 := c.column(p.X-d), c.column(p.X+d)
	for y, y1 := c.row(p.Y-d), c.row(p.Y+d); y <= y1; y++ {
		for x := x0; x <= x1; x++ {
			for k := c.first[y*c.w+x]; k > 0; k = c.spots[k-1].next {
				s := &c.spots[k-1]
				dx, dy := s.p.X-p.X, s.p.Y-p.Y
				if dx*dx+dy*dy < d*d && visit(s.id, s.p) {
					return
				}
			}
		}
	}
}

// within says whether a point other than that of the id is nearer than d.
func (c *crowd) within(p shape.Pt, d float64, id int) bool {
	found := false
	c.near(p, d, func(k int, _ shape.Pt) bool {
		found = found || k != id
		return found
	})
	return found
}
