package render

import "math"

// bridgeObjects: a brushed plate with a bent-up end, and six saddles that ride
// on two small screws each and are drawn back by a sprung one.
func (p *plan) bridgeObjects() []*object {
	lo, hi := ringBox(p.bridge)
	c := pt{X: (lo.X + hi.X) / 2, Y: (lo.Y + hi.Y) / 2}
	hx, hy := (hi.X-lo.X)/2, (hi.Y-lo.Y)/2
	lines := p.runs()
	plate := &marched{lo: vec{lo.X - 0.5, lo.Y - 0.5, 0}, hi: vec{hi.X + 0.5, hi.Y + 0.5, 12.5}, dist: func(q vec) float64 {
		base := roundBox(vec{q.X - c.X, q.Y - c.Y, q.Z - plateThick/2 + 1}, vec{hx, hy, plateThick/2 + 1}, 1)
		lip := roundBox(vec{q.X - c.X, q.Y - hi.Y + 1.1, q.Z - 5.5}, vec{hx, 1.1, 6.2}, 0.7)
		return blend(base, lip, 1.6)
	}}
	out := []*object{{name: "bridge", shape: plate, tint: rgb{0.4, 0.38, 0.35}, paint: func(s *spot) surface {
		for _, l := range lines {
			if r := hypot(s.p.X-l.in.X, s.p.Y-l.in.Y); r < 1.5 && s.p.Z < 4 {
				return matt(rgb{0.02, 0.018, 0.016})
			}
		}
		return brushedPlate(s)
	}}}
	for _, x := range []float64{-1, 1} {
		for i, y := range []float64{lo.Y + 5, hi.Y - 5} {
			out = append(out, screw(vec{c.X + x*(hx-5), y, plateThick}, vec{0, 0, 1}, 2.3, x+1.4*float64(i)))
		}
	}
	for _, l := range lines {
		out = append(out, saddle(l, hi.Y)...)
	}
	return out
}

// brushedPlate is nickel drawn over with abrasive along the strings' crossing,
// dulled in clouds, with a few deeper scratches.
func brushedPlate(s *spot) surface {
	f := nickel(0.16)
	f.brush = vec{1, 0, 0}
	streak := noise2(s.p.X*0.05, s.p.Y*7, 41) + 0.6*noise2(s.p.X*0.13, s.p.Y*17, 42)
	dull := layers(vec{s.p.X * 0.06, s.p.Y * 0.06, 4}, 3, 43)
	f.metal = f.metal.mul(0.80 + 0.12*streak - 0.16*smooth(0.05, 0.4, dull))
	f.n = s.n.add(vec{0, 0.035 * streak, 0}).unit()
	return f
}

// saddle is one string's rider.
func saddle(l run, back float64) []*object {
	topZ := l.saddle.Z - l.r
	c := vec{l.saddle.X, l.saddle.Y + 3.6, topZ - 3.4}
	body := &marched{dist: func(q vec) float64 {
		v := q.sub(c)
		d := roundBox(v, vec{4.95, 6.4, 3.4}, 0.8)
		// The front is rounded over where the string leaves it.
		d = max(d, hypot(min(v.Y+1.2, 0), max(v.Z+1.8, 0))-5.2)
		// Behind the crest it falls away.
		d = max(d, (v.Z-3.4+max(0, v.Y+2.2)*0.22)*0.95)
		groove := hypot(v.X, max(0, 3.4+l.r*0.6-v.Z)) - l.r - 0.12
		d = max(d, -groove)
		for _, x := range [2]float64{-3.3, 3.3} {
			hole := max(hypot(v.X-x, v.Y-2.6)-1.25, 1.2-v.Z)
			d = max(d, -hole)
		}
		return d * 0.95
	}}
	e := vec{5, 6.5, 3.5}
	body.lo, body.hi = c.sub(e), c.add(e)
	seed := uint64(l.n)
	out := []*object{{name: "saddle", shape: body, tint: rgb{0.35, 0.33, 0.3}, paint: func(s *spot) surface {
		v := s.p.sub(c)
		for _, x := range [2]float64{-3.3, 3.3} {
			if hypot(v.X-x, v.Y-2.6) < 1.3 && v.Z < 2.2 && s.n.Z < 0.7 {
				return surface{metal: rgb{0.15, 0.14, 0.13}, albedo: rgb{0.03, 0.03, 0.03}, haze: 0.3}
			}
		}
		f := nickel(0.055)
		cloud := noise3(s.p.X*0.4, s.p.Y*0.4, s.p.Z*0.4, 44+seed)
		f.haze += 0.012 * smooth(0, 0.8, cloud)
		f.metal = f.metal.mul(0.86 + 0.1*cloud)
		return f
	}}}
	for _, x := range [2]float64{-3.3, 3.3} {
		at := vec{c.X + x, c.Y + 2.6, 0}
		out = append(out, grub(at, topZ-1.5+0.25*noise2(x, float64(l.n)*3.3, 45)))
	}
	out = append(out, drawScrew(vec{c.X + 2.9, c.Y + 6, c.Z - 0.9}, back)...)
	return out
}

// grub is a headless screw with a six-sided socket, its end at height top.
func grub(at vec, top float64) *object {
	m := turned(vec{at.X, at.Y, 0}, vec{0, 0, 1}, []pt{{X: 1.15, Y: plateThick - 0.5}, {X: 1.15, Y: top - 0.2}, {X: 0.95, Y: top}})
	return &object{name: "grub screw", shape: m, tint: rgb{0.2, 0.2, 0.19}, paint: func(s *spot) surface {
		if hypot(s.p.X-at.X, s.p.Y-at.Y) < 0.6 && s.n.Z > 0.7 {
			return matt(rgb{0.015, 0.015, 0.015})
		}
		return surface{metal: rgb{0.5, 0.48, 0.45}, albedo: rgb{0.03, 0.03, 0.03}, haze: 0.18}
	}}
}

// drawScrew runs from the saddle through the plate's end, in a spring.
func drawScrew(from vec, back float64) []*object {
	to := vec{from.X, back, from.Z}
	paint := func(haze float64) func(*spot) surface {
		return func(s *spot) surface {
			f := surface{metal: rgb{0.6, 0.58, 0.54}, albedo: rgb{0.03, 0.03, 0.03}, haze: haze}
			return f
		}
	}
	const wire, coil = 0.27, 1.42
	end := back - 2.4
	pitch := 1.05
	spring := &marched{dist: func(q vec) float64 {
		x, z := q.X-from.X, q.Z-from.Z
		a := math.Atan2(z, x) / (2 * math.Pi)
		y := q.Y - from.Y
		k := math.Round(y/pitch - a)
		k = max(0, min(math.Floor((end-from.Y)/pitch-0.5), k))
		return (hypot(hypot(x, z)-coil, y-(k+a)*pitch) - wire) * 0.8
	}}
	e := vec{coil + wire, 0, coil + wire}
	spring.lo, spring.hi = from.sub(e), vec{to.X, end, to.Z}.add(e)
	return []*object{
		{name: "draw screw", shape: &capsule{from, vec{to.X, back - 0.5, to.Z}, 0.85}, tint: rgb{0.25, 0.24, 0.22}, paint: paint(0.12)},
		{name: "spring", shape: spring, tint: rgb{0.25, 0.24, 0.22}, paint: paint(0.1)},
		screw(to, vec{0, 1, 0}, 1.7, from.X),
	}
}
