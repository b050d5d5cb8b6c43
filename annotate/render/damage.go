package render

import "math"

// damage is what all marks together did to one spot of finish.
type damage struct {
	bare   float64 // finish gone, wood open: 0..1
	sealed float64 // of the open wood, still filled with old sealer: 0..1
	white  float64 // lacquer crushed or lifted and gone milky: 0..1
	crack  float64 // dark line in the finish: 0..1
	dirt   float64 // grime in open wood: 0..1
	scuff  float64 // gloss gone dull: 0..1
	pale   float64 // colour bleached: 0..1
}

// flaw is one mark, or a piece of one, ready to be drawn: what it does to the
// surface and how it bends it (mm, negative is a hollow).
type flaw struct {
	lo, hi pt
	line   []pt // when set, the flaw reaches only grow mm from this line
	grow   float64
	add    func(x, y, foot float64, d *damage)
	height func(x, y float64) float64
}

// harm is the flaws of one side in a coarse grid, so that a spot asks only
// those near it.
type harm struct {
	cell  float64
	cells map[[2]int][]*flaw
}

func newHarm(flaws []*flaw) *harm {
	h := &harm{cell: 4, cells: map[[2]int][]*flaw{}}
	for _, f := range flaws {
		for j := h.index(f.lo.Y); j <= h.index(f.hi.Y); j++ {
			for i := h.index(f.lo.X); i <= h.index(f.hi.X); i++ {
				mid := pt{(float64(i) + 0.5) * h.cell, (float64(j) + 0.5) * h.cell}
				if f.line != nil {
					if d, _ := lineDistance(f.line, mid); d > f.grow+0.75*h.cell {
						continue
					}
				}
				h.cells[[2]int{i, j}] = append(h.cells[[2]int{i, j}], f)
			}
		}
	}
	return h
}

func (h *harm) index(v float64) int { return int(math.Floor(v / h.cell)) }

func (h *harm) near(x, y float64) []*flaw {
	if h == nil {
		return nil
	}
	return h.cells[[2]int{h.index(x), h.index(y)}]
}

func (h *harm) at(x, y, foot float64) (d damage) {
	for _, f := range h.near(x, y) {
		if f.add != nil {
			f.add(x, y, foot, &d)
		}
	}
	return d
}

func (h *harm) height(x, y float64) (z float64) {
	for _, f := range h.near(x, y) {
		if f.height != nil {
			z += f.height(x, y)
		}
	}
	return z
}

func around(p pt, r float64) (lo, hi pt) { return pt{p.X - r, p.Y - r}, pt{p.X + r, p.Y + r} }

// ding is a dent from a blow. One that is deep enough breaks the finish and
// shows wood; a shallow one leaves a milky rim.
func ding(at pt, radius, depth float64, open bool, seed uint64) *flaw {
	reach := func(x, y float64) float64 {
		a := math.Atan2(y-at.Y, x-at.X)
		r := radius * (1 + 0.16*noise2(2*math.Cos(a)+9, 2*math.Sin(a), seed) + 0.07*noise2(6*math.Cos(a), 6*math.Sin(a), seed+1))
		return hypot((x-at.X)*1.12, y-at.Y) / r
	}
	f := &flaw{}
	f.lo, f.hi = around(at, radius*2.2)
	f.height = func(x, y float64) float64 {
		q := reach(x, y)
		if q > 2 {
			return 0
		}
		z := 0.12 * depth * math.Exp(-(q-1.15)*(q-1.15)*18) // pushed-up rim
		if q < 1 {
			k := 1 - q*q
			z -= depth * k * math.Sqrt(k)
			if open {
				z += depth * 0.12 * noise2(x*6, y*2.2, seed+3)
			}
		}
		return z
	}
	f.add = func(x, y, foot float64, d *damage) {
		q := reach(x, y) + 0.05*noise2(x*7, y*7, seed+4)
		if open {
			d.bare = max(d.bare, smooth(0.92, 0.84, q))
			d.white = max(d.white, 0.75*smooth(0.86, 0.92, q)*smooth(1.14, 0.98, q))
			d.dirt = max(d.dirt, smooth(0.9, 0.3, q)*(0.55+0.45*noise2(x*4, y*1.6, seed+6)))
			return
		}
		ring := math.Exp(-(q - 0.93) * (q - 0.93) * 130)
		d.white = max(d.white, 0.6*ring*(0.45+0.55*noise2(x*1.7, y*1.7, seed+5)))
		d.white = max(d.white, 0.16*smooth(0.95, 0.5, q))
		d.crack = max(d.crack, 0.7*thin((q-0.78)*radius, 0.05, foot)*smooth(-0.1, 0.4, noise2(x*1.1, y*1.1, seed+8)))
	}
	return f
}

// stroke is a scratch along a line: width mm wide, ragged, open or milky.
func stroke(line []pt, width, depth, white, bare float64, seed uint64) *flaw {
	g := width*2 + 0.6
	f := &flaw{line: line, grow: g}
	f.lo, f.hi = ringBox(line)
	f.lo, f.hi = pt{f.lo.X - g, f.lo.Y - g}, pt{f.hi.X + g, f.hi.Y + g}
	f.height = func(x, y float64) float64 {
		d, t := lineDistance(line, pt{x, y})
		w := width * taper(t)
		return -depth * smooth(w, 0, d)
	}
	f.add = func(x, y, foot float64, d *damage) {
		dist, t := lineDistance(line, pt{x, y})
		if dist > g {
			return
		}
		w := width * 0.5 * taper(t) * (0.75 + 0.5*noise2(t*40, 1, seed))
		skip := smooth(-0.75, -0.35, noise2(t*17, 5, seed+2))
		v := thin(dist, w, foot) * skip
		d.white = max(d.white, white*v)
		d.bare = max(d.bare, bare*v)
		d.scuff = max(d.scuff, v)
	}
	return f
}

// taper thins a stroke to its ends; t runs 0..1 along it.
func taper(t float64) float64 { return 0.06 + 0.94*math.Sqrt(clamp(4*t*(1-t))) }

// crackLine is a finish check: a hair-fine dark line with one lip that catches
// the light.
func crackLine(line []pt, seed uint64) *flaw {
	f := &flaw{line: line, grow: 1}
	f.lo, f.hi = ringBox(line)
	f.lo, f.hi = pt{f.lo.X - 1, f.lo.Y - 1}, pt{f.hi.X + 1, f.hi.Y + 1}
	f.height = func(x, y float64) float64 {
		d, t := lineDistance(line, pt{x, y})
		return (-0.018*smooth(0.16, 0, d) + 0.006*smooth(0.8, 0.1, d)) * taper(t)
	}
	f.add = func(x, y, foot float64, d *damage) {
		dist, t := lineDistance(line, pt{x, y})
		if dist > 1 {
			return
		}
		w := (0.085 + 0.03*noise2(t*23, 2, seed)) * taper(t)
		d.crack = max(d.crack, 0.95*thin(dist, w, foot))
		d.white = max(d.white, 0.10*smooth(0.55, 0.12, dist)*taper(t))
	}
	return f
}

// lineDistance is the distance to a polyline and how far along it, 0..1.
func lineDistance(line []pt, p pt) (float64, float64) {
	best, along, total := math.Inf(1), 0.0, 0.0
	for i := 1; i < len(line); i++ {
		a, b := line[i-1], line[i]
		ex, ey := b.X-a.X, b.Y-a.Y
		l := hypot(ex, ey)
		t := clamp(((p.X-a.X)*ex + (p.Y-a.Y)*ey) / (l * l))
		if d := hypot(p.X-a.X-ex*t, p.Y-a.Y-ey*t); d < best {
			best, along = d, total+t*l
		}
		total += l
	}
	return best, along / total
}

// rub is wear through the finish to the wood inside an area: ragged, with
// islands of colour left and a thinned border.
func rub(ring []pt, seed uint64) *flaw {
	field := newField(ring, 1, 14)
	f := &flaw{}
	f.lo, f.hi = ringBox(ring)
	f.lo, f.hi = pt{f.lo.X - 10, f.lo.Y - 10}, pt{f.hi.X + 10, f.hi.Y + 10}
	depth := func(x, y float64) float64 {
		q := vec{x * 0.13, y * 0.06, 3}
		return -field.at(x, y) + 8*layers(q, 3, seed) + 2.2*noise2(x*0.75, y*0.13, seed+2) + 0.5*noise2(x*2.6, y*0.4, seed+3) - 1.8
	}
	f.height = func(x, y float64) float64 { return -0.22 * smooth(-0.8, 0.9, depth(x, y)) }
	f.add = func(x, y, foot float64, d *damage) {
		k := depth(x, y)
		if k < -9 {
			return
		}
		d.pale = max(d.pale, 0.8*smooth(-5.5, 0.2, k+1.5*noise2(x*0.3, y*0.09, seed+12)))
		d.scuff = max(d.scuff, smooth(-7, 0, k))
		d.bare = max(d.bare, smooth(-0.25-foot*0.5, 0.25+foot*0.5, k))
		d.white = max(d.white, 0.2*smooth(-1.3, -0.3, k)*smooth(0.3, -0.1, k))
		d.sealed = max(d.sealed, smooth(5.5, 0.6, k+2.2*noise2(x*0.5, y*0.12, seed+11)))
		d.dirt = max(d.dirt, 0.5*smooth(0, 5, k)*(0.35+0.35*noise2(x*0.45, y*0.10, seed+8)+0.4*noise2(x*2.4, y*0.14, seed+9))+0.3*smooth(1.8, 0, k))
	}
	return f
}

// bleach pales an area with a soft edge.
func bleach(ring []pt, soft float64, seed uint64) *flaw {
	field := newField(ring, 1, soft*2+2)
	f := &flaw{}
	f.lo, f.hi = ringBox(ring)
	f.lo, f.hi = pt{f.lo.X - soft, f.lo.Y - soft}, pt{f.hi.X + soft, f.hi.Y + soft}
	f.add = func(x, y, foot float64, d *damage) {
		k := field.at(x, y) + soft*0.5*noise2(x*0.07, y*0.05, seed)
		d.pale = max(d.pale, smooth(soft*0.6, -soft*0.6, k)*(0.93+0.07*noise2(x*0.2, y*0.1, seed+2)))
	}
	return f
}

// dull takes the gloss off an area: hair scratches too fine to see singly.
func dull(ring []pt, most float64, seed uint64) *flaw {
	field := newField(ring, 1, 6)
	f := &flaw{}
	f.lo, f.hi = ringBox(ring)
	f.add = func(x, y, foot float64, d *damage) {
		k := field.at(x, y) + 5*noise2(x*0.12, y*0.12, seed)
		v := most * smooth(0, -12, k) * (0.6 + 0.4*noise2(x*3+y*1.2, y*0.5-x*0.2, seed+1))
		d.scuff = max(d.scuff, v)
		d.white = max(d.white, 0.2*v)
	}
	return f
}

// grimy darkens what a flaw has laid open.
func grimy(f *flaw, dirt float64) *flaw {
	clean := f.add
	f.add = func(x, y, foot float64, d *damage) {
		before := d.bare
		clean(x, y, foot, d)
		d.dirt = max(d.dirt, dirt*clamp(d.bare-before))
	}
	return f
}
