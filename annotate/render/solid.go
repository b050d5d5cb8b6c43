package render

import "math"

// ray is a half-line; inv holds the reciprocals that box tests want.
type ray struct{ o, d, inv vec }

func newRay(o, d vec) ray {
	return ray{o, d, vec{1 / d.X, 1 / d.Y, 1 / d.Z}}
}

func (r *ray) at(t float64) vec { return r.o.add(r.d.mul(t)) }

// span is where the ray is inside a box.
func (r *ray) span(lo, hi vec, tmin, tmax float64) (float64, float64, bool) {
	for i := 0; i < 3; i++ {
		var o, inv, l, h float64
		switch i {
		case 0:
			o, inv, l, h = r.o.X, r.inv.X, lo.X, hi.X
		case 1:
			o, inv, l, h = r.o.Y, r.inv.Y, lo.Y, hi.Y
		default:
			o, inv, l, h = r.o.Z, r.inv.Z, lo.Z, hi.Z
		}
		a, b := (l-o)*inv, (h-o)*inv
		if a > b {
			a, b = b, a
		}
		if a > tmin {
			tmin = a
		}
		if b < tmax {
			tmax = b
		}
		if !(tmin <= tmax) {
			return 0, 0, false
		}
	}
	return tmin, tmax, true
}

// shape is something a ray can meet.
type shape interface {
	box() (lo, hi vec)
	hit(r *ray, tmin, tmax float64) (float64, bool)
	normal(p vec) vec
}

// marched is a shape given by its distance function, which must never say
// more than the true distance.
type marched struct {
	lo, hi vec
	dist   func(vec) float64
}

func (m *marched) box() (vec, vec) { return m.lo, m.hi }

func (m *marched) hit(r *ray, tmin, tmax float64) (float64, bool) {
	t, end, ok := r.span(m.lo, m.hi, tmin, tmax)
	if !ok {
		return 0, false
	}
	for i := 0; i < 140; i++ {
		d := m.dist(r.at(t))
		if d < 0.003 {
			return t, true
		}
		t += d
		if t > end {
			return 0, false
		}
	}
	return t, m.dist(r.at(t)) < 0.02
}

// normal takes the slope of the distance at the corners of a tetrahedron.
func (m *marched) normal(p vec) vec {
	const e = 0.02
	a := m.dist(vec{p.X + e, p.Y - e, p.Z - e})
	b := m.dist(vec{p.X - e, p.Y - e, p.Z + e})
	c := m.dist(vec{p.X - e, p.Y + e, p.Z - e})
	d := m.dist(vec{p.X + e, p.Y + e, p.Z + e})
	return vec{a - b - c + d, -a - b + c + d, -a + b - c + d}.unit()
}

// capsule is a round rod from a to b, met exactly: strings are too thin to
// march to.
type capsule struct {
	a, b vec
	r    float64
}

func (c *capsule) box() (vec, vec) {
	e := vec{c.r, c.r, c.r}
	return c.a.min(c.b).sub(e), c.a.max(c.b).add(e)
}

func (c *capsule) hit(r *ray, tmin, tmax float64) (float64, bool) {
	ba, oa := c.b.sub(c.a), r.o.sub(c.a)
	baba, bard, baoa := ba.dot(ba), ba.dot(r.d), ba.dot(oa)
	k := baba - bard*bard
	b := baba*r.d.dot(oa) - baoa*bard
	q := baba*oa.dot(oa) - baoa*baoa - c.r*c.r*baba
	h := b*b - k*q
	if h < 0 || k < 1e-12 {
		return 0, false
	}
	t := (-b - math.Sqrt(h)) / k
	y := baoa + t*bard
	if y > 0 && y < baba {
		return t, t > tmin && t < tmax
	}
	end := c.a
	if y >= baba {
		end = c.b
	}
	oc := r.o.sub(end)
	b = r.d.dot(oc)
	h = b*b - oc.dot(oc) + c.r*c.r
	if h < 0 {
		return 0, false
	}
	t = -b - math.Sqrt(h)
	return t, t > tmin && t < tmax
}

func (c *capsule) normal(p vec) vec {
	ba := c.b.sub(c.a)
	t := clamp(p.sub(c.a).dot(ba) / ba.dot(ba))
	return p.sub(c.a.add(ba.mul(t))).unit()
}

// plane is an endless flat surface through p.
type plane struct{ p, n vec }

func (f *plane) box() (vec, vec) {
	e := vec{1e4, 1e4, 1e4}
	t := vec{1, 1, 1}.sub(vec{math.Abs(f.n.X), math.Abs(f.n.Y), math.Abs(f.n.Z)})
	e = vec{e.X*t.X + 0.01, e.Y*t.Y + 0.01, e.Z*t.Z + 0.01}
	return f.p.sub(e), f.p.add(e)
}

func (f *plane) hit(r *ray, tmin, tmax float64) (float64, bool) {
	t := f.p.sub(r.o).dot(f.n) / r.d.dot(f.n)
	return t, t > tmin && t < tmax
}

func (f *plane) normal(vec) vec { return f.n }

// roundBox is the distance to a box about the origin with rounded edges.
func roundBox(p, half vec, r float64) float64 {
	q := vec{math.Abs(p.X) - half.X + r, math.Abs(p.Y) - half.Y + r, math.Abs(p.Z) - half.Z + r}
	return q.max(vec{}).len() + min(max(q.X, max(q.Y, q.Z)), 0) - r
}

// slab is the distance to a flat solid from the distance d to its outline and
// the height z over its middle, with edges rounded by r.
func slab(d, z, half, r float64) float64 {
	qx, qz := d+r, math.Abs(z)-half+r
	return hypot(max(qx, 0), max(qz, 0)) + min(max(qx, qz), 0) - r
}

// blend joins two distances with a fillet of about k mm.
func blend(a, b, k float64) float64 {
	h := max(k-math.Abs(a-b), 0) / k
	return min(a, b) - h*h*k/4
}

// turned is a solid of revolution about an axis: profile holds radius (X) and
// height (Y) and is closed along the axis by itself.
func turned(at, axis vec, profile []pt) *marched {
	u, v := basis(axis)
	ring := append([]pt{{0, profile[0].Y}}, profile...)
	ring = append(ring, pt{0, profile[len(profile)-1].Y})
	lo, hi := ringBox(ring)
	m := &marched{dist: func(p vec) float64 {
		q := p.sub(at)
		return ringDistance(ring, pt{hypot(q.dot(u), q.dot(v)), q.dot(axis)})
	}}
	a, b := at.add(axis.mul(lo.Y)), at.add(axis.mul(hi.Y))
	reach := func(c float64) float64 { return hi.X*math.Sqrt(max(0, 1-c*c)) + 0.05 }
	e := vec{reach(axis.X), reach(axis.Y), reach(axis.Z)}
	m.lo, m.hi = a.min(b).sub(e), a.max(b).add(e)
	return m
}
