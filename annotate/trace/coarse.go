package trace

import (
	"context"
	"math"
	"os"
	"strconv"
)

// The seeds of a pixel: what the person said about it, which no model overrules.
const (
	unsaid  int8 = 0
	said    int8 = 1  // belongs to the instrument
	saidNot int8 = -1 // does not
)

// scene is what the coarse stage knows: a small picture and its models of
// backdrop and instrument.
type scene struct {
	pic       *picture
	seeds     []int8
	back      *field
	light     []lab    // the backdrop at every pixel
	rest      *mixture // of the backdrop's residuals
	inst      *mixture // of the instrument's colours
	mask      []bool
	edge      []float32 // the steepest step within each pixel, squared
	plainEdge float64
	soft      []bool  // reached from the plain backdrop without crossing a sharp edge
	tilt      []int32 // the unary evidence of the last cut: positive for the instrument
}

// Shadows: a shaded place has the backdrop's colour with the light on it
// multiplied by a factor, which in CIELAB is a step towards (-16, 0, 0), exact
// above L* = 8, since all three cube roots shrink alike.
const (
	deepest    = 0.58 // of a cast shadow: cube root of the least factor, 0.2
	shadowMean = 12.0 // mean length of the step in CIELAB
	shadowOdds = 0.12 // share of the backdrop that is taken to lie in shadow
)

// shadeDensity is the log density of c as a shaded place of the backdrop b.
func shadeDensity(c, b lab, sigma [3]float64) float32 {
	wl, wa, wb := float32(1/(sigma[0]*sigma[0])), float32(1/(sigma[1]*sigma[1])), float32(1/(sigma[2]*sigma[2]))
	cl, bl := c.L+16, b.L+16
	k := (wl*cl*bl + wa*c.A*b.A + wb*c.B*b.B) / (wl*bl*bl + wa*b.A*b.A + wb*b.B*b.B)
	if k >= 1.02 || k < deepest {
		return float32(math.Inf(-1))
	}
	l, a, e := cl-k*bl, c.A-k*b.A, c.B-k*b.B
	off := wl*l*l + wa*a*a + wb*e*e
	length := (1 - k) * float32(math.Sqrt(float64(bl*bl+b.A*b.A+b.B*b.B)))
	base := math.Log(shadowOdds/shadowMean) - math.Log(2*math.Pi*sigma[1]*sigma[2])
	return float32(base) - max(0, length)/shadowMean - off/2
}

// unlikely is the density of a colour that no model foresees: even over the
// two million cubic units of CIELAB that surfaces have.
var unlikely = float32(math.Log(0.02 / 2e6))

// looksBack and looksInst are log densities of the colour at pixel i.
func (s *scene) looksBack(i int) float32 {
	return s.looksBackAs(s.pic.px[i], i)
}

// looksBackAs is the log density of a colour that is seen at pixel i.
func (s *scene) looksBackAs(c lab, i int) float32 {
	return max(s.rest.log(c.sub(s.light[i])), s.shaded(c, i))
}

// shaded is the log density of a colour as the shaded backdrop at pixel i.
func (s *scene) shaded(c lab, i int) float32 {
	d := shadeDensity(c, s.light[i], s.back.spread.sigma)
	if !s.soft[i] {
		d -= sharpShadow
	}
	return d
}

// sharpShadow is what it counts against a shadow, in nats, that it has a sharp edge all round.
const sharpShadow = 6

// findSoft floods from what has the backdrop's plain colour through what could be its shadow,
// stopping at sharp edges. Gaps in an edge up to four pixels wide hold it up too.
func (s *scene) findSoft() {
	p := s.pic
	mean := blurred(p)
	step := s.edge
	usual := s.usual(step)
	s.plainEdge = usual
	most := float32(7 + 2.2*usual)
	if usual > 5 { // a weave hides the edges of single pixels: look at larger steps
		step = make([]float32, len(p.px))
		parallel(p.h, func(from, to int) {
			for i := from * p.w; i < to*p.w; i++ {
				step[i] = mean.steepest(i%p.w, i/p.w)
			}
		})
		most = float32(5 + 2.2*s.usual(step))
	}
	if debug {
		println("usual", int(1000*usual))
	}
	sharp := make([]bool, len(p.px))
	for i, v := range step {
		sharp[i] = v > most*most
	}
	sharp = grown(sharp, p.w, p.h, 1)
	dbg("sharp", sharp, p.w, p.h)
	s.soft = make([]bool, len(p.px))
	var todo []int32
	may := make([]bool, len(p.px))
	for i, c := range mean.px {
		may[i] = !sharp[i] && shadeDensity(c, s.light[i], s.back.spread.sigma) > -20
		if !sharp[i] && s.back.spread.mahal2(c.sub(s.light[i])) < 9 {
			s.soft[i] = true
			todo = append(todo, int32(i))
		}
	}
	flood(s.soft, may, todo, p.w, p.h)
	s.soft = grown(s.soft, p.w, p.h, 3)
}

func (s *scene) usual(step []float32) float64 {
	var usual []float64
	for i := 0; i < len(step); i += 7 {
		if !s.mask[i] {
			usual = append(usual, math.Sqrt(float64(step[i])))
		}
	}
	return median(usual)
}

// edges is, for every block of k x k pixels, the square of the largest step in it over two pixels, each a mean
// of three side by side.
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

// steepest is the square of the largest step in colour across the pixel, over four pixels.
func (p *picture) steepest(x, y int) float32 {
	const d = 2
	if x < d || y < d || x >= p.w-d || y >= p.h-d {
		return 0
	}
	i := y*p.w + x
	return max(p.px[i-d].dist2(p.px[i+d]), p.px[i-d*p.w].dist2(p.px[i+d*p.w]),
		p.px[i-d*p.w-d].dist2(p.px[i+d*p.w+d]), p.px[i-d*p.w+d].dist2(p.px[i+d*p.w-d]))
}

// flood adds to the set what it can reach from the places in todo by single steps through may.
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

// grown is the set with everything within r pixels of it, r counted along rows and columns.
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

var debug = false

// blurred is the mean of each pixel and its neighbours.
func blurred(p *picture) *picture {
	q := &picture{w: p.w, h: p.h, px: make([]lab, len(p.px))}
	for y := range p.h {
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
	return q
}

func (s *scene) looksInst(i int) float32 {
	return max(s.inst.log(s.pic.px[i]), unlikely)
}

// start finds the backdrop from the picture's border and takes what stands out
// from it.
func (s *scene) start() {
	p := s.pic
	width := max(1, int(0.035*float64(max(p.w, p.h))+0.5))
	places := border(p.w, p.h, width)
	places = without(places, s.seeds, said)
	s.back = fitField(p, places)
	s.light = make([]lab, len(p.px))
	s.mask = make([]bool, len(p.px))
	s.rest = &mixture{parts: []gauss{s.back.spread}, share: []float32{0}}
	for i := range p.px {
		s.light[i] = s.back.at(i%p.w, i/p.w)
	}
	s.findSoft()
	const stands = 5.5 * 5.5 / 2
	g := &s.back.spread
	for i, c := range p.px {
		r := c.sub(s.light[i])
		off := g.scale - max(g.log(r), s.shaded(c, i))
		s.mask[i] = s.seeds[i] == said || s.seeds[i] == unsaid && off > stands
	}
}

func without(places []int32, seeds []int8, seed int8) []int32 {
	var out []int32
	for _, k := range places {
		if seeds[k] != seed {
			out = append(out, k)
		}
	}
	return out
}

// Colours that a mixture is fitted to, and its parts.
const (
	mostColours = 5000
	instParts   = 6
	restParts   = 3
)

// learn fits both mixtures to the present mask.
func (s *scene) learn() {
	s.findSoft()
	p := s.pic
	inst, rest := make([]lab, 0, mostColours), make([]lab, 0, mostColours)
	n := 0
	for _, in := range s.mask {
		if in {
			n++
		}
	}
	stepIn, stepOut := max(1, n/mostColours), max(1, (len(p.px)-n)/mostColours)
	a, b := 0, 0
	for i, c := range p.px {
		if s.mask[i] {
			if a++; a%stepIn == 0 {
				inst = append(inst, c)
			}
		} else if b++; b%stepOut == 0 {
			rest = append(rest, c.sub(s.light[i]))
		}
	}
	s.inst = mix(inst, instParts, noiseFloor)
	s.rest = mix(rest, restParts, noiseFloor)
}

// relight moves the backdrop towards what is seen around each place: the mean
// of the outside's residuals, smoothed over about a twelfth of the picture.
func (s *scene) relight() {
	p := s.pic
	n := len(p.px)
	var sum [3][]float32
	for c := range sum {
		sum[c] = make([]float32, n)
	}
	weight := make([]float32, n)
	for i, c := range p.px {
		b := s.back.at(i%p.w, i/p.w)
		if s.mask[i] {
			continue
		}
		r := c.sub(b)
		sum[0][i], sum[1][i], sum[2][i], weight[i] = r.L, r.A, r.B, 1
	}
	radius := max(2, max(p.w, p.h)/24)
	parallel(4, func(from, to int) {
		for c := from; c < to; c++ {
			v := weight
			if c < 3 {
				v = sum[c]
			}
			smooth(v, p.w, p.h, radius, 2)
		}
	})
	for i := range s.light {
		k := 1 / (weight[i] + 0.05) // where little is seen of the backdrop, the quadratic
		s.light[i] = s.back.at(i%p.w, i/p.w).add(lab{sum[0][i] * k, sum[1][i] * k, sum[2][i] * k})
	}
}

// Evidence is counted in thousandths of a natural logarithm and capped, so that one
// pixel's colour cannot outweigh all of its neighbours.
const (
	nat     = 1000
	mostNat = 8 * nat
	hard    = 1 << 24
)

func evidence(nats float32) int32 {
	return int32(max(-mostNat, min(mostNat, nats*nat)))
}

// cut divides the picture by the models and the contrast between neighbours. bias in nats
// leans every pixel towards the instrument.
func (s *scene) cut(ctx context.Context, bias float32) ([]bool, error) {
	p := s.pic
	g := newNetwork(len(p.px))
	parallel(len(p.px), func(from, to int) {
		for i := from; i < to; i++ {
			g.end[i] = evidence(s.looksInst(i) - s.looksBack(i) + bias)
			if s.seeds[i] != unsaid {
				g.end[i] = hard * int32(s.seeds[i])
			}
		}
	})
	s.tilt = append(s.tilt[:0], g.end...)
	beta := contrast(p)
	for i := range p.px {
		x, y := i%p.w, i/p.w
		for k := 0; k < degree; k += 2 {
			nx, ny := x+directions[k][0], y+directions[k][1]
			if nx < 0 || nx >= p.w || ny >= p.h {
				continue
			}
			j := ny*p.w + nx
			g.link(int32(i), k, int32(j), linkCost(smoothness, p.px[i].dist2(p.px[j]), beta, k))
		}
	}
	if err := g.cut(ctx); err != nil {
		return nil, err
	}
	mask := make([]bool, len(p.px))
	for i := range mask {
		mask[i] = g.isInside(i)
	}
	return mask, nil
}

// The cost of an edge between two pixels: smoothness nats where they are alike,
// falling to a twentieth of that where they differ more than neighbours usually do.
var smoothness = env("SM", 6)
var smoothFine = env("SF", 6)

func env(n string, d float32) float32 {
	if v, err := strconv.ParseFloat(os.Getenv(n), 32); err == nil {
		return float32(v)
	}
	return d
}

func linkCost(smooth, d2, beta float32, k int) int32 {
	c := smooth * nat * (0.04 + 0.96*expNeg(d2*beta))
	if k >= 4 {
		c *= math.Sqrt2 / 2
	}
	return int32(c)
}

func expNeg(v float32) float32 {
	if v > 16 {
		return 0
	}
	return float32(math.Exp(-float64(v)))
}

// contrast is the factor on squared differences between neighbours, from their mean over the picture:
// 1/(2 mean), as Rother, Kolmogorov and Blake set it ("GrabCut", SIGGRAPH 2004).
func contrast(p *picture) float32 {
	sum, n := 0.0, 0
	for y := range p.h {
		for x := 1; x < p.w; x++ {
			sum += float64(p.at(x, y).dist2(p.at(x-1, y)))
			n++
		}
	}
	for y := 1; y < p.h; y++ {
		for x := range p.w {
			sum += float64(p.at(x, y).dist2(p.at(x, y-1)))
			n++
		}
	}
	return float32(1 / (2*sum/float64(max(n, 1)) + 1))
}
