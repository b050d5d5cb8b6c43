package render

import "math"

// neckShape is neck and headstock in one piece of wood, with a volute where
// they meet and a square heel in the body.
func neckShape(p *plan, head *field) *marched {
	top, per := p.halfBoard(0), (p.halfBoard(p.boardEnd)-p.halfBoard(0))/p.boardEnd
	under := boardTop - boardThick
	heel := p.heel
	m := &marched{dist: func(q vec) float64 {
		a := top + per*q.Y
		// The shaft: a flat top, a rounded back that grows into the heel.
		b := under + 10.3 + 0.0052*max(0, q.Y)
		k := math.Pow(power25(math.Abs(q.X)/a)+power25(max(0, under-q.Z)/b), 0.4)
		shaft := max((k-1)*min(a, b)*0.85, q.Z-under)
		shaft = max(shaft, max(-2-q.Y, q.Y-heel-30))
		block := roundBox(vec{q.X, q.Y - (heel+p.boardEnd)/2, q.Z - (under-16)/2}, vec{a - 0.4, (p.boardEnd-heel)/2 - 1, (under + 16) / 2}, 1.5)
		shaft = blend(shaft, block, 26)
		shaft = max(shaft, q.Z-under, (math.Abs(q.X)-a)*0.99)
		h := slab(head.at(q.X, q.Y), q.Z-headTop+headThick/2, headThick/2, 1.6)
		return blend(shaft, h, 9) * 0.9
	}}
	lo, hi := ringBox(p.head)
	m.lo = vec{min(lo.X, -a0(p)) - 3, lo.Y - 1, -24}
	m.hi = vec{max(hi.X, a0(p)) + 3, p.boardEnd + 1, under + 3}
	return m
}

// power25 is x to the power of two and a half: a cross-section between an
// ellipse and a box.
func power25(x float64) float64 { return x * x * math.Sqrt(x) }

func a0(p *plan) float64 { return p.halfBoard(p.boardEnd) }

// neckPaint is maple under amber lacquer; the headstock's face carries a mark.
type neckPaint struct{ front, back *harm }

func (l *neckPaint) paint(s *spot) surface {
	p := s.p
	grain := neckWood.grain(p, s.foot)
	col := stain(maple, 0.8*grain)
	edge := 0.0
	if p.Y < -6 && s.n.Z > 0.5 {
		edge = 0.1
	}
	col = col.by(rgb{1 - edge, 1 - edge*1.4, 1 - edge*1.8})
	f := surface{albedo: col, coat: 1, haze: 0.012}
	if p.Y > 20 && s.n.Z < 0.3 {
		f.haze = 0.05 // the hand polishes and dulls it
	}
	h, side := l.front, 1.0
	if s.n.Z < 0 {
		h, side = l.back, -1
	}
	d := h.at(p.X*side, p.Y, s.foot)
	f = finished(f, d, stain(hex(0xe0bd86), grain), hex(0xe2b878))
	if !s.rough {
		f.n = tilt(s.n, p, func(q vec) float64 {
			return 0.0035*noise3(q.X*0.2, q.Y*0.12, q.Z*0.2, 81) + 0.0008*noise3(q.X*0.8, q.Y*0.5, q.Z*0.8, 82) + h.height(q.X*side, q.Y)
		})
	}
	return f
}

// boardShape is the fingerboard: a slab with a bowed top and rolled edges.
func boardShape(p *plan) *marched {
	top, per := p.halfBoard(0), (p.halfBoard(p.boardEnd)-p.halfBoard(0))/p.boardEnd
	mid := boardTop - boardThick/2
	m := &marched{dist: func(q vec) float64 {
		a := top + per*q.Y
		bow := q.X * q.X / (2 * boardBow)
		return roundBox(vec{q.X, q.Y - p.boardEnd/2, q.Z + bow/2 - mid}, vec{a, p.boardEnd / 2, boardThick/2 - bow/2}, 0.9) * 0.97
	}}
	m.lo = vec{-a0(p) - 0.1, -0.1, boardTop - boardThick - 0.1}
	m.hi = vec{a0(p) + 0.1, p.boardEnd + 0.1, boardTop + 0.1}
	return m
}

// boardPaint is oiled rosewood with dots of shell, and the faded region.
type boardPaint struct {
	plan *plan
	harm *harm
	dots []disc
}

func (b *boardPaint) paint(s *spot) surface {
	p := s.p
	for i, d := range b.dots {
		if r := hypot(p.X-d.X, p.Y-d.Y); r < d.R && s.n.Z > 0.5 {
			return b.shell(s, r/d.R, uint64(i))
		}
	}
	grain := boardWood.grain(p, s.foot)
	col := stain(rosewood, 0.75*grain+0.15*noise3(p.X*0.03, p.Y*0.006, 0, 47))
	var d damage
	if s.n.Z > 0.3 {
		d = b.harm.at(p.X, p.Y, s.foot)
		col = mix(col, stain(hex(0x8a6444), 0.6*grain), d.pale)
		// Grime gathers along the frets.
		col = col.mul(1 - 0.28*b.nearFret(p.Y))
	}
	f := surface{albedo: col, coat: 0.55, haze: 0.16}
	if !s.rough && s.foot < 0.5 {
		f.n = tilt(s.n, p, func(q vec) float64 {
			return -0.02*boardWood.pore(q, s.foot) + 0.004*noise3(q.X*0.7, q.Y*0.1, q.Z, 48)
		})
	}
	return f
}

func (b *boardPaint) nearFret(y float64) float64 {
	v := 0.0
	for _, f := range b.plan.frets {
		v = max(v, smooth(3.2, 1.2, math.Abs(y-f)))
	}
	return v
}

// shell is a dot of mother-of-pearl: a play of pale colours, a dark seam.
func (b *boardPaint) shell(s *spot, r float64, seed uint64) surface {
	t := layers(vec{s.p.X * 0.3, s.p.Y * 0.3, float64(seed) * 7}, 3, 91+seed)
	c := mix(hex(0xe6e4da), hex(0xcfd6d2), smooth(-0.3, 0.2, t))
	c = mix(c, hex(0xe4d3cc), smooth(0.1, 0.5, t)*0.7)
	c = c.mul(1 - 0.75*smooth(0.93, 0.99, r))
	return surface{albedo: c, coat: 1, haze: 0.03}
}
