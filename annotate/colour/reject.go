package colour

import (
	"math"
	"slices"
)

// deviations is how many robust standard deviations a pixel may lie from the
// patch's median.
const deviations = 3

// leastSpread keeps the rounding of a very even patch from counting as its
// spread, in units of CIELAB.
const leastSpread = 0.5

// rejection is what became of a patch's usable pixels.
type rejection struct {
	kept            []sample
	outliers, glare int
}

// reject leaves out pixels that are far from the rest, and those that a light
// is mirrored on.
func reject(s []sample) rejection {
	var r rejection
	near := within(s)
	r.outliers = len(s) - len(near)
	r.kept = withoutGlare(near)
	r.glare = len(near) - len(r.kept)
	return r
}

// within keeps what lies within three times the median deviation in each of
// L*, a* and b*.
func within(s []sample) []sample {
	axes := [3]func(l Lab) float64{func(l Lab) float64 { return l.L }, func(l Lab) float64 { return l.A }, func(l Lab) float64 { return l.B }}
	var mid, reach [3]float64
	v := make([]float64, len(s))
	for k, of := range axes {
		for i := range s {
			v[i] = of(s[i].lab)
		}
		var sigma float64
		mid[k], sigma = medianDeviation(v)
		reach[k] = deviations * max(sigma, leastSpread)
	}
	out := make([]sample, 0, len(s))
	for _, p := range s {
		ok := true
		for k, of := range axes {
			ok = ok && math.Abs(of(p.lab)-mid[k]) <= reach[k]
		}
		if ok {
			out = append(out, p)
		}
	}
	return out
}

// leastSheen is how much mirrored light, as a share of the patch's own, is
// never taken for glare.
const leastSheen = 0.03

// withoutGlare leaves out bright, desaturated pixels. By the dichromatic model
// of a varnished surface (Shafer, Color Res. Appl. 10(4), 1985) a pixel is k
// times the surface's colour plus s times the light's; grain moves k, a mirrored
// light moves s. The light is taken for white, and the surface for the patch's
// median. On a grey surface the two cannot be told apart and nothing is left out.
func withoutGlare(s []sample) []sample {
	mid := medianColour(s)
	y := mid.Y()
	lever, ok := levers(mid, y)
	if !ok || len(s) == 0 {
		return s
	}
	sheen := make([]float64, len(s))
	for i, p := range s {
		for k := range 3 {
			sheen[i] += lever[k] * p.c[k] / mid[k]
		}
	}
	m, sigma := medianDeviation(slices.Clone(sheen))
	most := m + max(deviations*sigma, leastSheen)
	out := make([]sample, 0, len(s))
	for i, p := range s {
		if sheen[i] <= most || p.c.Y() <= y {
			out = append(out, p)
		}
	}
	return out
}

// levers are the weights that turn a pixel's channels, each divided by the
// surface's, into s of the dichromatic model in shares of y: the slope of a
// straight line through three points.
func levers(mid Linear, y float64) (w [3]float64, ok bool) {
	mean, spread := 0.0, 0.0
	for k := range 3 {
		if !(mid[k] > 1e-3) {
			return w, false
		}
		w[k] = y / mid[k]
		mean += w[k] / 3
	}
	for k := range 3 {
		w[k] -= mean
		spread += w[k] * w[k]
	}
	if spread < 0.1 { // too near to grey
		return w, false
	}
	for k := range 3 {
		w[k] /= spread
	}
	return w, true
}

// trim is the share of pixels that goes at the dark and at the bright end.
const trim = 0.1

// trimmedMean is the mean in linear light of what is left after a tenth of the
// pixels has gone at the dark and at the bright end, and how many those are.
// pulled are all pixels, those that went brought to the light of the last that
// stayed: the error of a trimmed mean is that of these (Tukey and McLaughlin
// 1963), divided by the share that stayed.
func trimmedMean(s []sample) (mean Linear, used int, pulled []sample) {
	light := make([]float64, len(s))
	for i := range s {
		light[i] = s[i].c.Y()
	}
	cut := int(trim * float64(len(s)))
	sorted := slices.Clone(light)
	low, high := nth(sorted, cut), nth(sorted, len(s)-1-cut)
	pulled = slices.Clone(s)
	for i := range s {
		switch y := light[i]; {
		case y < low && y > 0:
			pulled[i].c = s[i].c.times(low / y)
		case y > high:
			pulled[i].c = s[i].c.times(high / y)
		case y >= low:
			mean, used = mean.plus(s[i].c), used+1
		}
	}
	return mean.times(1 / float64(max(1, used))), used, pulled
}

func meanColour(s []sample) Linear {
	var sum Linear
	for i := range s {
		sum = sum.plus(s[i].c)
	}
	return sum.times(1 / float64(max(1, len(s))))
}

func medianColour(s []sample) (m Linear) {
	v := make([]float64, len(s))
	for k := range m {
		for i := range s {
			v[i] = s[i].c[k]
		}
		m[k], _ = medianDeviation(v)
	}
	return m
}

// medianDeviation is the median and the standard deviation estimated from the
// median deviation (times 1.4826, as for a normal distribution). It reorders v.
func medianDeviation(v []float64) (mid, sigma float64) {
	if len(v) == 0 {
		return 0, 0
	}
	mid = median(v)
	for i := range v {
		v[i] = math.Abs(v[i] - mid)
	}
	return mid, 1.4826 * median(v)
}

func median(v []float64) float64 {
	n := len(v)
	return (nth(v, (n-1)/2) + nth(v, n/2)) / 2
}

// nth is the n-th smallest of v, from 0 (Hoare's selection). It reorders v.
func nth(v []float64, n int) float64 {
	lo, hi := 0, len(v)-1
	for lo < hi {
		pivot := v[(lo+hi)/2]
		i, j := lo, hi
		for i <= j {
			for v[i] < pivot {
				i++
			}
			for v[j] > pivot {
				j--
			}
			if i <= j {
				v[i], v[j] = v[j], v[i]
				i, j = i+1, j-1
			}
		}
		switch {
		case n <= j:
			hi = j
		case n >= i:
			lo = i
		default:
			return v[n]
		}
	}
	return v[n]
}
