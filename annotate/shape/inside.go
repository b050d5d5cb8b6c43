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
			for _, k := range []along{alongX, alongY} {
				roots, n := c.turns(k)
				for _, t := range roots[:n] {
					pts = append(pts, c.At(t))
				}
			}
		}
	}
	return RectAround(pts...)
}

// along names a coordinate of a point.
type along int

const (
	alongX along = iota
	alongY
)

func (k along) of(p Pt) float64 {
	if k == alongX {
		return p.X
	}
	return p.Y
}

// turns are the n parameters inside (0,1), ascending, where the coordinate has
// a turning point: the roots of the derivative's quadratic.
func (c *Curve) turns(k along) (roots [2]float64, n int) {
	d0 := k.of(c.P[1]) - k.of(c.P[0])
	d1 := k.of(c.P[2]) - k.of(c.P[1])
	d2 := k.of(c.P[3]) - k.of(c.P[2])
	qa, qb, qc := d0-2*d1+d2, 2*(d1-d0), d0
	var t [2]float64
	if qa == 0 {
		t[0], t[1] = -qc/qb, -1
	} else {
		disc := qb*qb - 4*qa*qc
		if disc <= 0 {
			return roots, 0
		}
		// The sum that does not cancel first, the other root from the product.
		q := -0.5 * (qb + math.Copysign(math.Sqrt(disc), qb))
		t[0], t[1] = q/qa, qc/q
		if t[1] < t[0] {
			t[0], t[1] = t[1], t[0]
		}
	}
	for _, v := range t {
		if v > 0 && v < 1 {
			roots[n] = v
			n++
		}
	}
	return roots, n
}

// Contains says whether p is inside the path by the even-odd rule, exactly on
// the curves rather than on a flattened copy. Of two paths that share an edge
// a point on that edge belongs to one only, as long as both give the edge the
// same coordinates.
func (a Path) Contains(p Pt) bool {
	inside := false
	a.eachCurve(func(c *Curve) {
		if c.crossedBy(p) {
			inside = !inside
		}
	})
	return inside
}

// eachCurve visits the pieces of all rings, each closed, without keeping them.
func (a Path) eachCurve(visit func(c *Curve)) {
	var start, at Pt
	var c Curve
	to := func(p Pt) {
		if p != at {
			c = Curve{P: [4]Pt{0: at, 3: p}, Straight: true}
			visit(&c)
		}
		at = p
	}
	for i := range a.Segs {
		switch s := &a.Segs[i]; s.Op {
		case Move:
			to(start)
			start, at = s.P[0], s.P[0]
		case Line:
			to(s.P[0])
		case Cubic:
			c = Curve{P: [4]Pt{at, s.P[0], s.P[1], s.P[2]}}
			visit(&c)
			at = s.P[2]
		case Close:
			to(start)
		}
	}
	to(start)
}

// crossedBy says whether the ray from p towards +X crosses the curve an odd
// number of times.
func (c *Curve) crossedBy(p Pt) bool {
	if c.Straight {
		return edgeCrossed(p, c.P[0], c.P[3])
	}
	if p.Y < min(c.P[0].Y, c.P[1].Y, c.P[2].Y, c.P[3].Y) || p.Y > max(c.P[0].Y, c.P[1].Y, c.P[2].Y, c.P[3].Y) ||
		p.X > max(c.P[0].X, c.P[1].X, c.P[2].X, c.P[3].X) {
		return false
	}
	odd := false
	left := p.X < min(c.P[0].X, c.P[1].X, c.P[2].X, c.P[3].X)
	c.passes(p.Y, func(lo, hi float64, rising bool) {
		if left || c.xAtY(p.Y, lo, hi, rising) > p.X {
			odd = !odd
		}
	})
	return odd
}

// passes visits each stretch of the parameter in which the curve passes the
// height y once; rising says that Y grows along it. A curve owns its upper
// ends only, so that a node counts once.
func (c *Curve) passes(y float64, visit func(lo, hi float64, rising bool)) {
	roots, n := c.turns(alongY)
	from, at := 0.0, c.P[0].Y
	for i := range n + 1 {
		to, next := 1.0, c.P[3].Y
		if i < n {
			to = roots[i]
			next = c.At(to).Y
		}
		if (at > y) != (next > y) {
			visit(from, to, at < next)
		}
		from, at = to, next
	}
}

// xAtY is the X where the curve passes the height y between two parameters
// that bracket it; rising says that Y grows from lo to hi. Bisection runs to
// the last bit: it is exact where Newton's step may leave the bracket.
func (c *Curve) xAtY(y, lo, hi float64, rising bool) float64 {
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
	a.eachCurve(func(c *Curve) {
		if c.Straight {
			if p, q := c.P[0], c.P[3]; (p.Y > y) != (q.Y > y) {
				xs = append(xs, p.X+(y-p.Y)/(q.Y-p.Y)*(q.X-p.X))
			}
			return
		}
		c.passes(y, func(lo, hi float64, rising bool) { xs = append(xs, c.xAtY(y, lo, hi, rising)) })
	})
	slices.Sort(xs)
	return xs
}
