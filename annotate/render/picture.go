package render

import (
	"context"
	"runtime"
	"sync"
	"sync/atomic"
)

// buffer keeps, per pixel, the sums over its samples.
type buffer struct {
	w, h   int
	albedo []rgb
	e      []rgb // light on the surface
	lit    []rgb // albedo times light, sample by sample
	shine  []rgb
	n      []vec
	depth  []float32
	obj    []*object
}

func newBuffer(w, h int) *buffer {
	n := w * h
	return &buffer{w: w, h: h, albedo: make([]rgb, n), e: make([]rgb, n), lit: make([]rgb, n), shine: make([]rgb, n),
		n: make([]vec, n), depth: make([]float32, n), obj: make([]*object, n)}
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
// needs more.
const firstLook = 3

// trace1 sees one pixel: samples spread over it by a small tent, which is
// about as soft as a lens. A pixel whose first samples agree takes no more.
func (w *world) trace1(b *buffer, c *camera, x, y, samples int) {
	die := newDice(x, y, 1)
	sx, sy := die.next(), die.next()
	i := y*b.w + x
	var lo, hi float64
	var last glance
	mixed := false
	k := 0
	for ; k < samples; k++ {
		if k == firstLook && !mixed && hi-lo < 0.04+0.12*hi {
			break
		}
		u, v := spread(k, sx, sy)
		r := c.ray(float64(x)+0.5+tent(u), float64(y)+0.5+tent(v))
		if k%firstLook == 0 {
			last.obj = nil
		}
		g := w.look(&r, 1/c.focal, &last, &die)
		if k == 0 {
			b.n[i], b.depth[i], b.obj[i] = g.n, float32(g.depth), g.obj
		}
		mixed = mixed || g.obj != b.obj[i]
		last = g
		b.albedo[i] = b.albedo[i].add(g.albedo)
		b.e[i] = b.e[i].add(g.e)
		b.lit[i] = b.lit[i].add(g.albedo.by(g.e))
		b.shine[i] = b.shine[i].add(capped(g.shine))
		seen := g.albedo.luma() + g.shine.luma()
		if k == 0 {
			lo, hi = seen, seen
		}
		lo, hi = min(lo, seen), max(hi, seen)
	}
	s := 1 / float64(k)
	b.albedo[i], b.e[i], b.lit[i], b.shine[i] = b.albedo[i].mul(s), b.e[i].mul(s), b.lit[i].mul(s), b.shine[i].mul(s)
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
