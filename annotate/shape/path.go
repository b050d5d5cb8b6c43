package shape

import "math"

// Op is what a segment of a path does.
type Op uint8

// The operations of a path.
const (
	Move  Op = iota // start a new ring at P[0]
	Line            // straight to P[0]
	Cubic           // cubic Bezier with controls P[0], P[1] to P[2]
	Close           // straight back to the ring's start
)

// Seg is one segment of a path; Op says which of P are used.
type Seg struct {
	Op Op
	P  [3]Pt
}

// Path is one or more rings (or, for strokes, open lines) of straight lines
// and cubic curves. The zero value is an empty path ready to be built.
type Path struct{ Segs []Seg }

// MoveTo starts a new ring at p.
func (a *Path) MoveTo(p Pt) { a.Segs = append(a.Segs, Seg{Op: Move, P: [3]Pt{p}}) }

// LineTo draws a straight line to p.
func (a *Path) LineTo(p Pt) { a.Segs = append(a.Segs, Seg{Op: Line, P: [3]Pt{p}}) }

// CubicTo draws a cubic Bezier with the controls c1 and c2 to p.
func (a *Path) CubicTo(c1, c2, p Pt) {
	a.Segs = append(a.Segs, Seg{Op: Cubic, P: [3]Pt{c1, c2, p}})
}

// Close ends the ring with a line back to its start.
func (a *Path) Close() { a.Segs = append(a.Segs, Seg{Op: Close}) }

// Append adds the rings of b behind those of a.
func (a *Path) Append(b Path) { a.Segs = append(a.Segs, b.Segs...) }

// Curve is one piece of a path as a cubic Bezier from P[0] to P[3]; Straight
// says that it is a line, its controls then being at the thirds.
type Curve struct {
	P        [4]Pt
	Straight bool
}

// At is the point at the parameter t, 0 at the start and 1 at the end.
func (c Curve) At(t float64) Pt {
	if c.Straight {
		return Lerp(c.P[0], c.P[3], t)
	}
	left, _ := c.Split(t)
	return left.P[3]
}

// Split cuts the curve at t by de Casteljau's construction.
func (c Curve) Split(t float64) (Curve, Curve) {
	p := c.P
	a, b, d := Lerp(p[0], p[1], t), Lerp(p[1], p[2], t), Lerp(p[2], p[3], t)
	e, f := Lerp(a, b, t), Lerp(b, d, t)
	m := Lerp(e, f, t)
	return Curve{P: [4]Pt{p[0], a, e, m}, Straight: c.Straight},
		Curve{P: [4]Pt{m, f, d, p[3]}, Straight: c.Straight}
}

// Reversed is the same curve run from its end to its start.
func (c Curve) Reversed() Curve {
	return Curve{P: [4]Pt{c.P[3], c.P[2], c.P[1], c.P[0]}, Straight: c.Straight}
}

// LineCurve is the straight piece from p to q.
func LineCurve(p, q Pt) Curve {
	return Curve{P: [4]Pt{p, Lerp(p, q, 1.0/3), Lerp(p, q, 2.0/3), q}, Straight: true}
}

// Rings are the pieces of each ring, in order. With closed set, a ring that
// was left open is closed by a straight piece, as filling does; without it an
// open line stays open. Rings without any piece are left out.
func (a Path) Rings(closed bool) [][]Curve {
	var rings [][]Curve
	var ring []Curve
	var start, at Pt
	end := func(shut bool) {
		if shut && len(ring) > 0 && at != start {
			ring = append(ring, LineCurve(at, start))
		}
		if len(ring) > 0 {
			rings = append(rings, ring)
		}
		ring, at = nil, start
	}
	for _, s := range a.Segs {
		switch s.Op {
		case Move:
			end(closed)
			start, at = s.P[0], s.P[0]
		case Line:
			if s.P[0] != at {
				ring = append(ring, LineCurve(at, s.P[0]))
			}
			at = s.P[0]
		case Cubic:
			ring = append(ring, Curve{P: [4]Pt{at, s.P[0], s.P[1], s.P[2]}})
			at = s.P[2]
		case Close:
			end(true)
		}
	}
	end(closed)
	return rings
}

// FromCurves is the path of one ring made of the pieces in order; each must
// start where the one before it ends. With shut set the ring is closed.
func FromCurves(ring []Curve, shut bool) Path {
	var a Path
	for i, c := range ring {
		if i == 0 {
			a.MoveTo(c.P[0])
		}
		if c.Straight {
			a.LineTo(c.P[3])
		} else {
			a.CubicTo(c.P[1], c.P[2], c.P[3])
		}
	}
	if shut && len(ring) > 0 {
		a.Close()
	}
	return a
}

// Flatten is the path as closed rings of points that stay within tol of the
// curves. The first point of a ring is not repeated at its end.
func (a Path) Flatten(tol float64) [][]Pt {
	var out [][]Pt
	for _, ring := range a.Rings(true) {
		line := flattenRing(ring, tol)
		if n := len(line); n > 1 && line[0] == line[n-1] {
			line = line[:n-1]
		}
		out = append(out, line)
	}
	return out
}

// FlattenOpen is the path as lines of points that stay within tol of the
// curves, for stroking: a closed ring repeats its first point at its end.
func (a Path) FlattenOpen(tol float64) [][]Pt {
	var out [][]Pt
	for _, ring := range a.Rings(false) {
		out = append(out, flattenRing(ring, tol))
	}
	return out
}

func flattenRing(ring []Curve, tol float64) []Pt {
	line := []Pt{ring[0].P[0]}
	for _, c := range ring {
		line = c.flatten(tol, line)
	}
	return line
}

// flatten appends the points of the curve after its first. The number of
// steps n comes from the bound |B - chord| <= max|second difference| * 3/4 /
// n^2 for a cubic cut into n equal steps of t (from |B”|/8 with B” at most
// six times the largest second difference of the controls).
func (c Curve) flatten(tol float64, line []Pt) []Pt {
	if c.Straight {
		return append(line, c.P[3])
	}
	if !(tol > 0) {
		tol = 1e-3
	}
	d1 := Add(Sub(c.P[0], Mul(c.P[1], 2)), c.P[2])
	d2 := Add(Sub(c.P[1], Mul(c.P[2], 2)), c.P[3])
	worst := math.Max(math.Hypot(d1.X, d1.Y), math.Hypot(d2.X, d2.Y))
	n := int(math.Ceil(math.Sqrt(0.75 * worst / tol)))
	n = max(1, min(n, 4096))
	for i := 1; i < n; i++ {
		line = append(line, c.At(float64(i)/float64(n)))
	}
	return append(line, c.P[3])
}
