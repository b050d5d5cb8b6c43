package render

import "math"

// lacquered is a body or headstock under coloured lacquer: what its paint
// needs to know.
type lacquered struct {
	edge        *field // signed distance to the outline
	soft        *field // the same, smoothed, for the spray
	front, back *harm
	chip        *chip
}

// chip is a piece broken off an edge.
type chip struct {
	at   vec
	r    float64
	flat vec // direction in which the break is squashed
}

// dist is the distance to the missing piece.
func (c *chip) dist(p vec) float64 {
	q := p.sub(c.at)
	if far := q.len() - 2.2*c.r; far > 2 {
		return far * 0.5
	}
	k := q.dot(c.flat)
	q = q.add(c.flat.mul(k * 0.25)).sub(vec{0, q.Y * 0.35, 0}) // it splits along the grain
	r := c.r * (1 + 0.34*noise3(p.X*0.42, p.Y*0.30, p.Z*0.42, 8) + 0.13*noise3(p.X*1.3, p.Y*0.6, p.Z*1.3, 5) + 0.06*noise3(p.X*4, p.Y*0.8, p.Z*4, 6))
	return (q.len() - r) * 0.5
}

// bodyShape is the flat solid with rounded edges, less what was chipped off.
func bodyShape(l *lacquered) *marched {
	f := l.edge
	m := &marched{dist: func(p vec) float64 {
		d := slab(f.at(p.X, p.Y), p.Z+bodyThick/2, bodyThick/2, bodyRound)
		if l.chip != nil && d < 6 {
			d = max(d, -l.chip.dist(p))
		}
		return d
	}}
	m.lo = vec{f.x0 + 18, f.y0 + 18, -bodyThick - 0.01}
	m.hi = vec{f.x0 + float64(f.w)*f.step - 18, f.y0 + float64(f.h)*f.step - 18, 0.01}
	return m
}

// Colours of the sunburst from the middle outwards, as light passes them.
var burst = [...]struct {
	d float64
	c rgb
}{
	{-92, hex(0xf0b24a)}, {-64, hex(0xe59a35)}, {-44, hex(0xc4651f)}, {-30, hex(0x94361a)}, {-19, hex(0x541a12)}, {-10, hex(0x25100d)}, {-4, hex(0x150b0a)},
}

func burstAt(d float64) rgb {
	if d <= burst[0].d {
		return burst[0].c
	}
	for i := 1; i < len(burst); i++ {
		if d < burst[i].d {
			return mix(burst[i-1].c, burst[i].c, smooth(burst[i-1].d, burst[i].d, d)*0.5+0.5*(d-burst[i-1].d)/(burst[i].d-burst[i-1].d))
		}
	}
	return burst[len(burst)-1].c
}

// paint is the sunburst body: wood, colour sprayed by distance from the edge,
// clear lacquer, and the marks.
func (l *lacquered) paint(s *spot) surface {
	p := s.p
	grain := bodyWood.grain(p, s.foot)
	var d damage
	height, side := l.front, 1.0
	if p.Z < -bodyThick/2 {
		height, side = l.back, -1.0
	}
	if math.Abs(s.n.Z) > 0.2 {
		d = height.at(p.X*side, p.Y, s.foot)
	}
	in := l.soft.at(p.X, p.Y)
	spray := in + 5*layers(vec{p.X * 0.02, p.Y * 0.02, side}, 2, 61) + 0.5*noise2(p.X*1.7, p.Y*1.7, 63)
	spray += 9 * smooth(0.95, 0.2, math.Abs(s.n.Z)) // the sides are dark all over
	col := stain(burstAt(spray), 0.55*grain)
	f := surface{albedo: col, coat: 1}
	if l.chip != nil {
		l.chip.mark(p, &d)
	}
	bare := 1.1 * grain
	if d.bare > 0 {
		bare += 0.10*noise3(p.X*7, p.Y*0.35, p.Z*7, 66) + 0.07*noise3(p.X*14, p.Y*0.8, p.Z*14, 67)
	}
	f = finished(f, d, stain(rawAlder, bare), stain(burstAt(spray-26), 0.55*grain))
	if s.rough {
		return f
	}
	f.n = tilt(s.n, p, func(q vec) float64 {
		h := 0.0045*noise3(q.X*0.16, q.Y*0.11, q.Z*0.16, 71) + 0.0008*noise3(q.X*0.6, q.Y*0.5, q.Z*0.6, 72) - 0.0002*grainSink(q)
		if math.Abs(s.n.Z) > 0.2 {
			h += height.height(q.X*side, q.Y)
		}
		return h
	})
	return f
}

// grainSink is the way old lacquer falls into the grain.
func grainSink(q vec) float64 { return noise3(q.X*1.6, q.Y*0.06, q.Z*1.6, 73) }

// mark shows what lies open where the edge is chipped.
func (c *chip) mark(p vec, d *damage) {
	k := c.dist(p)
	if k > 1.5 {
		return
	}
	d.bare = max(d.bare, smooth(0.10, 0.05, k))
	lifted := smooth(-0.3, 0.5, noise3(p.X*0.7, p.Y*0.7, p.Z*0.7, 7))
	d.white = max(d.white, 0.6*lifted*smooth(0.34, 0.2, k)*smooth(0.04, 0.1, k))
	d.dirt = max(d.dirt, smooth(0.1, 0.02, k)*(0.35+0.35*noise3(p.X*2, p.Y*0.4, p.Z*2, 4)))
}

// finished lays damage over a finish: thin is the colour that is left where
// the top coats are worn away, wood is what lies under it.
func finished(f surface, d damage, wood, thin rgb) surface {
	f.albedo = mix(f.albedo, thin, d.pale)
	wood = mix(wood, wood.by(hex(0xd8a060)).mul(0.86), d.sealed)
	f.albedo = mix(f.albedo, mix(wood, wood.by(hex(0x6b5440)), d.dirt), d.bare)
	f.albedo = mix(f.albedo, rgb{0.64, 0.54, 0.36}, d.white*(1-0.5*d.bare))
	f.albedo = mix(f.albedo, rgb{0.022, 0.014, 0.010}, d.crack)
	f.coat *= (1 - d.bare) * (1 - 0.6*d.white) * (1 - 0.8*d.crack)
	f.haze = max(f.haze, 0.10*d.scuff)
	f.dim = 0.25 * d.bare * d.dirt
	return f
}
