package suggest

import (
	"cmp"
	"math"
	"slices"

	"wornwood/annotate/shape"
)

// Lines are followed from their strongest pixels outwards, a pixel at a time,
// keeping to the crest.
const (
	seedCell  = 5    // one start at most in a square of this side
	bridge    = 7    // weak pixels that a walk crosses in the hope of more
	beside    = 3    // pixels on each side of a line in which no second one is sought
	turn      = 3    // directions by which a crest may differ from the way walked
	longest   = 6000 // steps of one walk; a line that long is no check anyway
	driftCost = 0.12
)

// crest is a line that was followed: places in pixels of the ridges' plane and
// the rise at each.
type crest struct {
	at   []shape.Pt
	rise []float64
	dark bool
}

// walker follows crests above low, starting above high.
type walker struct {
	*ridges
	inside    []uint8
	seen      []uint8
	low, high float32
}

type seed struct {
	x, y int
	rise float32
}

// seeds are the strongest pixels of small squares, strongest first.
func (w *walker) seeds() []seed {
	var out []seed
	p := w.rise
	for y0 := 0; y0 < p.h; y0 += seedCell {
		for x0 := 0; x0 < p.w; x0 += seedCell {
			best := seed{rise: w.high}
			found := false
			for y := y0; y < min(y0+seedCell, p.h); y++ {
				for x, v := range p.v[y*p.w+x0 : y*p.w+min(x0+seedCell, p.w)] {
					if v = max(v, -v); v > best.rise && w.inside[y*p.w+x0+x] != 0 {
						best, found = seed{x0 + x, y, v}, true
					}
				}
			}
			if found {
				out = append(out, best)
			}
		}
	}
	slices.SortStableFunc(out, func(a, b seed) int { return cmp.Compare(b.rise, a.rise) })
	return out
}

// crests follows every line of the plane.
func (w *walker) crests(visit func(crest)) {
	for _, s := range w.seeds() {
		if w.seen[s.y*w.rise.w+s.x] != 0 {
			continue
		}
		dark := w.rise.at(s.x, s.y) > 0
		c, sn := bearing(int(w.way[s.y*w.rise.w+s.x]))
		start := shape.Pt{X: float64(s.x), Y: float64(s.y)}
		ahead := w.follow(start, shape.Pt{X: c, Y: sn}, dark)
		back := w.follow(start, shape.Pt{X: -c, Y: -sn}, dark)
		slices.Reverse(back.at)
		slices.Reverse(back.rise)
		line := crest{at: append(append(back.at, start), ahead.at...), dark: dark}
		line.rise = append(append(back.rise, float64(s.rise)), ahead.rise...)
		w.mark(line)
		visit(line)
	}
}

// follow walks from a start until the line has been weak for too long.
func (w *walker) follow(p, heading shape.Pt, dark bool) crest {
	var out crest
	kept, weak := 0, 0
	for len(out.at) < longest && weak <= bridge {
		next, rise := w.ahead(shape.Add(p, heading), heading, dark)
		x, y := int(next.X+0.5), int(next.Y+0.5)
		if x < 0 || y < 0 || x >= w.rise.w || y >= w.rise.h || w.inside[y*w.rise.w+x] == 0 || w.seen[y*w.rise.w+x] != 0 {
			break
		}
		out.at, out.rise = append(out.at, next), append(out.rise, float64(rise))
		if rise < w.low {
			weak++
		} else {
			kept, weak = len(out.at), 0
		}
		step := shape.Sub(next, p)
		if rise >= w.low {
			heading = w.bend(heading, step, x, y)
		}
		p = next
	}
	out.at, out.rise = out.at[:kept], out.rise[:kept]
	return out
}

// bend turns the heading towards the step taken and the crest's own direction.
func (w *walker) bend(heading, step shape.Pt, x, y int) shape.Pt {
	c, s := bearing(int(w.way[y*w.rise.w+x]))
	if c*heading.X+s*heading.Y < 0 {
		c, s = -c, -s
	}
	h := shape.Pt{X: 0.6*heading.X + 0.15*step.X + 0.25*c, Y: 0.6*heading.Y + 0.15*step.Y + 0.25*s}
	return shape.Mul(h, 1/math.Hypot(h.X, h.Y))
}

// ahead looks to both sides of p for the crest. A pixel whose line runs another
// way counts as weak.
func (w *walker) ahead(p, heading shape.Pt, dark bool) (shape.Pt, float32) {
	best, at := float32(-1), p
	sign := float32(1)
	if !dark {
		sign = -1
	}
	for _, o := range [...]float64{0, -0.5, 0.5, -1, 1} {
		q := shape.Pt{X: p.X - o*heading.Y, Y: p.Y + o*heading.X}
		v := sign * w.rise.sample(q.X, q.Y)
		if v *= float32(1 - driftCost*math.Abs(o)); v > best {
			best, at = v, q
		}
	}
	x := min(max(int(at.X+0.5), 0), w.rise.w-1)
	y := min(max(int(at.Y+0.5), 0), w.rise.h-1)
	c, s := bearing(int(w.way[y*w.rise.w+x]))
	if math.Abs(c*heading.X+s*heading.Y) < math.Cos(math.Pi*(turn+0.5)/directions) {
		best = 0
	}
	return at, best
}

// mark closes the surroundings of a line to others.
func (w *walker) mark(c crest) {
	for _, p := range c.at {
		x, y := int(p.X+0.5), int(p.Y+0.5)
		for v := max(0, y-beside); v <= min(w.rise.h-1, y+beside); v++ {
			for u := max(0, x-beside); u <= min(w.rise.w-1, x+beside); u++ {
				w.seen[v*w.rise.w+u] = 1
			}
		}
	}
}
