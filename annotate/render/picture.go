package render

import (
	"context"
	"runtime"
	"sync"
	"sync/atomic"
)

// buffer keeps what the samples of each pixel saw, as means over all of them.
// The light on the object that most samples met is kept apart from its colour.
type buffer struct {
	w, h int
	px   []pixel
	e    []rgb // light on the pixel's main object
}

// pixel is the sum of its parts: main is the object most samples met, other the
// next, rest is the light of all further objects and every reflection.
type pixel struct {
	main, other  *object
	n            vec
	albedo       rgb // of the main object, times its share of the pixel
	second, lit2 rgb // the same of the other object, and its light as sampled
	rest         rgb
}

func newBuffer(w, h int) *buffer {
	return &buffer{w: w, h: h, px: make([]pixel, w*h), e: make([]rgb, w*h)}
}

const tileSize = 32

// trace fills the buffer, tile by tile on all cores. Each pixel rolls its own
// dice, so the order of the tiles does not matter.
func (w *world) trace(ctx context.Context, c *camera, samples, workers int) (*buffer, error) {
	b := newBuffer(c.w, c.h)
	tx, ty := (c.w+tileSize-1)/tileSize, (c.h+tileSize-1)/tileSize
	if workers < 1 {
		workers = runtime.GOMAXPROCS(0)
	}
	var next atomic.Int64
	var wait sync.WaitGroup
	for range workers {
		wait.Add(1)
		go func() {
			defer wait.Done()
			for {
				i := int(next.Add(1)) - 1
				if i >= tx*ty || ctx.Err() != nil {
					return
				}
				w.tile(b, c, i%tx*tileSize, i/tx*tileSize, samples)
			}
		}()
	}
	wait.Wait()
	return b, ctx.Err()
}

func (w *world) tile(b *buffer, c *camera, x0, y0, samples int) {
	for y := y0; y < min(y0+tileSize, c.h); y++ {
		for x := x0; x < min(x0+tileSize, c.w); x++ {
			w.trace1(b, c, x, y, samples)
		}
	}
}

// firstLook is how many samples a pixel takes before it is decided whether it
// needs more; mostLooks is the most it takes.
const (
	firstLook = 3
	mostLooks = 32
)

// trace1 sees one pixel: samples spread over it by a small tent, which is
// about as soft as a lens. A pixel whose first samples agree takes no more.
func (w *world) trace1(b *buffer, c *camera, x, y, samples int) {
	die := newDice(x, y, 1)
	sx, sy := die.next(), die.next()
	var seen [mostLooks]glance
	var lo, hi float64
	mixed := false
	k := 0
	for ; k < min(samples, mostLooks); k++ {
		if k == firstLook && !mixed && hi-lo < 0.04+0.12*hi {
			break
		}
		u, v := spread(k, sx, sy)
		r := c.ray(float64(x)+0.5+tent(u), float64(y)+0.5+tent(v))
		lit := &glance{}
		if k%firstLook != 0 {
			lit = &seen[k-1]
		}
		g := w.look(&r, 1/c.focal, lit, &die)
		g.shine = capped(g.shine)
		l := g.albedo.luma() + g.shine.luma()
		if k == 0 {
			lo, hi = l, l
		}
		lo, hi = min(lo, l), max(hi, l)
		seen[k] = g
		mixed = mixed || g.obj != seen[0].obj
	}
	b.px[y*b.w+x], b.e[y*b.w+x] = gather(seen[:k])
}

// gather sorts a pixel's samples by the object they met.
func gather(seen []glance) (p pixel, e rgb) {
	count := func(o *object) (n int) {
		for i := range seen {
			if seen[i].obj == o {
				n++
			}
		}
		return n
	}
	most, next := 0, 0
	for i := range seen {
		o := seen[i].obj
		if o == p.main || o == p.other {
			continue
		}
		switch n := count(o); {
		case n > most:
			p.main, p.other, most, next = o, p.main, n, most
		case n > next:
			p.other, next = o, n
		}
	}
	s := 1 / float64(len(seen))
	for i := range seen {
		g := &seen[i]
		p.rest = p.rest.add(g.shine.mul(s))
		switch g.obj {
		case p.main:
			p.n = g.n
			p.albedo = p.albedo.add(g.albedo.mul(s))
			e = e.add(g.e.mul(1 / float64(most)))
		case p.other:
			p.second = p.second.add(g.albedo.mul(s))
			p.lit2 = p.lit2.add(g.albedo.by(g.e).mul(s))
		default:
			p.rest = p.rest.add(g.albedo.by(g.e).mul(s))
		}
	}
	return p, e
}

// capped keeps a mirrored lamp from outshining all other samples of its pixel,
// which would leave its edge jagged.
func capped(c rgb) rgb {
	const most = 3
	if m := max(c.R, c.G, c.B); m > most {
		return c.mul(most / m)
	}
	return c
}

// tent turns an even number in 0..1 into an offset in -0.8..0.8, most likely
// near 0.
func tent(u float64) float64 {
	if u < 0.5 {
		return 0.8 * (sqrt(2*u) - 1)
	}
	return 0.8 * (1 - sqrt(2*(1-u)))
}
