package trace

import "math"

// Shadows: a shaded place has the backdrop's colour with the light on it
// multiplied by a factor, which in CIELAB is a step towards (-16, 0, 0), exact
// above L* = 8, since all three cube roots shrink alike.
const (
	deepest     = 0.58 // of a cast shadow: cube root of the least factor, 0.2
	shadowMean  = 12.0 // mean length of the step in CIELAB
	shadowOdds  = 0.12 // share of the backdrop that is taken to lie in shadow
	sharpShadow = 6    // nats that count against a shadow with sharp edges all round
)

// shadeDensity is the log density of c as a shaded place of the backdrop b,
// whose channels have the standard deviations sigma.
func shadeDensity(c, b lab, sigma [3]float64) float32 {
	wl, wa, wb := float32(1/(sigma[0]*sigma[0])), float32(1/(sigma[1]*sigma[1])), float32(1/(sigma[2]*sigma[2]))
	cl, bl := c.L+16, b.L+16
	k := (wl*cl*bl + wa*c.A*b.A + wb*c.B*b.B) / (wl*bl*bl + wa*b.A*b.A + wb*b.B*b.B)
	if !(k < 1.02 && k >= deepest) {
		return float32(math.Inf(-1))
	}
	l, a, e := cl-k*bl, c.A-k*b.A, c.B-k*b.B
	off := wl*l*l + wa*a*a + wb*e*e
	length := (1 - k) * float32(math.Sqrt(float64(bl*bl+b.A*b.A+b.B*b.B)))
	base := math.Log(shadowOdds/shadowMean) - math.Log(2*math.Pi*sigma[1]*sigma[2])
	return float32(base) - max(0, length)/shadowMean - off/2
}

// Sharp edges are steps that stand out from those of the backdrop itself: so
// many units of CIELAB and so many times the usual step. In a weave the edges of
// single pixels say nothing, and larger steps are looked at.
const (
	sharpStep   = 7
	sharpWoven  = 5
	sharpFactor = 2.2
	woven       = 5 // usual step from which a backdrop counts as a weave
)

// findSoft marks what could be shadow by its edges: it floods from what has the
// backdrop's plain colour through what has a shaded one, and stops at sharp
// edges, where a narrow gap does not let it through.
func (s *scene) findSoft() {
	p := s.pic
	mean := p.blurred()
	step := s.edge
	s.rough = s.usual(step)
	s.findEven()
	most := float32(sharpStep + sharpFactor*s.rough)
	if s.rough > woven {
		step = make([]float32, len(p.px))
		parallel(p.h, func(from, to int) {
			for i := from * p.w; i < to*p.w; i++ {
				step[i] = mean.steepest(i%p.w, i/p.w)
			}
		})
		most = float32(sharpWoven + sharpFactor*s.usual(step))
	}
	sharp := make([]bool, len(p.px))
	for i, v := range step {
		sharp[i] = v > most*most
	}
	sharp = grown(sharp, p.w, p.h, 1)
	s.soft = make([]bool, len(p.px))
	may := make([]bool, len(p.px))
	var todo []int32
	for i, c := range mean.px {
		if sharp[i] {
			continue
		}
		may[i] = shadeDensity(c, s.light[i], s.back.spread.sigma) > -20
		if s.back.spread.mahal2(c.sub(s.light[i])) < 9 {
			s.soft[i] = true
			todo = append(todo, int32(i))
		}
	}
	flood(s.soft, may, todo, p.w, p.h)
	// Edges were made wider than they are; what lies in them beside soft places is soft as well.
	wide := grown(s.soft, p.w, p.h, 3)
	for i := range s.soft {
		s.soft[i] = s.soft[i] || wide[i] && sharp[i]
	}
}

// A weave shows in shadows, too. What has less than half of its steps is not
// backdrop: so many nats when it has none.
const (
	evenShare = 0.5
	evenNats  = 5
)

// findEven finds what is smoother than the backdrop if that is a weave.
func (s *scene) findEven() {
	p := s.pic
	s.even = make([]float32, len(p.px))
	if s.rough <= woven {
		return
	}
	step := make([]float32, len(p.px))
	for i, v := range s.edge {
		step[i] = float32(math.Sqrt(float64(v)))
	}
	smooth(step, p.w, p.h, 1, 1)
	usual := make([]float64, 0, len(step)/7+1)
	for i := 0; i < len(step); i += 7 {
		if !s.mask[i] {
			usual = append(usual, float64(step[i]))
		}
	}
	least := float32(evenShare * median(usual))
	for i, v := range step {
		x, y := i%p.w, i/p.w
		if v < least && x > 1 && y > 1 && x < p.w-2 && y < p.h-2 {
			s.even[i] = evenNats * (1 - v/least)
		}
	}
}

// usual is the median step in the backdrop.
func (s *scene) usual(step []float32) float64 {
	var usual []float64
	for i := 0; i < len(step); i += 7 {
		if !s.mask[i] {
			usual = append(usual, math.Sqrt(float64(step[i])))
		}
	}
	return median(usual)
}

// edges is, for every block of k x k pixels, the square of the largest step in
// it over two pixels, each a mean of three side by side.
func (p *picture) edges(k int) []float32 {
	w, h := (p.w+k-1)/k, (p.h+k-1)/k
	out := make([]float32, w*h)
	parallel(h, func(from, to int) {
		for y := max(1, from*k); y < min(to*k, p.h-1); y++ {
			for x := 1; x < p.w-1; x++ {
				i := y*p.w + x
				a, b, c, d := p.px[i-p.w-1], p.px[i-p.w+1], p.px[i+p.w-1], p.px[i+p.w+1]
				right := b.add(p.px[i+1]).add(d)
				left := a.add(p.px[i-1]).add(c)
				up := a.add(p.px[i-p.w]).add(b)
				down := c.add(p.px[i+p.w]).add(d)
				o := &out[y/k*w+x/k]
				*o = max(*o, right.dist2(left)/9, up.dist2(down)/9)
			}
		}
	})
	return out
}

// steepest is the square of the largest step across the pixel, over four
// pixels.
func (p *picture) steepest(x, y int) float32 {
	const d = 2
	if x < d || y < d || x >= p.w-d || y >= p.h-d {
		return 0
	}
	i := y*p.w + x
	return max(p.px[i-d].dist2(p.px[i+d]), p.px[i-d*p.w].dist2(p.px[i+d*p.w]),
		p.px[i-d*p.w-d].dist2(p.px[i+d*p.w+d]), p.px[i-d*p.w+d].dist2(p.px[i+d*p.w-d]))
}

// blurred is the mean of each pixel and its neighbours.
func (p *picture) blurred() *picture {
	q := &picture{w: p.w, h: p.h, px: make([]lab, len(p.px))}
	parallel(p.h, func(from, to int) {
		for y := from; y < to; y++ {
			for x := range p.w {
				var sum lab
				n := float32(0)
				for sy := max(0, y-1); sy <= min(p.h-1, y+1); sy++ {
					for sx := max(0, x-1); sx <= min(p.w-1, x+1); sx++ {
						sum = sum.add(p.at(sx, sy))
						n++
					}
				}
				q.px[y*p.w+x] = sum.mul(1 / n)
			}
		}
	})
	return q
}

// flood adds to the set what it can reach from the places in todo by single
// steps through may.
func flood(set, may []bool, todo []int32, w, h int) {
	for len(todo) > 0 {
		i := int(todo[len(todo)-1])
		todo = todo[:len(todo)-1]
		for _, d := range directions[:4] {
			x, y := i%w+d[0], i/w+d[1]
			if x < 0 || y < 0 || x >= w || y >= h {
				continue
			}
			if j := y*w + x; may[j] && !set[j] {
				set[j] = true
				todo = append(todo, int32(j))
			}
		}
	}
}

// grown is the set with everything within r steps of it.
func grown(set []bool, w, h, r int) []bool {
	for range r {
		next := append([]bool(nil), set...)
		for i, in := range set {
			if !in {
				continue
			}
			x, y := i%w, i/w
			if x > 0 {
				next[i-1] = true
			}
			if x+1 < w {
				next[i+1] = true
			}
			if y > 0 {
				next[i-w] = true
			}
			if y+1 < h {
				next[i+w] = true
			}
		}
		set = next
	}
	return set
}
