package render

import "math"

// backObjects: the plate and screws that hold the neck, the ferrules of the
// strings, and the lid of the cavity.
func (p *plan) backObjects() []*object {
	down := vec{0, 0, -1}
	f := newField(p.heelPlate, 0.6, 6)
	lo, hi := ringBox(p.heelPlate)
	plate := &marched{lo: vec{lo.X, lo.Y, -bodyThick - 1.81}, hi: vec{hi.X, hi.Y, -bodyThick + 0.1}, dist: func(q vec) float64 {
		return slab(f.at(q.X, q.Y), q.Z+bodyThick+0.8, 1, 0.6)
	}}
	out := []*object{{name: "heel plate", shape: plate, tint: rgb{0.4, 0.38, 0.34}, paint: coverPaint(7)}}
	for i := range 4 {
		x, y := lerp(lo.X+7, hi.X-7, float64(i%2)), lerp(lo.Y+7, hi.Y-7, float64(i/2))
		out = append(out, screw(vec{x, y, -bodyThick - 1.8}, down, 3.8, float64(i)*0.8+0.2))
	}
	for _, q := range p.ferrules {
		at := vec{q.X, q.Y, -bodyThick}
		out = append(out, &object{name: "ferrule", tint: rgb{0.35, 0.33, 0.3},
			shape: turned(at, down, []pt{{q.R, -0.2}, {q.R, 0.25}, {q.R - 0.4, 0.6}, {1.5, 0.6}, {1.3, 0.2}}), paint: func(s *spot) surface {
				if hypot(s.p.X-at.X, s.p.Y-at.Y) < 1.45 {
					return matt(rgb{0.012, 0.012, 0.012})
				}
				return nickel(0.06)
			}})
	}
	return append(out, p.lid()...)
}

// lid covers the cavity; four screws hold it.
func (p *plan) lid() []*object {
	var out []*object
	down := vec{0, 0, -1}
	f := newField(p.cover, 0.8, 6)
	lo, hi := ringBox(p.cover)
	lid := &marched{lo: vec{lo.X, lo.Y, -bodyThick - 1.61}, hi: vec{hi.X, hi.Y, -bodyThick + 0.1}, dist: func(q vec) float64 {
		return slab(f.at(q.X, q.Y)+0.2, q.Z+bodyThick+0.7, 0.9, 0.25)
	}}
	out = append(out, &object{name: "lid", shape: lid, tint: rgb{0.03, 0.03, 0.03}, paint: func(s *spot) surface {
		g := plastic(hex(0x1f1c1a), 0.05)
		g.albedo = g.albedo.mul(1 + 0.4*noise2(s.p.X*1.2, s.p.Y*1.2, 131))
		g.n = tilt(s.n, s.p, func(q vec) float64 { return 0.006 * noise2(q.X*0.07, q.Y*0.07, 132) })
		return g
	}})
	for i, q := range inset(p.cover, f, 5, 84) {
		out = append(out, screw(vec{q.X, q.Y, -bodyThick - 1.6}, down, 2.1, float64(i)*2.1))
	}
	return out
}

// edgeObjects sit on or through the body's edge: strap buttons, the jack, and
// the switch on the face.
func (p *plan) edgeObjects(body *field) []*object {
	var out []*object
	metal := func(name string, m shape, haze float64) {
		out = append(out, &object{name: name, shape: m, tint: rgb{0.35, 0.33, 0.3}, paint: func(s *spot) surface { return nickel(haze) }})
	}
	button := []pt{{X: 7.2, Y: -0.4}, {X: 7.2, Y: 1}, {X: 4, Y: 2.4}, {X: 3.4, Y: 5}, {X: 3.7, Y: 7.5}, {X: 7.6, Y: 9.8}, {X: 7.6, Y: 10.8}, {X: 6.2, Y: 11.7}, {X: 3.4, Y: 11.9}}
	for _, q := range []pt{hornTip(p.body), endOf(p.body)} {
		gx, gy := body.slope(q.X, q.Y)
		axis := vec{gx, gy, 0}.unit()
		at := vec{q.X, q.Y, -bodyThick / 2}
		metal("strap button", turned(at, axis, button), 0.06)
		out = append(out, screw(at.add(axis.mul(11.8)), axis, 3, 0.4))
	}
	if p.toggle.R > 0 {
		t := vec{p.toggle.X, p.toggle.Y, 0}
		metal("switch nut", turned(t, vec{0, 0, 1}, []pt{{X: p.toggle.R, Y: -0.2}, {X: p.toggle.R, Y: 0.7}, {X: 5.9, Y: 1}, {X: 5.7, Y: 2.9}, {X: 5, Y: 3.4}, {X: 3.2, Y: 3.6}, {X: 3.0, Y: 2.6}}), 0.06)
		tip := t.add(vec{1.6, -5.5, 14})
		metal("switch arm", &capsule{t, tip, 1.35}, 0.06)
		knob := turned(tip, tip.sub(t).unit(), []pt{{X: 1.5, Y: -5.5}, {X: 2.5, Y: -3}, {X: 3.1, Y: 0}, {X: 2.9, Y: 1.6}, {X: 1.9, Y: 2.8}, {X: 0.8, Y: 3.2}})
		out = append(out, &object{name: "switch tip", shape: knob, tint: rgb{0.6, 0.54, 0.4}, paint: func(*spot) surface { return plastic(hex(0xe0cf9f), 0.04) }})
	}
	return append(out, p.jack(body)...)
}

// hornTip and endOf are where a strap is hung.
func hornTip(ring []pt) pt {
	best := ring[0]
	for _, q := range ring {
		if q.X < -60 && q.Y-0.35*q.X < best.Y-0.35*best.X || best.X > -60 {
			best = q
		}
	}
	return best
}

func endOf(ring []pt) pt {
	best := ring[0]
	for _, q := range ring {
		if q.Y > 300 && math.Abs(q.X) < math.Abs(best.X) && q.Y > best.Y-40 || best.Y < 600 {
			best = q
		}
	}
	return best
}

// jack is an oval plate on the treble edge with a socket in it.
func (p *plan) jack(body *field) []*object {
	const jackY = 690 // as on the outline's treble side
	x := 100.0
	for range 80 {
		x -= body.at(x, jackY) * 0.7
	}
	gx, gy := body.slope(x, jackY)
	n := vec{gx, gy, 0}.unit()
	t := vec{-gy, gx, 0}.unit()
	at := vec{x, jackY, -bodyThick / 2}
	plate := &marched{dist: func(q vec) float64 {
		v := q.sub(at)
		a, b := math.Abs(v.dot(t)), math.Abs(v.Z)
		d := hypot(max(a-21+11, 0), max(b-12+11, 0)) - 11
		hole := 5.2 - hypot(v.dot(t), v.Z)
		return max(slab(d, v.dot(n)-0.2, 1.3, 0.5), hole)
	}}
	plate.lo, plate.hi = at.sub(vec{23, 23, 13}), at.add(vec{23, 23, 13})
	out := []*object{{name: "jack plate", shape: plate, tint: rgb{0.4, 0.38, 0.34}, paint: coverPaint(9)}}
	nut := turned(at, n, []pt{{X: 6.6, Y: 0.5}, {X: 6.6, Y: 3.2}, {X: 6, Y: 3.7}, {X: 4, Y: 3.7}, {X: 3.4, Y: 3.2}, {X: 3.3, Y: 0.6}})
	out = append(out, &object{name: "jack nut", shape: nut, tint: rgb{0.3, 0.3, 0.28}, paint: func(s *spot) surface {
		if v := s.p.sub(at); hypot(v.dot(t), v.Z) < 3.5 {
			return matt(rgb{0.01, 0.01, 0.01})
		}
		return nickel(0.08)
	}})
	for _, k := range []float64{-1, 1} {
		out = append(out, screw(at.add(t.mul(15.5*k)).add(n.mul(1.45)), n, 2.2, k))
	}
	return out
}
