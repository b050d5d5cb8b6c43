package render

import "math"

// guardObjects is the plate of mottled celluloid: three layers whose bevelled
// edge shows the white one between.
func (p *plan) guardObjects() []*object {
	if len(p.guard) == 0 {
		return nil
	}
	f := newField(p.guard, 0.6, 6)
	m := &marched{dist: func(q vec) float64 {
		d := f.at(q.X, q.Y) + max(0, q.Z-0.3)*0.62 // bevelled
		return slab(d, q.Z-guardThick/2, guardThick/2, 0.12) * 0.84
	}}
	lo, hi := ringBox(p.guard)
	m.lo, m.hi = vec{lo.X - 1, lo.Y - 1, 0}, vec{hi.X + 1, hi.Y + 1, guardThick + 0.01}
	out := []*object{{name: "guard", shape: m, tint: rgb{0.12, 0.04, 0.02}, paint: func(s *spot) surface {
		in := f.at(s.p.X, s.p.Y)
		if s.n.Z < 0.97 || in > -1.2 {
			c := hex(0xe8dfc9)
			if s.p.Z < 0.7 {
				c = hex(0x1c1512)
			}
			if s.p.Z > guardThick-0.45 {
				c = shellColour(s.p)
			}
			return plastic(c, 0.09)
		}
		g := surface{albedo: shellColour(s.p), coat: 1}
		if !s.rough {
			g.n = tilt(s.n, s.p, func(q vec) float64 { return 0.012 * noise2(q.X*0.045, q.Y*0.045, 64) })
		}
		return g
	}}}
	for i, at := range inset(p.guard, f, 4.6, 62) {
		out = append(out, screw(vec{at.X, at.Y, guardThick}, vec{0, 0, 1}, 2.1, float64(i)*1.7))
	}
	return out
}

// shellColour is imitation tortoiseshell: dark clouds in clear amber and red.
func shellColour(p vec) rgb {
	a := layers(vec{p.X * 0.035, p.Y * 0.035, 2}, 3, 65)
	b := layers(vec{p.X*0.045 + a*1.2, p.Y*0.045 - a*1.2, 9}, 4, 66)
	c := mix(hex(0x8a3416), hex(0x5a1a0e), smooth(-0.25, 0.15, a))
	c = mix(c, hex(0xa85a20), 0.6*smooth(0.05, 0.4, a-b))
	return mix(c, hex(0x170b09), 0.96*smooth(-0.16, 0.1, b))
}

// inset spaces points evenly along a ring, moved d mm inwards, about every mm.
func inset(ring []pt, f *field, d, every float64) []pt {
	total := 0.0
	for i, a := range ring {
		b := ring[(i+1)%len(ring)]
		total += hypot(b.X-a.X, b.Y-a.Y)
	}
	n := max(3, math.Round(total/every))
	var out []pt
	walked := 0.0
	for i, a := range ring {
		b := ring[(i+1)%len(ring)]
		l := hypot(b.X-a.X, b.Y-a.Y)
		for want := (float64(len(out)) + 0.4) * total / n; want < walked+l && len(out) < int(n); want = (float64(len(out)) + 0.4) * total / n {
			t := (want - walked) / l
			q := pt{X: lerp(a.X, b.X, t), Y: lerp(a.Y, b.Y, t)}
			for range 12 {
				gx, gy := f.slope(q.X, q.Y)
				k := f.at(q.X, q.Y) + d
				q.X, q.Y = q.X-gx*k*0.7, q.Y-gy*k*0.7
			}
			out = append(out, q)
		}
		walked += l
	}
	return out
}

// rodCoverObjects is the small black lid over the truss rod's nut.
func (p *plan) rodCoverObjects() []*object {
	f := newField(p.rodCover, 0.4, 4)
	lo, hi := ringBox(p.rodCover)
	m := &marched{lo: vec{lo.X, lo.Y, headTop - 0.1}, hi: vec{hi.X, hi.Y, headTop + 1.7}, dist: func(q vec) float64 {
		return slab(f.at(q.X, q.Y)+max(0, q.Z-headTop)*0.3, q.Z-headTop-0.8, 0.85, 0.2) * 0.95
	}}
	out := []*object{{name: "rod cover", shape: m, tint: rgb{0.03, 0.03, 0.03}, paint: func(s *spot) surface {
		if f.at(s.p.X, s.p.Y) > -0.75 && s.p.Z < headTop+1.3 {
			return plastic(hex(0xd9cfb8), 0.08)
		}
		return plastic(hex(0x191614), 0.03)
	}}}
	for i, y := range []float64{lo.Y + 5.5, hi.Y - 4} {
		out = append(out, screw(vec{(lo.X + hi.X) / 2, y, headTop + 1.6}, vec{0, 0, 1}, 1.5, float64(i)))
	}
	return out
}
