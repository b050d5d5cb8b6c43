package render

import "math"

// The card is of the format ID-1 of ISO/IEC 7810: 85.60 x 53.98 mm, corners of
// radius 3.18 mm, 0.76 mm thick.
const (
	cardLong   = 85.60
	cardShort  = 53.98
	cardCorner = 3.18
	cardThick  = 0.76
)

// pose places the card: its middle, the direction of its long edge and the
// direction from the ruler's edge to the other, and the direction it faces.
type pose struct{ at, a, b, n vec }

// corners are the card's corners before rounding, as measured, in order.
func (c pose) corners() [4]vec {
	a, b := c.a.mul(cardLong/2), c.b.mul(cardShort/2)
	return [4]vec{c.at.sub(a).sub(b), c.at.add(a).sub(b), c.at.add(a).add(b), c.at.sub(a).add(b)}
}

// objects are the card, its face in the given plane, and if it does not lie on
// anything the block of that height it lies on.
func (c pose) objects(block float64) []*object {
	local := func(p vec) vec {
		q := p.sub(c.at)
		return vec{q.dot(c.a), q.dot(c.b), q.dot(c.n)}
	}
	out := []*object{{name: "card", tint: rgb{0.2, 0.2, 0.2}, shape: c.solid(cardLong/2, cardShort/2, 0, cardThick, cardCorner), paint: func(s *spot) surface {
		return cardPaint(local(s.p), s)
	}}}
	if block > 0 {
		out = append(out, &object{name: "block", tint: rgb{0.03, 0.03, 0.03}, shape: c.solid(cardLong/2-4, cardShort/2-4, cardThick, block, 2), paint: func(s *spot) surface {
			return matt(rgb{0.025, 0.025, 0.027}.mul(1 + 0.3*noise3(s.p.X, s.p.Y, s.p.Z, 8)))
		}})
	}
	return out
}

// solid is an upright tile under the card's face from depth z0 down to z1.
func (c pose) solid(hx, hy, z0, z1, r float64) *marched {
	m := &marched{dist: func(p vec) float64 {
		q := p.sub(c.at)
		x, y, z := math.Abs(q.dot(c.a))-hx+r, math.Abs(q.dot(c.b))-hy+r, q.dot(c.n)
		d := hypot(max(x, 0), max(y, 0)) + min(max(x, y), 0) - r
		return slab(d, z+(z0+z1)/2, (z1-z0)/2, 0.1)
	}}
	e := hypot(hx, hy)
	mid := c.at.sub(c.n.mul((z0 + z1) / 2))
	flat := func(k float64) float64 { return e*math.Sqrt(max(0, 1-k*k)) + (z1-z0)/2*math.Abs(k) + 0.1 }
	r3 := vec{flat(c.n.X), flat(c.n.Y), flat(c.n.Z)}
	m.lo, m.hi = mid.sub(r3), mid.add(r3)
	return m
}

// cardPaint is middle grey (18 % reflectance) in a white border, which one
// long edge widens to a ruler: a line every millimetre, longer ones every five and ten.
func cardPaint(q vec, s *spot) surface {
	grey := matt(rgb{0.18, 0.18, 0.18})
	if s.rough || q.Z < -0.3 {
		return grey
	}
	grey.albedo = grey.albedo.mul(1 + 0.012*noise2(q.X*3, q.Y*3, 18))
	white := rgb{0.8, 0.8, 0.78}
	y := q.Y + cardShort/2
	if y > 8.2 {
		rim := max(math.Abs(q.X)-cardLong/2, math.Abs(q.Y)-cardShort/2) + 1.8
		grey.albedo = mix(grey.albedo, white, smooth(-0.05-s.foot/2, 0.05+s.foot/2, rim))
		return grey
	}
	x := q.X + 40
	k := math.Round(x)
	ink := 0.0
	if k >= 0 && k <= 80 && y > 0.9 {
		long := 2.6
		if int(k)%5 == 0 {
			long = 3.7
		}
		if int(k)%10 == 0 {
			long = 5.2
		}
		if y < 0.9+long {
			ink = thin(x-k, 0.085, s.foot)
		}
	}
	edge := smooth(8.2, 8.2-0.1-s.foot, y)
	grey.albedo = mix(grey.albedo, mix(white, rgb{0.03, 0.03, 0.03}, ink), edge)
	return grey
}

// table is grey felt: fibres lying every way, faint folds.
func table(at, n vec, u, v vec) *object {
	return &object{name: "table", shape: &plane{at, n}, tint: rgb{0.2, 0.205, 0.21}, paint: func(s *spot) surface {
		q := s.p.sub(at)
		x, y := q.dot(u), q.dot(v)
		c := hex(0x7d8186)
		cloud := layers(vec{x * 0.006, y * 0.006, 1}, 3, 101)
		felt := 0.55*noise2(x*0.55+y*0.2, y*0.5, 102) + 0.5*noise2(x*0.9, y*0.25-x*0.3, 103)
		fine := noise2(x*2.3+noise2(y, x, 105)*2, y*2.1, 104) * smooth(0.5, 0.15, s.foot)
		f := matt(c.mul(1 + 0.10*cloud + 0.045*felt + 0.07*fine))
		return f
	}}
}
