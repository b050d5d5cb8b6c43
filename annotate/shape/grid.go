package shape

import (
	"math"
	"slices"
)

// Grid is a raster of W x H square cells with the side Cell; Origin is the
// outer corner of the cell in column 0 and row 0.
type Grid struct {
	Origin Pt
	Cell   float64
	W, H   int
}

// GridOver is the smallest grid of the cell size that covers the rectangle,
// its lines at whole multiples of the cell so that two grids of one size
// always fall on each other.
func GridOver(r Rect, cell float64) Grid {
	if r.Empty() || !(cell > 0) {
		return Grid{Cell: cell}
	}
	x0, y0 := math.Floor(r.Min.X/cell), math.Floor(r.Min.Y/cell)
	x1, y1 := math.Ceil(r.Max.X/cell), math.Ceil(r.Max.Y/cell)
	return Grid{Origin: Pt{X: x0 * cell, Y: y0 * cell}, Cell: cell, W: int(x1 - x0), H: int(y1 - y0)}
}

// Center is the middle of the cell in column x and row y.
func (g Grid) Center(x, y int) Pt {
	return Pt{X: g.Origin.X + (float64(x)+0.5)*g.Cell, Y: g.Origin.Y + (float64(y)+0.5)*g.Cell}
}

// CellAt is the column and row of the cell that holds p; false outside.
func (g Grid) CellAt(p Pt) (x, y int, ok bool) {
	fx, fy := math.Floor((p.X-g.Origin.X)/g.Cell), math.Floor((p.Y-g.Origin.Y)/g.Cell)
	if !(fx >= 0 && fy >= 0 && fx < float64(g.W) && fy < float64(g.H)) {
		return 0, 0, false
	}
	return int(fx), int(fy), true
}

// CellArea is the area of one cell.
func (g Grid) CellArea() float64 { return g.Cell * g.Cell }

// cut turns the span of X from a to b into the half-open range of columns
// whose centres c satisfy a <= c < b, clipped to the grid.
func (g Grid) cut(a, b float64) (int, int) {
	return g.column(a), g.column(b)
}

// column is the first column whose centre is at or right of x, clipped.
func (g Grid) column(x float64) int {
	return clampIndex(math.Ceil((x-g.Origin.X)/g.Cell-0.5), g.W)
}

// rows is the half-open range of rows whose centres lie in y0 <= c < y1.
func (g Grid) rows(y0, y1 float64) (int, int) {
	return clampIndex(math.Ceil((y0-g.Origin.Y)/g.Cell-0.5), g.H),
		clampIndex(math.Ceil((y1-g.Origin.Y)/g.Cell-0.5), g.H)
}

func clampIndex(f float64, n int) int {
	if !(f > 0) {
		return 0
	}
	if f >= float64(n) {
		return n
	}
	return int(f)
}

// FillPolygon visits the cells whose centres are inside the rings by the
// even-odd rule: in row y the columns x0 <= x < x1. Rows come in order, the
// spans of a row from left to right, and no cell comes twice. Points that are
// not finite make their edges count as absent.
func FillPolygon(g Grid, rings [][]Pt, visit func(y, x0, x1 int)) {
	// Counted first, so that all crossings lie in one piece of memory: the row
	// y's end at[y].
	at := make([]int32, g.H+1)
	eachEdge(rings, func(p, q Pt) {
		for y, last := g.rows(p.Y, q.Y); y < last; y++ {
			at[y+1]++
		}
	})
	for y := range g.H {
		at[y+1] += at[y]
	}
	all := make([]float64, at[g.H])
	next := slices.Clone(at[:g.H])
	eachEdge(rings, func(p, q Pt) {
		slope := (q.X - p.X) / (q.Y - p.Y)
		for y, last := g.rows(p.Y, q.Y); y < last; y++ {
			c := g.Origin.Y + (float64(y)+0.5)*g.Cell
			all[next[y]] = p.X + (c-p.Y)*slope
			next[y]++
		}
	})
	for y := range g.H {
		xs := all[at[y]:at[y+1]]
		slices.Sort(xs)
		for i := 0; i+1 < len(xs); i += 2 {
			if x0, x1 := g.cut(xs[i], xs[i+1]); x0 < x1 {
				visit(y, x0, x1)
			}
		}
	}
}

// eachEdge visits the edges that cross a row's centre line, downwards.
func eachEdge(rings [][]Pt, visit func(p, q Pt)) {
	for _, ring := range rings {
		for i, p := range ring {
			q := ring[(i+1)%len(ring)]
			if p.Y > q.Y {
				p, q = q, p
			}
			if p.Finite() && q.Finite() && p.Y != q.Y {
				visit(p, q)
			}
		}
	}
}
