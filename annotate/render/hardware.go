package render

import "math"

// screw is a domed head of radius r with a cross slot, lying on the plane
// through at that faces axis.
func screw(at, axis vec, r, angle float64) *object {
	m := turned(at, axis, []pt{{X: r, Y: -0.3}, {X: r, Y: 0.15}, {X: r * 0.9, Y: r * 0.24}, {X: r * 0.6, Y: r * 0.37}, {X: r * 0.25, Y: r * 0.42}})
	u, v := basis(axis)
	c, s := math.Cos(angle), math.Sin(angle)
	a, b := u.mul(c).add(v.mul(s)), v.mul(c).sub(u.mul(s))
	round := m.dist
	m.dist = func(p vec) float64 {
		q := p.sub(at)
		x, y := math.Abs(q.dot(a)), math.Abs(q.dot(b))
		w, l := r*0.13, r*0.62
		slot := min(max(x-w, y-l), max(y-w, x-l))
		return max(round(p), -max(slot, r*0.08-q.dot(axis)))
	}
	return &object{name: "screw", shape: m, tint: rgb{0.25, 0.24, 0.22}, paint: func(s *spot) surface {
		f := nickel(0.1)
		q := s.p.sub(at)
		x, y := math.Abs(q.dot(a)), math.Abs(q.dot(b))
		w, l := r*0.15, r*0.64
		if q.dot(axis) < r*0.3 && min(max(x-w, y-l), max(y-w, x-l)) < 0 {
			return surface{albedo: rgb{0.03, 0.027, 0.024}}
		}
		f.metal = f.metal.mul(0.9 + 0.1*noise3(s.p.X*2, s.p.Y*2, s.p.Z*2, 31))
		return f
	}}
}

// pickupObjects are cream covers with rounded ends, a row of adjusting screws
// and one screw at each end.
func (p *plan) pickupObjects() []*object {
	var out []*object
	up := vec{0, 0, 1}
	for k, ring := range p.pickups {
		lo, hi := ringBox(ring)
		c := pt{(lo.X + hi.X) / 2, (lo.Y + hi.Y) / 2}
		f := newField(ring, 0.6, 4)
		top := 7.4 + 1.6*float64(k)
		m := &marched{lo: vec{lo.X, lo.Y, -1}, hi: vec{hi.X, hi.Y, top + 0.01}, dist: func(q vec) float64 {
			return slab(f.at(q.X, q.Y)+max(0, q.Z)*0.05, q.Z-top/2+1, top/2+1, 2.2) * 0.99
		}}
		out = append(out, &object{name: "pickup", shape: m, tint: rgb{0.6, 0.52, 0.36}, paint: creamPaint(uint64(k))})
		for _, l := range p.runs() {
			t := (c.Y - l.nut.Y) / (l.saddle.Y - l.nut.Y)
			out = append(out, screw(vec{lerp(l.nut.X, l.saddle.X, t), c.Y, top - 0.1}, up, 2.4, float64(l.n)*1.3+float64(k)))
		}
		for _, side := range []float64{-1, 1} {
			out = append(out, screw(vec{c.X + side*((hi.X-lo.X)/2-5), c.Y, top - 0.45}, up, 1.7, side+0.3))
		}
	}
	return out
}

// creamPaint is moulded plastic that has yellowed and holds some grime.
func creamPaint(seed uint64) func(*spot) surface {
	return func(s *spot) surface {
		t := layers(vec{s.p.X * 0.05, s.p.Y * 0.05, s.p.Z*0.05 + float64(seed)*5}, 3, 51)
		c := mix(hex(0xe6d7ad), hex(0xd2bb83), smooth(-0.3, 0.4, t))
		c = mix(c, hex(0x9c8250), 0.35*smooth(3, 0.4, s.p.Z))
		f := plastic(c, 0.045)
		if !s.rough {
			f.n = tilt(s.n, s.p, func(q vec) float64 { return 0.008 * noise3(q.X*0.12, q.Y*0.12, q.Z*0.12, 52+seed) })
			f.haze += 0.06 * smooth(0.2, 0.8, noise2(s.p.X*0.5, s.p.Y*0.5, 56))
		}
		return f
	}
}

// coverPaint is nickel plate that has gone slightly cloudy, with hair
// scratches from the player's hand.
func coverPaint(seed uint64) func(*spot) surface {
	return func(s *spot) surface {
		cloud := layers(vec{s.p.X * 0.07, s.p.Y * 0.07, float64(seed) * 9}, 3, 53)
		f := nickel(0.03 + 0.03*smooth(-0.2, 0.6, cloud))
		f.metal = f.metal.mul(0.9 + 0.1*noise2(s.p.X*0.2, s.p.Y*0.2, 54+seed))
		if !s.rough {
			hair := noise2(s.p.X*9+s.p.Y*2.2, s.p.Y*0.3-s.p.X*0.06, 55+seed)
			f.n = s.n.add(vec{0.012 * smooth(0.55, 0.95, hair), 0.004 * hair, 0})
			f.n = tilt(f.n.unit(), s.p, func(q vec) float64 { return 0.006 * noise2(q.X*0.11, q.Y*0.11, 57+seed) })
		}
		return f
	}
}

// knobs are turned from cream plastic, ribbed for the fingers.
func (p *plan) knobObjects() []*object {
	var out []*object
	for k, d := range p.knobs {
		r := d.R
		at := vec{d.X, d.Y, 0.4}
		m := turned(at, vec{0, 0, 1}, []pt{{X: r, Y: 0}, {X: r, Y: 1.6}, {X: r * 0.86, Y: 3.4}, {X: r * 0.78, Y: 11.5}, {X: r * 0.72, Y: 13.2}, {X: r * 0.62, Y: 13.9}, {X: r * 0.3, Y: 13.6}})
		round := m.dist
		m.dist = func(q vec) float64 {
			a := math.Atan2(q.Y-at.Y, q.X-at.X)
			z := q.Z - at.Z
			rib := 0.28 * (0.5 + 0.5*math.Cos(a*36)) * smooth(3.2, 4.5, z) * smooth(13.2, 11.8, z)
			return (round(q) + rib) * 0.7
		}
		mark := 2.2 + 0.9*float64(k)
		out = append(out, &object{name: "knob", shape: m, tint: rgb{0.6, 0.54, 0.4}, paint: func(s *spot) surface {
			c := hex(0xe3d3a8)
			a := math.Atan2(s.p.Y-at.Y, s.p.X-at.X)
			c = mix(c, hex(0xb79a62), 0.5*smooth(0.1, -0.6, math.Cos(a*36))*smooth(3, 5, s.p.Z)*smooth(13.5, 12, s.p.Z))
			if da := math.Remainder(a-mark, 2*math.Pi); math.Abs(da)*r < 0.7 && s.p.Z > 2 && s.p.Z < 4.5 {
				c = hex(0x4a3a26)
			}
			c = c.mul(0.95 + 0.05*noise3(s.p.X*0.5, s.p.Y*0.5, s.p.Z*0.5, 58))
			return plastic(c, 0.05)
		}})
	}
	return out
}
