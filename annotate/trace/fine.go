package trace

import (
	"context"
	"math"
)

// cell is the side of the squares, in pixels of the working picture, in which
// local colours are added up; a local model is that of the cells around it.
const (
	cell      = 8
	cellReach = 3
)

// locals are the models of both sides around each cell.
type locals struct {
	w, h       int
	inst, back []gauss
	has        []bool // both sides are seen around the cell
}

// localModels are learned from the pixels that lie at least the margin off the border of
// the mask, in the units of apart.
func localModels(p *picture, off []int16, margin int16) *locals {
	l := &locals{w: (p.w + cell - 1) / cell, h: (p.h + cell - 1) / cell}
	n := l.w * l.h
	in, out := make([]moments, n), make([]moments, n)
	near := make([]bool, n)
	const far = 3 * cell * (cellReach + 2)
	parallel(l.h, func(from, to int) {
		for y := from * cell; y < min(to*cell, p.h); y++ {
			for x := range p.w {
				d := off[y*p.w+x]
				k := y/cell*l.w + x/cell
				switch {
				case d >= margin && d < far:
					in[k].add(p.at(x, y))
				case d <= -margin && d > -far:
					out[k].add(p.at(x, y))
				}
				near[k] = near[k] || d < 3*cell && d > -3*cell
			}
		}
	})
	l.inst, l.back, l.has = make([]gauss, n), make([]gauss, n), make([]bool, n)
	parallel(l.h, func(from, to int) {
		for k := from * l.w; k < to*l.w; k++ {
			if near[k] {
				l.learn(k, in, out)
			}
		}
	})
	return l
}

func (l *locals) learn(k int, in, out []moments) {
	var a, b moments
	cx, cy := k%l.w, k/l.w
	for y := max(0, cy-cellReach); y <= min(l.h-1, cy+cellReach); y++ {
		for x := max(0, cx-cellReach); x <= min(l.w-1, cx+cellReach); x++ {
			a.join(&in[y*l.w+x])
			b.join(&out[y*l.w+x])
		}
	}
	const enough = 40
	if a.n >= enough && b.n >= enough {
		l.inst[k], l.back[k], l.has[k] = a.gauss(localFloor), b.gauss(localFloor), true
	}
}

// localFloor is wider than noiseFloor: a few dozen pixels say little about the spread.
var localFloor = [3]float64{2.5, 1.8, 1.8}

// refiner moves the border of a mask to where colours change, within a band about it.
type refiner struct {
	pic   *picture
	seeds []int8
	scene *scene
	k     int // pixels of pic a side of a pixel of scene's
}

// Local and global models are weighed against each other by these shares.
var (
	localShare  = float32(math.Log(0.7))
	globalShare = float32(math.Log(0.3))
)

// halfNats weighs the colours of single pixels at full size, which are less
// independent than the means of the coarse stage.
const halfNats = 0.5

// nats is the evidence at pixel i for the instrument.
func (r *refiner) nats(i int, l *locals) float32 {
	p, s := r.pic, r.scene
	x, y := i%p.w, i/p.w
	c := p.px[i]
	j := y/r.k*s.pic.w + x/r.k
	inst := s.looksInst(c, j) + globalShare
	back := s.looksBack(c, j) + globalShare
	if m := y/cell*l.w + x/cell; l.has[m] {
		inst = max(inst, l.inst[m].log(c)+localShare)
		back = max(back, l.back[m].log(c)+localShare)
	}
	return inst - back
}

// refine cuts anew within reach pixels of the mask's border.
func (r *refiner) refine(ctx context.Context, mask []bool, reach, margin int) ([]bool, error) {
	p := r.pic
	off := apart(mask, p.w, p.h)
	l := localModels(p, off, int16(3*margin))
	index := make([]int32, len(mask))
	var band []int32
	for i, d := range off {
		index[i] = -1
		if d <= int16(3*reach) && d >= int16(-3*reach) || r.seeds[i] != unsaid && (r.seeds[i] == said) != mask[i] {
			index[i] = int32(len(band))
			band = append(band, int32(i))
		}
	}
	g := newNetwork(len(band))
	parallel(len(band), func(from, to int) {
		for n := from; n < to; n++ {
			i := int(band[n])
			g.end[n] = evidence(halfNats * r.nats(i, l))
			if s := r.seeds[i]; s != unsaid {
				g.end[n] = hard * int32(s)
			}
		}
	})
	r.connect(g, band, index, mask)
	if err := g.cut(ctx); err != nil {
		return nil, err
	}
	out := append([]bool(nil), mask...)
	for n, i := range band {
		out[i] = g.isInside(n)
	}
	return out, nil
}

// connect links the band's pixels with each other, and those at its rim with the fixed
// pixels beyond it.
func (r *refiner) connect(g *network, band, index []int32, mask []bool) {
	p := r.pic
	beta := sensitivity(p, band)
	for n, i := range band {
		x, y := int(i)%p.w, int(i)/p.w
		for k := range degree {
			nx, ny := x+directions[k][0], y+directions[k][1]
			if nx < 0 || nx >= p.w || ny < 0 || ny >= p.h {
				continue
			}
			j := ny*p.w + nx
			cost := linkCost(p.px[i].dist2(p.px[j]), beta, k)
			switch {
			case index[j] < 0 && mask[j]:
				g.end[n] += cost
			case index[j] < 0:
				g.end[n] -= cost
			case k%2 == 0:
				g.link(int32(n), k, index[j], cost)
			}
		}
	}
}

// enlarged is a mask k times as large, cut to w x h.
func enlarged(mask []bool, mw, k, w, h int) []bool {
	out := make([]bool, w*h)
	for y := range h {
		for x := range w {
			out[y*w+x] = mask[y/k*mw+x/k]
		}
	}
	return out
}
