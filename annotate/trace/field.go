package trace

import (
	"math"
	"slices"
)

// field is the colour that the backdrop would have at every place: a quadratic
// in x and y for each channel, which follows light that falls off, and the
// spread of the backdrop's colours about it.
type field struct {
	w, h   int
	coef   [6]lab
	spread gauss // of the residuals; its mean is zero
	strays float64
}

// terms are the monomials at a pixel, coordinates running from -1 to 1.
func (f *field) terms(x, y int) [6]float32 {
	u := (2*float32(x)+1)/float32(f.w) - 1
	v := (2*float32(y)+1)/float32(f.h) - 1
	return [6]float32{1, u, v, u * u, u * v, v * v}
}

func (f *field) at(x, y int) lab {
	var c lab
	for i, t := range f.terms(x, y) {
		c = c.add(f.coef[i].mul(t))
	}
	return c
}

// Robust fitting: rounds of least absolute values first, then of Tukey's
// biweight, which gives no weight to what is further off than the cut-off times the
// scale (4.685: 95 % efficiency for normal noise; Beaton and Tukey 1974).
const (
	fitRounds  = 24
	softRounds = 10
	cutOff     = 4.685
)

// mostPlaces bounds the places that a field is fitted to.
const mostPlaces = 4000

// thinned is every so-manieth place, so that there are at most n.
func thinned(places []int32, n int) []int32 {
	step := (len(places) + n - 1) / n
	if step <= 1 {
		return places
	}
	var some []int32
	for i := 0; i < len(places); i += step {
		some = append(some, places[i])
	}
	return some
}

// fitField fits the backdrop to the pixels at the places (indices into p).
// Up to about a third of them may belong to something else.
func fitField(p *picture, places []int32) *field {
	f := &field{w: p.w, h: p.h}
	places = thinned(places, mostPlaces)
	weights := make([]float64, len(places))
	for i := range weights {
		weights[i] = 1
	}
	size := make([]float64, len(places))
	for round := range fitRounds {
		f.solve(p, places, weights)
		for i, k := range places {
			r := p.px[k].sub(f.at(int(k)%p.w, int(k)/p.w))
			size[i] = math.Sqrt(float64(r.dist2(lab{})))
		}
		// The median length of a vector of three normal components is 1.54
		// standard deviations of one.
		scale := max(0.5, median(size)/1.54)
		for i, s := range size {
			u := s / (cutOff * scale)
			switch {
			case round < softRounds:
				weights[i] = 1 / max(0.5, s)
			case u < 1:
				weights[i] = (1 - u*u) * (1 - u*u)
			default:
				weights[i] = 0
			}
		}
	}
	f.measure(p, places, weights)
	return f
}

// measure finds the spread of the residuals from those that count, and the
// share of strays.
func (f *field) measure(p *picture, places []int32, weights []float64) {
	var m moments
	strays := 0
	for i, k := range places {
		if weights[i] == 0 {
			strays++
			continue
		}
		m.add(p.px[k].sub(f.at(int(k)%p.w, int(k)/p.w)))
	}
	f.strays = float64(strays) / max(1, float64(len(places)))
	m.mean = [3]float64{} // the fit's residuals are centred by construction
	f.spread = m.gauss(noiseFloor)
}

// solve is one weighted least-squares fit through the normal equations, with a
// trace of ridge so that any set of places can be solved.
func (f *field) solve(p *picture, places []int32, weights []float64) {
	const n = 6
	var a [n][n + 3]float64
	for i, k := range places {
		if weights[i] == 0 {
			continue
		}
		t := f.terms(int(k)%p.w, int(k)/p.w)
		c := p.px[k]
		for r := range n {
			wt := weights[i] * float64(t[r])
			for s := range n {
				a[r][s] += wt * float64(t[s])
			}
			a[r][n] += wt * float64(c.L)
			a[r][n+1] += wt * float64(c.A)
			a[r][n+2] += wt * float64(c.B)
		}
	}
	ridge := 1e-6 * (a[0][0] + 1e-9)
	for r := range n {
		a[r][r] += ridge
	}
	for c := range n { // Gauss-Jordan; the matrix is positive definite
		for r := range n {
			if r == c {
				continue
			}
			k := a[r][c] / a[c][c]
			for s := c; s < n+3; s++ {
				a[r][s] -= k * a[c][s]
			}
		}
	}
	for r := range n {
		f.coef[r] = lab{float32(a[r][n] / a[r][r]), float32(a[r][n+1] / a[r][r]), float32(a[r][n+2] / a[r][r])}
	}
}

// frame lists the places along the picture's border, to the given width.
func frame(w, h, width int) []int32 {
	var places []int32
	for y := range h {
		for x := range w {
			if x < width || y < width || x >= w-width || y >= h-width {
				places = append(places, int32(y*w+x))
			}
		}
	}
	return places
}

func median(v []float64) float64 {
	if len(v) == 0 {
		return 0
	}
	s := slices.Clone(v)
	slices.Sort(s)
	return s[len(s)/2]
}
