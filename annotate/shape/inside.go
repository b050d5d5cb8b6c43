package shape

import (
	"math"
	"slices"
)

// Bounds is the smallest upright rectangle around the curves themselves, not
// around their control points.
func (a Path) Bounds() Rect {
	var pts []Pt
	for _, ring := range a.Rings(false) {
		for _, c := range ring {
			pts = append(pts, c.P[0], c.P[3])
			if c.Straight {
				continue
			}
			for _, t := range c.turns(func(p Pt) float64 { return p.X }) {
				pts = append(pts, c.At(t))
			}
			for _, t := range c.turns(func(p Pt) float64 { return p.Y }) {
				pts = append(pts, c.At(t))
			}
		}
	}
	return RectAround(pts...)
}

// turns are the parameters inside (0,1), ascending, where the coordinate has a
// turning point: the roots of the derivative's quadratic.
func (c Curve) turns(coord func(Pt) float64) []float64 {
	d0 := coord(c.P[1]) - coord(c.P[0])
	d1 := coord(c.P[2]) - coord(c.P[1])
	d2 := coord(c.P[3]) - coord(c.P[2])
	qa, qb, qc := d0-2*d1+d2, 2*(d1-d0), d0
	var roots []float64
	keep := func(t float64) {
		if t > 0 && t < 1 {
			roots = append(roots, t)
		}
	}
	if qa == 0 {
		if qb != 0 {
			keep(-qc / qb)
		}
		return roots
	}
	disc := qb*qb - 4*qa*qc
	if disc <= 0 {
		return nil
	}
	// The sum that does not cancel first, the other root from the product.
	q := -0.5 * (qb + math.Copysign(math.Sqrt(disc), qb))
	t1, t2 := q/qa, math.Inf(1)
	if q != 0 {
		t2 = qc / q
	}
	keep(math.Min(t1, t2))
	keep(math.Max(t1, t2))
	return roots
}

// Contains says whether p is inside the path by the even-odd rule, exactly on
// the curves rather than on a flattened copy. Of two paths that share an edge
// a point on that edge belongs to one only, as long as both give the edge the
// same coordinates.
func (a Path) Contains(p Pt) bool {
	inside := false
	for _, ring := range a.Rings(true) {
		for _, c := range ring {
			if c.crossedBy(p) {
				inside = !inside
			}
		}
	}
	return inside
}

// crossedBy says whether the ray from p towards +X crosses the curve an odd
// number of times.
func (c Curve) crossedBy(p Pt) bool {
	if c.Straight {
		return edgeCrossed(p, c.P[0], c.P[3])
	}
	minY := math.Min(math.Min(c.P[0].Y, c.P[1].Y), math.Min(c.P[2].Y, c.P[3].Y))
	maxY := math.Max(math.Max(c.P[0].Y, c.P[1].Y), math.Max(c.P[2].Y, c.P[3].Y))
	maxX := math.Max(math.Max(c.P[0].X, c.P[1].X), math.Max(c.P[2].X, c.P[3].X))
	if p.Y < minY || p.Y > maxY || p.X > maxX {
		return false
	}
	odd := false
	from, at := 0.0, c.P[0]
	for _, to := range append(c.turns(func(p Pt) float64 { return p.Y }), 1) {
		next := c.P[3]
		if to < 1 {
			next = c.At(to)
		}
		if (at.Y > p.Y) != (next.Y > p.Y) && c.xAtY(p.Y, from, to, at.Y < next.Y) > p.X {
			odd = !odd
		}
		from, at = to, next
	}
	return odd
}

// xAtY is the X where the curve passes the height y between two parameters
// that bracket it; rising says that Y grows from lo to hi. Bisection runs to
// the last bit: it is exact where Newton's step may leave the bracket.
func (c Curve) xAtY(y, lo, hi float64, rising bool) float64 {
	for range 60 {
		mid := 0.5 * (lo + hi)
		if mid <= lo || mid >= hi {
			break
		}
		if (c.At(mid).Y > y) == rising {
			hi = mid
		} else {
			lo = mid
		}
	}
	return c.At(0.5 * (lo + hi)).X
}

// edgeCrossed says whether the ray from p towards +X crosses the edge from q
// to r; an edge owns its upper end only, so that a vertex counts once.
func edgeCrossed(p, q, r Pt) bool {
	if (q.Y > p.Y) == (r.Y > p.Y) {
		return false
	}
	return q.X+(p.Y-q.Y)/(r.Y-q.Y)*(r.X-q.X) > p.X
}

// CrossingsAt are the places X, ascending, where the path's rings pass the
// height y; inside lies between the first and the second, the third and the
// fourth, and so on.
func (a Path) CrossingsAt(y float64) []float64 {
	var xs []float64
	for _, ring := range a.Rings(true) {
		for _, c := range ring {
			from, at := 0.0, c.P[0]
			var stops []float64
			if !c.Straight {
				stops = c.turns(func(p Pt) float64 { return p.Y })
			}
			for _, to := range append(stops, 1) {
				next := c.P[3]
				if to < 1 {
					next = c.At(to)
				}
				if (at.Y > y) != (next.Y > y) {
					xs = append(xs, c.xAtY(y, from, to, at.Y < next.Y))
				}
				from, at = to, next
			}
		}
	}
	slices.Sort(xs)
	return xs
}
