package trace

import "math"

// scene is what the coarse stage knows: a small picture and its models of
// backdrop and instrument.
type scene struct {
	pic   *picture
	seeds []int8
	brush [2]*brushed // what was painted in and out, nil for nothing
	back  *field
	light []lab     // the backdrop at every pixel
	rest  *mixture  // of the backdrop's residuals
	inst  *mixture  // of the instrument's colours
	edge  []float32 // the steepest step within each pixel, squared
	rough float64   // the usual step in the backdrop
	soft  []bool    // could be shadow by its edges
	even  []float32 // nats against the backdrop for being smoother than its weave
	mask  []bool
}

// unlikely is the density of a colour that no model foresees: even over the
// two million cubic units of CIELAB that surfaces have.
var unlikely = float32(math.Log(0.02 / 2e6))

// looksBack is the log density of a colour as the backdrop at pixel i.
func (s *scene) looksBack(c lab, i int) float32 {
	v := max(s.rest.log(c.sub(s.light[i])), s.shaded(c, i))
	return max(v-s.even[i], s.brush[paintedOut].log(c, i))
}

// looksInst is the log density of a colour as the instrument at pixel i.
func (s *scene) looksInst(c lab, i int) float32 {
	return max(s.inst.log(c), unlikely, s.brush[paintedIn].log(c, i))
}

// shaded is the log density of a colour as the shaded backdrop at pixel i.
func (s *scene) shaded(c lab, i int) float32 {
	d := shadeDensity(c, s.light[i], s.back.spread.sigma)
	if !s.soft[i] {
		d -= sharpShadow
	}
	return d
}

// Where the backdrop is looked for and what stands out from it at first.
const (
	frameShare = 0.035 // width of the frame, as a share of the longer side
	standsOut  = 5.5   // standard deviations
)

// start finds the backdrop from the picture's frame and takes what stands out
// from it.
func (s *scene) start() {
	p := s.pic
	width := max(1, int(frameShare*float64(max(p.w, p.h))+0.5))
	var places []int32
	for _, k := range frame(p.w, p.h, width) {
		if s.seeds[k] != said {
			places = append(places, k)
		}
	}
	s.back = fitField(p, places)
	s.light = make([]lab, len(p.px))
	s.mask = make([]bool, len(p.px))
	s.rest = &mixture{parts: []gauss{s.back.spread}, share: []float32{0}}
	for i := range p.px {
		s.light[i] = s.back.at(i%p.w, i/p.w)
	}
	s.findSoft()
	g := &s.back.spread
	for i, c := range p.px {
		off := g.scale - max(g.log(c.sub(s.light[i])), s.shaded(c, i)) + s.even[i]
		s.mask[i] = s.seeds[i] == said || s.seeds[i] == unsaid && off > standsOut*standsOut/2
	}
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
	n := count(s.mask)
	stepIn, stepOut := max(1, n/mostColours), max(1, (len(p.px)-n)/mostColours)
	var inst, rest []lab
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

// lightReach is over what share of the longer side relight smooths.
const lightReach = 24

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
		if s.mask[i] {
			continue
		}
		r := c.sub(s.back.at(i%p.w, i/p.w))
		sum[0][i], sum[1][i], sum[2][i], weight[i] = r.L, r.A, r.B, 1
	}
	radius := max(2, max(p.w, p.h)/lightReach)
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
		k := 1 / (weight[i] + 0.05) // where little of the backdrop is seen, the quadratic
		s.light[i] = s.back.at(i%p.w, i/p.w).add(lab{sum[0][i] * k, sum[1][i] * k, sum[2][i] * k})
	}
}

func count(mask []bool) int {
	n := 0
	for _, in := range mask {
		if in {
			n++
		}
	}
	return n
}
