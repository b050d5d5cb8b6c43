package markview

import (
	"math"

	"wornwood/annotate/draw"
	"wornwood/annotate/outline"
	"wornwood/annotate/shape"
)

// edgeFlat is how far, in millimetres, a flattened edge may stray from the
// drawn one; edgeCell is the side of a cell of the index.
const (
	edgeFlat = 0.05
	edgeCell = 8.0
)

// maxEdges is how many sides a controller keeps the edges of.
const maxEdges = 8

// edges are the edges that can be seen on one side of an outline, in cells, so
// that the nearest is found without looking at all of them.
type edges struct {
	min     shape.Pt
	w, h    int
	first   []int32 // per cell: index into in, plus one
	in      []link
	ends    [][2]shape.Pt // straight pieces
	corners []shape.Pt
}

// link is one piece or corner in a cell. A corner k is kept as -1-k.
type link struct{ what, next int32 }

// edgesOf flattens the side once.
func (c *Controller) edgesOf(sd *outline.SideDrawing) *edges {
	if e, ok := c.edges[sd]; ok {
		return e
	}
	if c.edges == nil || len(c.edges) >= maxEdges {
		c.edges = map[*outline.SideDrawing]*edges{}
	}
	e := newEdges(sd)
	c.edges[sd] = e
	return e
}

func newEdges(sd *outline.SideDrawing) *edges {
	b := sd.Bounds.Grow(2 * edgeCell)
	e := &edges{min: b.Min, w: int(b.Dx()/edgeCell) + 1, h: int(b.Dy()/edgeCell) + 1}
	e.first = make([]int32, e.w*e.h)
	lines, corners := draw.VisibleEdges(sd, edgeFlat)
	for _, l := range lines {
		for i := 1; i < len(l); i++ {
			e.addPiece(l[i-1], l[i])
		}
	}
	for _, p := range corners {
		e.corners = append(e.corners, p)
		e.link(e.column(p.X), e.row(p.Y), int32(-len(e.corners)))
	}
	return e
}

func (e *edges) column(x float64) int { return max(0, min(e.w-1, int((x-e.min.X)/edgeCell))) }
func (e *edges) row(y float64) int    { return max(0, min(e.h-1, int((y-e.min.Y)/edgeCell))) }

func (e *edges) link(x, y int, what int32) {
	k := y*e.w + x
	e.in = append(e.in, link{what, e.first[k]})
	e.first[k] = int32(len(e.in))
}

// addPiece puts the piece into every cell of its box; pieces are short.
func (e *edges) addPiece(a, b shape.Pt) {
	e.ends = append(e.ends, [2]shape.Pt{a, b})
	k := int32(len(e.ends) - 1)
	x0, x1 := e.column(math.Min(a.X, b.X)), e.column(math.Max(a.X, b.X))
	y0, y1 := e.row(math.Min(a.Y, b.Y)), e.row(math.Max(a.Y, b.Y))
	for y := y0; y <= y1; y++ {
		for x := x0; x <= x1; x++ {
			e.link(x, y, k)
		}
	}
}

// near is the corner, else the place on an edge, nearest to p and no farther
// than reach.
func (e *edges) near(p shape.Pt, reach float64) (at shape.Pt, corner, ok bool) {
	edge, point := reach*reach, reach*reach
	var onEdge, onCorner shape.Pt
	foundEdge, foundCorner := false, false
	x0, x1 := e.column(p.X-reach), e.column(p.X+reach)
	for y, y1 := e.row(p.Y-reach), e.row(p.Y+reach); y <= y1; y++ {
		for x := x0; x <= x1; x++ {
			for k := e.first[y*e.w+x]; k > 0; k = e.in[k-1].next {
				what := e.in[k-1].what
				if what < 0 {
					if q := e.corners[-1-what]; square(p, q) <= point {
						point, onCorner, foundCorner = square(p, q), q, true
					}
					continue
				}
				if q := closest(p, e.ends[what]); square(p, q) <= edge {
					edge, onEdge, foundEdge = square(p, q), q, true
				}
			}
		}
	}
	if foundCorner {
		return onCorner, true, true
	}
	return onEdge, false, foundEdge
}

func square(p, q shape.Pt) float64 { return (p.X-q.X)*(p.X-q.X) + (p.Y-q.Y)*(p.Y-q.Y) }

// closest is the point of the straight piece that is nearest to p.
func closest(p shape.Pt, s [2]shape.Pt) shape.Pt {
	dx, dy := s[1].X-s[0].X, s[1].Y-s[0].Y
	n := dx*dx + dy*dy
	if n == 0 {
		return s[0]
	}
	t := math.Max(0, math.Min(1, ((p.X-s[0].X)*dx+(p.Y-s[0].Y)*dy)/n))
	return shape.Pt{X: s[0].X + t*dx, Y: s[0].Y + t*dy}
}
