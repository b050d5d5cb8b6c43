package trace

import (
	"math"

	"wornwood/annotate/shape"
)

// cubic is a cubic Bezier curve's four controls.
type cubic [4]shape.Pt

func (c *cubic) at(t float64) shape.Pt {
	u := 1 - t
	a, b, d, e := u*u*u, 3*u*u*t, 3*u*t*t, t*t*t
	return shape.Pt{
		X: a*c[0].X + b*c[1].X + d*c[2].X + e*c[3].X,
		Y: a*c[0].Y + b*c[1].Y + d*c[2].Y + e*c[3].Y,
	}
}

// slopes are the first and second derivatives.
func (c *cubic) slopes(t float64) (d1, d2 shape.Pt) {
	p, q, r := shape.Sub(c[1], c[0]), shape.Sub(c[2], c[1]), shape.Sub(c[3], c[2])
	u := 1 - t
	d1 = shape.Mul(shape.Add(shape.Add(shape.Mul(p, u*u), shape.Mul(q, 2*u*t)), shape.Mul(r, t*t)), 3)
	d2 = shape.Mul(shape.Add(shape.Mul(shape.Sub(q, p), u), shape.Mul(shape.Sub(r, q), t)), 6)
	return d1, d2
}

// Rounds of Newton's method on the parameters, at most, and by how much the error
// must still be above the tolerance for them to be worth it.
const (
	fitTurns = 12
	hopeless = 16
)

// fit is the cubic from sample a to sample b > a (counted round the ring) with
// the ring's own directions at its ends, how far the samples are from it at most, and
// the sample that is furthest.
func (f *fitter) fit(a, b int) (c cubic, off float64, at int) {
	n := len(f.pts)
	pts := make([]shape.Pt, b-a+1)
	for i := range pts {
		pts[i] = f.pts[(a+i)%n]
	}
	out, in := f.heading(a, 1), f.heading(b, -1)
	t := chordLengths(pts)
	for turn := range fitTurns {
		c = leastSquares(pts, t, out, in)
		was := off
		off, at = furthest(&c, pts, t)
		if off <= f.tol || off > hopeless*f.tol || turn > 3 && off > 0.98*was {
			break
		}
		for i, p := range pts {
			t[i] = nearer(&c, p, t[i])
		}
	}
	if at == 0 || at == len(pts)-1 {
		at = len(pts) / 2
	}
	return c, off, a + at
}

// heading is the direction of the curve away from sample i, forward along the ring
// for sign 1 and back for -1. Away from a corner the ring itself shows it;
// elsewhere it is the same line both ways.
func (f *fitter) heading(i, sign int) shape.Pt {
	n := len(f.pts)
	at := func(k int) shape.Pt { return f.pts[((i+k)%n+n)%n] }
	// The slope of the line through the samples on both sides, on one at a corner,
	// and no further than to the next corner.
	reach := f.arm
	if f.corner[i%n] {
		for k := 2; k < reach; k++ {
			if f.corner[((i+sign*k)%n+n)%n] {
				reach = k
			}
		}
	} else {
		for k := 1; k < reach; k++ {
			if f.corner[((i+k)%n+n)%n] || f.corner[((i-k)%n+n)%n] {
				reach = k
			}
		}
	}
	var d shape.Pt
	for k := 1; k <= reach; k++ {
		if f.corner[i%n] {
			d = shape.Add(d, shape.Mul(shape.Sub(at(sign*k), at(0)), float64(k)))
		} else {
			d = shape.Add(d, shape.Mul(shape.Sub(at(k), at(-k)), float64(sign*k)))
		}
	}
	l := math.Hypot(d.X, d.Y)
	if l == 0 {
		return shape.Pt{X: float64(sign)}
	}
	return shape.Mul(d, 1/l)
}

func chordLengths(pts []shape.Pt) []float64 {
	t := make([]float64, len(pts))
	for i := 1; i < len(pts); i++ {
		t[i] = t[i-1] + shape.Dist(pts[i-1], pts[i])
	}
	total := t[len(t)-1]
	for i := range t {
		if total > 0 {
			t[i] /= total
		} else {
			t[i] = float64(i) / float64(len(t)-1)
		}
	}
	return t
}

// leastSquares is the cubic whose handles, along the unit vectors out and in,
// have the lengths that bring it nearest to the points at the parameters. Where
// the system gives no sound lengths they are a third of the chord's (Wu and Barsky).
func leastSquares(pts []shape.Pt, t []float64, out, in shape.Pt) cubic {
	first, last := pts[0], pts[len(pts)-1]
	var c00, c01, c11, x0, x1 float64
	for i, p := range pts {
		u, v := 1-t[i], t[i]
		b0, b1, b2, b3 := u*u*u, 3*u*u*v, 3*u*v*v, v*v*v
		a, b := shape.Mul(out, b1), shape.Mul(in, b2)
		d := shape.Sub(p, shape.Add(shape.Mul(first, b0+b1), shape.Mul(last, b2+b3)))
		c00 += shape.Dot(a, a)
		c01 += shape.Dot(a, b)
		c11 += shape.Dot(b, b)
		x0 += shape.Dot(a, d)
		x1 += shape.Dot(b, d)
	}
	chord := shape.Dist(first, last)
	det := c00*c11 - c01*c01
	l0, l1 := chord/3, chord/3
	if det > 1e-12*c00*c11 {
		a, b := (x0*c11-x1*c01)/det, (c00*x1-c01*x0)/det
		if least := 1e-3 * chord; a > least && b > least && a < 4*chord && b < 4*chord {
			l0, l1 = a, b
		}
	}
	return cubic{first, shape.Add(first, shape.Mul(out, l0)), shape.Add(last, shape.Mul(in, l1)), last}
}

func furthest(c *cubic, pts []shape.Pt, t []float64) (off float64, at int) {
	for i, p := range pts {
		if d := shape.Dist(p, c.at(t[i])); d > off {
			off, at = d, i
		}
	}
	return off, at
}

// nearer is one step of Newton's method towards the parameter whose point is nearest
// to p.
func nearer(c *cubic, p shape.Pt, t float64) float64 {
	d := shape.Sub(c.at(t), p)
	d1, d2 := c.slopes(t)
	slope := shape.Dot(d1, d1) + shape.Dot(d, d2)
	if slope <= 0 {
		return t
	}
	return math.Max(0, math.Min(1, t-shape.Dot(d, d1)/slope))
}
