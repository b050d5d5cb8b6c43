package render

import "math"

// world is everything in front of the camera.
type world struct {
	tree  *tree
	light light
}

// glance is what one sample of one pixel saw. The light on the surface (e) is
// kept apart from its colour, because it is smooth and can be cleaned of noise
// without touching grain, checks and scratches.
type glance struct {
	albedo, e, shine rgb
	n                vec
	obj              *object
}

func (w *world) cast(r *ray, tmin, tmax, spread float64, s *spot) bool {
	obj, t := w.tree.nearest(r, tmin, tmax, false)
	if obj == nil {
		return false
	}
	p := r.at(t)
	n := obj.shape.normal(p)
	if n.dot(r.d) > 0 {
		n = n.sub(r.d.mul(1.02 * n.dot(r.d))).unit()
	}
	*s = spot{obj: obj, t: t, p: p, n: n, d: r.d, foot: t * spread}
	return true
}

func (w *world) blocked(p, d vec, dist float64) bool {
	r := newRay(p, d)
	obj, _ := w.tree.nearest(&r, 1e-4, dist, true)
	return obj != nil
}

// look follows one ray from the eye. spread is the width of a pixel at a
// distance of one. Light that was sampled on the same object within the same
// pixel is in lit and is used again.
func (w *world) look(r *ray, spread float64, lit *glance, die *dice) glance {
	var s spot
	if !w.cast(r, 1, 1e5, spread, &s) {
		return glance{shine: w.light.room(r.d), n: vec{0, 0, 1}}
	}
	f := s.obj.paint(&s)
	if f.n == (vec{}) {
		f.n = s.n
	}
	g := glance{n: s.n, obj: s.obj}
	start := s.p.add(s.n.mul(0.03))
	if !f.isMetal() {
		if g.e = lit.e; lit.obj != s.obj || lit.n.dot(s.n) < 0.95 {
			g.e = w.lightOn(start, s.n, die)
		}
		g.albedo = f.albedo.mul((1 - f.dim) * w.relief(&s, f.n))
	}
	g.shine = w.mirror(&s, &f, start, die)
	if f.isMetal() && f.haze > 0.07 {
		// Dull metal spreads what it mirrors so evenly that it can be cleaned
		// of noise like light on any other surface.
		g.albedo = f.metal.mul(1 - f.dim)
		g.e = rgb{g.shine.R / g.albedo.R, g.shine.G / g.albedo.G, g.shine.B / g.albedo.B}
		g.shine = rgb{}
	}
	return g
}

// lightOn samples the light that falls on a surface at p facing n: a point of
// each soft box, and one direction of the room.
func (w *world) lightOn(p, n vec, die *dice) rgb {
	var sum rgb
	for _, l := range [2]*lamp{&w.light.key, &w.light.fill} {
		a, b := die.pair()
		dir, dist, e := l.from(p, n, a, b)
		if e.G > 0 && !w.blocked(p, dir, dist) {
			sum = sum.add(e)
		}
	}
	a, b := die.pair()
	b *= 2 * math.Pi
	u, v := basis(n)
	s := math.Sqrt(a)
	d := u.mul(s * math.Cos(b)).add(v.mul(s * math.Sin(b))).add(n.mul(math.Sqrt(1 - a)))
	r := newRay(p, d)
	if obj, _ := w.tree.nearest(&r, 1e-4, 1e5, false); obj != nil {
		return sum.add(obj.tint.mul(0.42))
	}
	return sum.add(w.light.room(d))
}

// relief is how much more or less light the fine relief catches than the
// shape without it.
func (w *world) relief(s *spot, n vec) float64 {
	if n == s.n {
		return 1
	}
	to := w.light.key.at.sub(s.p).unit()
	flat, bent := max(0, s.n.dot(to)), max(0, n.dot(to))
	return (0.3 + bent) / (0.3 + flat)
}

// mirror is the light a coat or metal reflects to the eye.
func (w *world) mirror(s *spot, f *surface, start vec, die *dice) rgb {
	if f.coat == 0 && !f.isMetal() {
		return rgb{}
	}
	facets := 1
	if f.isMetal() && f.haze > 0.02 {
		facets = 4
	}
	var sum rgb
	for range facets {
		n := jitter(f, die)
		d := s.d.reflect(n)
		if c := d.dot(s.n); c < 0.02 {
			d = d.add(s.n.mul(0.02 - c)).unit()
		}
		seen := w.radiance(start, d, 1)
		if f.isMetal() {
			seen = capped(seen)
		}
		m := 1 - clamp(-s.d.dot(n))
		edge := m * m * m * m * m
		if f.isMetal() {
			sum = sum.add(seen.by(f.metal.mul(1 - edge).add(rgb{edge, edge, edge})))
		} else {
			sum = sum.add(seen.mul(f.coat * (0.04 + 0.96*edge)))
		}
	}
	return sum.mul((1 - f.dim) / float64(facets))
}

// jitter picks one facet of a surface that is not quite smooth.
func jitter(f *surface, die *dice) vec {
	if f.haze == 0 {
		return f.n
	}
	r, a := f.haze*math.Sqrt(-math.Log(1-0.97*die.next())), die.next()*2*math.Pi
	u, v := basis(f.n)
	if f.brush != (vec{}) {
		v = f.n.cross(f.brush).unit()
		u = f.brush
		return f.n.add(v.mul(r * math.Cos(a) * 1.4)).add(u.mul(r * math.Sin(a) * 0.15)).unit()
	}
	return f.n.add(u.mul(r * math.Cos(a))).add(v.mul(r * math.Sin(a))).unit()
}

// radiance is a mirrored view: surfaces in it are shaded without shadows, and
// metal in it mirrors the room alone.
func (w *world) radiance(p, d vec, depth int) rgb {
	r := newRay(p, d)
	var s spot
	if !w.cast(&r, 1e-3, 1e5, 0.002, &s) {
		return w.light.seen(p, d)
	}
	s.rough = true
	f := s.obj.paint(&s)
	if f.isMetal() {
		m := d.reflect(s.n)
		start := s.p.add(s.n.mul(0.03))
		if depth > 0 {
			return w.radiance(start, m, depth-1).by(f.metal)
		}
		return w.light.room(m).by(f.metal)
	}
	_, _, e := w.light.key.from(s.p, s.n, 0.5, 0.5)
	near := smooth(0, 12, s.t) // close to the mirror it is dark
	return f.albedo.by(e.mul(0.75 * near).add(rgb{0.16, 0.16, 0.17}))
}
