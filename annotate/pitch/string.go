package pitch

import (
	"math"
	"slices"
	"sort"
)

// String is a tone fitted as that of a stiff string: its partials lie at
// n F sqrt(1 + B n²) (Fletcher 1964; Fletcher and Rossing, The Physics of
// Musical Instruments, from memory).
type stringTone struct {
	f, b     float64 // F in Hz, B
	loud     float64 // amplitude of the loudest tone in the stretch
	partials []partial
	score    float64
}

// partial is one partial as it was found.
type partial struct {
	n int
	peak
}

// at is the frequency of a partial.
func (t *stringTone) at(n int) float64 {
	k := float64(n)
	return k * t.f * math.Sqrt(max(0.5, 1+t.b*k*k))
}

// first is the pitch: the frequency of the first partial, heard or not.
func (t *stringTone) first() float64 { return t.at(1) }

const (
	lowest, highest = 25.0, 1450.0 // Hz of the fundamentals looked for
	topPartial      = 5000.0       // Hz; above it partials are weak and crowded
	mostPartials    = 60
	below           = 1e-3 // of the strongest partial: 60 dB down nothing counts
)

// find looks for the string whose partials explain the peaks best. Candidates
// are the strong peaks divided by small numbers; each is grown from its low
// partials upwards, where stiffness has not yet moved them.
func find(s *spectrum, low, high float64) *stringTone {
	ps := s.peaks(20, topPartial, 0)
	if len(ps) == 0 {
		return nil
	}
	strongest := 0.0
	for _, p := range ps {
		strongest = max(strongest, p.amp)
	}
	keep := ps[:0]
	for _, p := range ps {
		if p.amp >= below*strongest {
			keep = append(keep, p)
		}
	}
	ps = keep
	strong := append([]peak(nil), ps...)
	sort.Slice(strong, func(i, j int) bool { return strong[i].amp > strong[j].amp })
	var best *stringTone
	for _, p := range strong[:min(len(strong), 10)] {
		for k := 1; k <= 10; k++ {
			f := p.hz / float64(k)
			if f < low || f > high {
				continue
			}
			t := grow(s, ps, partial{k, p}, strongest)
			if t.explains(strong[0]) && (best == nil || t.score > best.score) {
				best = t
			}
		}
	}
	return best
}

// weight of a peak in the score, from 0 at 50 dB below the strongest to 1.
func (p peak) weight(strongest float64) float64 {
	return max(0, 1+math.Log10(p.amp/strongest)/2.5)
}

// grow takes a strong peak for a certain partial, adds the others from the low
// ones upwards and scores what they explain: what is found counts for it, what
// is missing below the highest found one against it. The first peak holds the
// string in place until there are others: hum may stand where a missing first
// partial would.
func grow(s *spectrum, ps []peak, seed partial, strongest float64) *stringTone {
	f := seed.hz / float64(seed.n)
	t := &stringTone{f: f, loud: strongest, partials: []partial{seed}}
	missing := 0
	for n := 1; n <= mostPartials && missing < 6; n++ {
		at := t.at(n)
		if at > topPartial {
			break
		}
		if n == seed.n {
			missing = 0
			continue
		}
		p, ok := nearest(ps, at, min(0.22*f, max(1.6*s.width, 0.006*at)))
		if !ok {
			missing++
			continue
		}
		missing = 0
		t.partials = append(t.partials, partial{n, p})
		t.fit(s)
	}
	sort.Slice(t.partials, func(i, j int) bool { return t.partials[i].n < t.partials[j].n })
	t.fit(s)
	t.rate(ps)
	return t
}

// explains says whether a peak is one of the partials. A string that leaves the
// loudest tone unexplained is hum, or another string.
func (t *stringTone) explains(p peak) bool {
	return slices.ContainsFunc(t.partials, func(q partial) bool { return q.hz == p.hz })
}

// rate gives the score. A missing partial costs by how loud its neighbours are:
// among strong ones it is conspicuous, among weak ones it is not. Every partial
// costs a little, found or not, so that hum far below a tone does not make it
// the third partial of the hum.
func (t *stringTone) rate(ps []peak) {
	const miss, unexplained, each = 0.7, 0.8, 0.06
	explained, all := 0.0, 0.0
	t.score = 0
	last := 0
	for i, p := range t.partials {
		w := p.weight(t.loud)
		explained += w
		about := w
		if i > 0 {
			about = (w + t.partials[i-1].weight(t.loud)) / 2
		}
		if w > each { // weaker ones at the upper end neither help nor harm
			t.score += w - each*float64(p.n-last) - miss*about*float64(p.n-last-1)
			last = p.n
		}
	}
	for _, p := range ps {
		all += p.weight(t.loud)
	}
	t.score -= unexplained * (all - explained)
}

// nearest is the strongest peak within a tolerance of a frequency.
func nearest(ps []peak, hz, tol float64) (peak, bool) {
	i := sort.Search(len(ps), func(i int) bool { return ps[i].hz >= hz-tol })
	var best peak
	for ; i < len(ps) && ps[i].hz <= hz+tol; i++ {
		if ps[i].amp > best.amp {
			best = ps[i]
		}
	}
	return best, best.amp > 0
}

// ownWays is how far a real string's partials stray from the law, as a share:
// 0.3 cent. It keeps a high partial from outweighing all others. A judgement.
const ownWays = 1.73e-4

// fit finds F and B from the partials: (f_n/n)² = F² + F² B n² is a straight
// line in n². A partial weighs by how far it stands above the noise; one that
// strays (another string, hum) loses its weight.
func (t *stringTone) fit(s *spectrum) {
	robust := make([]float64, len(t.partials))
	for i := range robust {
		robust[i] = 1
	}
	for range 4 {
		a, b, ok := t.line(s, robust)
		if !ok {
			return
		}
		t.f, t.b = math.Sqrt(a), b/a
		for i, p := range t.partials {
			r := (p.hz - t.at(p.n)) / float64(p.n) / t.spread(s, p) / 4
			robust[i] = 0
			if math.Abs(r) < 1 {
				robust[i] = (1 - r*r) * (1 - r*r) // Tukey's biweight
			}
		}
	}
}

// others is how loud something else may be that stands close to a partial, hum
// or another string, as a share of the loudest tone: 50 dB below. It keeps weak
// partials from bending the string. A judgement.
const others = 0.003

// spread is the standard uncertainty of f_n/n in Hz: the share of the peak that
// is noise or something else, and the string's own ways.
func (t *stringTone) spread(s *spectrum, p partial) float64 {
	n := float64(p.n)
	return math.Hypot(0.7*s.width*(p.noise+others*t.loud)/p.amp/n, ownWays*t.f)
}

// The stiffness expected before anything was heard: few strings have none and
// hardly any more than 3e-4. It decides only where a note has few partials. A
// judgement.
const usualB, spreadB = 1e-4, 1e-4

// line is the weighted straight line y = a + b (n²-1), whose a is the square of
// the first partial; with the stiffness that is expected beforehand. It returns
// F² and F² B.
func (t *stringTone) line(s *spectrum, robust []float64) (ff, fb float64, ok bool) {
	a := t.f * t.f
	prior := 1 / math.Pow(a*spreadB, 2)
	sw, sx, sy, sxx, sxy := 0.0, 0.0, 0.0, prior, prior*usualB*a
	for i, p := range t.partials {
		n := float64(p.n)
		y := p.hz / n
		w := robust[i] / math.Pow(2*y*t.spread(s, p), 2)
		x := n*n - 1
		y *= y
		sw, sx, sy, sxx, sxy = sw+w, sx+w*x, sy+w*y, sxx+w*x*x, sxy+w*x*y
	}
	d := sw*sxx - sx*sx
	if sw == 0 || d <= 0 {
		return 0, 0, false
	}
	b := max(-5e-5*a, min(1.5e-3*a, (sw*sxy-sx*sy)/d))
	a = (sy - b*sx) / sw
	return a - b, b, a > b
}
