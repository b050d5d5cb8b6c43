package render

import "math"

// tuners are closed machines: post and bush on the face, a case on the back,
// a button beyond the edge.
func (p *plan) tunerObjects(head *field) []*object {
	var out []*object
	metal := func(name string, m shape, haze float64) {
		out = append(out, &object{name: name, shape: m, tint: rgb{0.35, 0.33, 0.3}, paint: func(s *spot) surface {
			f := nickel(haze)
			f.metal = f.metal.mul(0.92 + 0.08*noise3(s.p.X*0.8, s.p.Y*0.8, s.p.Z*0.8, 33))
			return f
		}})
	}
	back := headTop - headThick
	for k, q := range p.posts {
		side := math.Copysign(1, q.X)
		at := vec{q.X, q.Y, headTop}
		metal("bush", turned(at, vec{0, 0, 1}, []pt{{X: 5.1, Y: 0}, {X: 5.1, Y: 0.7}, {X: 4.6, Y: 1.3}, {X: 3.6, Y: 1.8}, {X: 3.2, Y: 1.8}}), 0.05)
		metal("post", turned(at, vec{0, 0, 1}, []pt{{X: 2.9, Y: 0}, {X: 2.9, Y: 2.6}, {X: 2.45, Y: 3.6}, {X: 2.45, Y: 8.6}, {X: 2.9, Y: 9.4}, {X: 2.9, Y: 10.6}, {X: 2.3, Y: 11.2}}), 0.06)
		edge := edgeX(head, q.X, q.Y, side)
		metal("case", p.tunerCase(k, back), 0.05)
		lo, hi := ringBox(p.cases[k])
		mid := vec{(lo.X + hi.X) / 2, (lo.Y + hi.Y) / 2, back - 8.9}
		metal("cap", turned(mid, vec{0, 0, -1}, []pt{{X: 3.4, Y: -0.4}, {X: 3.4, Y: 0.3}, {X: 3, Y: 0.7}}), 0.08)
		out = append(out, screw(mid.add(vec{0, 0, -0.7}), vec{0, 0, -1}, 1.5, float64(k)*1.1))
		metal("shaft", &capsule{vec{q.X, q.Y, back - 5}, vec{edge + side*8, q.Y, back - 5}, 1.9}, 0.06)
		collar := turned(vec{edge - side*1.5, q.Y, back - 5}, vec{side, 0, 0}, []pt{{X: 3.4, Y: 0}, {X: 3.4, Y: 3}, {X: 2.6, Y: 4}})
		metal("collar", collar, 0.05)
		out = append(out, tunerButton(vec{edge + side*12.3, q.Y, back - 5}, side))
	}
	return out
}

// tunerCase is the closed housing on the headstock's back.
func (p *plan) tunerCase(k int, back float64) *marched {
	f := newField(p.cases[k], 0.5, 4)
	lo, hi := ringBox(p.cases[k])
	return &marched{lo: vec{lo.X, lo.Y, back - 9}, hi: vec{hi.X, hi.Y, back + 0.5}, dist: func(q vec) float64 {
		return slab(f.at(q.X, q.Y), q.Z-back+4.2, 4.7, 2.6)
	}}
}

// edgeX is where the headstock ends beside the post at x,y.
func edgeX(head *field, x, y, side float64) float64 {
	for range 60 {
		d := head.at(x, y)
		if d > -0.02 {
			break
		}
		x -= side * d * 0.9
	}
	return x
}

// tunerButton is a flat oval of metal with waisted sides.
func tunerButton(at vec, side float64) *object {
	m := &marched{dist: func(p vec) float64 {
		q := p.sub(at)
		x, y := q.X*side, q.Y
		half := 8.3 * math.Sqrt(max(0.05, 1-(x-0.6)*(x-0.6)/64))
		d := max(math.Abs(x)-6.7, (math.Abs(y)-half)*0.75)
		thick := 2.6 + 0.5*smooth(0, 6, math.Abs(y)) + 0.35*x/7
		return slab(d, q.Z, thick, 1.9) * 0.8
	}}
	e := vec{6.8, 8.6, 3.7}
	m.lo, m.hi = at.sub(e), at.add(e)
	return &object{name: "button", shape: m, tint: rgb{0.35, 0.33, 0.3}, paint: func(s *spot) surface {
		f := nickel(0.045)
		f.metal = f.metal.mul(0.9 + 0.1*noise3(s.p.X*0.4, s.p.Y*0.4, s.p.Z*0.4, 34))
		return f
	}}
}
