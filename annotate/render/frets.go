package render

import "math"

// frets are bent wires with filed ends. Some are worn under the strings: worn
// gives the depth in mm at fret n and x mm from the middle.
func (p *plan) fretWire(worn func(n int, x float64) float64) []*object {
	var out []*object
	for i, y := range p.frets {
		half := p.halfBoard(y)
		n := i + 1
		const r = 1.28
		m := &marched{dist: func(q vec) float64 {
			over := q.Z - boardZ(q.X)
			d := hypot(q.Y-y, over-crown+r) - r
			d = max(d, (math.Abs(q.X)-half+0.15+0.45*max(0, over))*0.9)
			if w := worn(n, q.X); w > 0.002 {
				d = max(d, over-crown+w)
			}
			return d * 0.95
		}}
		m.lo = vec{-half, y - r, boardZ(half) - 0.3}
		m.hi = vec{half, y + r, boardTop + crown + 0.02}
		out = append(out, &object{name: "fret", shape: m, tint: rgb{0.35, 0.34, 0.31}, paint: func(s *spot) surface {
			f := nickel(0.09)
			f.metal = f.metal.mul(0.93 + 0.07*noise2(s.p.X*0.3, s.p.Y*3, 17))
			if w := worn(n, s.p.X); w > 0.01 && s.n.Z > 0.9 {
				f.haze, f.brush = 0.12, vec{1, 0, 0}
				f.metal = f.metal.mul(1 - 0.25*smooth(0.01, 0.1, w))
			}
			return f
		}})
	}
	return out
}

// nut is a bar of bone with slots for the strings.
func (p *plan) nut() *object {
	half := p.halfBoard(0)
	lines := p.runs()
	m := &marched{dist: func(q vec) float64 {
		top := 2.35 - q.X*q.X/(2*boardBow)
		mid := (headTop + boardTop) / 2
		d := roundBox(vec{q.X, q.Y + 2, q.Z - mid - top/2}, vec{half - 0.1, 2, boardTop - mid + top/2}, 0.5)
		for _, l := range lines {
			if math.Abs(q.X-l.nut.X) < 1.5 {
				slot := hypot(q.X-l.nut.X, max(0, l.nut.Z-q.Z)) - l.r - 0.04
				if q.Z > l.nut.Z {
					slot = math.Abs(q.X-l.nut.X) - l.r - 0.04
				}
				d = max(d, -slot)
			}
		}
		return d * 0.95
	}}
	m.lo, m.hi = vec{-half, -4.1, -4}, vec{half, 0.1, boardTop + 2.5}
	return &object{name: "nut", shape: m, tint: bone.mul(0.9), paint: func(s *spot) surface {
		c := bone.mul(0.92 + 0.08*noise3(s.p.X*0.4, s.p.Y*1.5, s.p.Z, 3))
		return surface{albedo: c, coat: 0.9, haze: 0.07}
	}}
}
