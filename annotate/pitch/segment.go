package pitch

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/dsp/fourier"
)

// span is a note's samples.
type span struct{ from, to int }

// hop is the step of the search for onsets in seconds.
const hop = 0.01

// segments cuts a recording into notes: each begins where the sound changes at
// once over many frequencies (spectral flux, the usual way of finding onsets),
// and ends where it is gone or the next begins.
func segments(x []float32, rate int) []span {
	step := int(hop * float64(rate))
	levels := levelsOf(x, rate, step)
	if len(levels) < 3 {
		return nil
	}
	loud, floor := extremes(levels)
	if loud < quiet {
		return nil
	}
	// A note sounds while it is within 45 dB of the loudest and clear of the
	// noise; where no silence is in the recording the noise is not known.
	gate := loud - 45
	if loud-floor > 20 {
		gate = max(gate, min(floor+8, loud-12))
	}
	var out []span
	on := onsets(fluxOf(x, rate, step, loud), levels, gate)
	for i, a := range on {
		end := len(levels)
		if i+1 < len(on) {
			end = on[i+1] - 2
		}
		b := gone(levels, a, end, gate)
		if float64(b-a)*hop >= shortest {
			out = append(out, span{a * step, min(len(x), b*step)})
		}
	}
	return out
}

const (
	quiet    = -70.0 // dB full scale: nothing louder, nothing is heard
	shortest = 0.28  // s of a note
	apart    = 15    // steps between two onsets at least
)

// levelsOf is the level in dB full scale at each step, over 50 ms about it.
func levelsOf(x []float32, rate, step int) []float64 {
	half := rate / 40
	sums := make([]float64, len(x)+1)
	for i, v := range x {
		sums[i+1] = sums[i] + float64(v)*float64(v)
	}
	var out []float64
	for c := 0; c < len(x); c += step {
		a, b := max(0, c-half), min(len(x), c+half)
		out = append(out, db(math.Sqrt(max(0, sums[b]-sums[a])/float64(b-a))))
	}
	return out
}

// extremes are the loudest level and the noise floor, which a twentieth of the
// recording is below.
func extremes(levels []float64) (loud, floor float64) {
	l := slices.Clone(levels)
	slices.Sort(l)
	return l[len(l)-1], l[len(l)/20]
}

// gone is where a note that began at a ends: where its level has fallen by 40
// dB from its own loudest, or below the gate.
func gone(levels []float64, a, end int, gate float64) int {
	top := -math.MaxFloat64
	for i := a; i < end; i++ {
		top = max(top, levels[i])
		if i > a+6 && (levels[i] < gate || levels[i] < top-40) {
			return i
		}
	}
	return end
}

// onsets are the steps at which notes begin.
func onsets(flux, levels []float64, gate float64) []int {
	sounding := false
	var out []int
	last := -100
	for i := range levels {
		if i < len(flux) && isOnset(flux, i) && i-last > apart && later(levels, i) >= gate && rises(levels, i) {
			out, last, sounding = append(out, i), i, true
			continue
		}
		if levels[i] < gate {
			sounding = false
			continue
		}
		// What swells without an attack, or sounds from the first sample on.
		if !sounding && i-last > apart {
			out, last = append(out, i), i
		}
		sounding = true
	}
	return out
}

// isOnset says whether the flux has its highest value within 150 ms here and
// stands clear of what is usual about it. The hand that damps one note just
// before the next makes a smaller one.
func isOnset(flux []float64, i int) bool {
	a, b := max(0, i-apart), min(len(flux), i+apart+1)
	for k := a; k < b; k++ {
		if flux[k] > flux[i] || (flux[k] == flux[i] && k < i) {
			return false
		}
	}
	near := slices.Clone(flux[max(0, i-30):min(len(flux), i+31)])
	slices.Sort(near)
	return flux[i] > near[len(near)/2]+leastFlux
}

// leastFlux is by how many dB, as a mean over the bands that sound, the spectrum
// must rise within 40 ms for an onset. A judgement: a string plucked over
// another that rings rises by 5 dB or more, two strings that beat by less than 1.
const leastFlux = 2.0

func later(levels []float64, i int) float64 {
	return slices.Max(levels[i:min(len(levels), i+8)])
}

// rises says whether the level does not fall through an onset: the end of a
// note, damped by a hand, changes the spectrum too.
func rises(levels []float64, i int) bool {
	before := levels[max(0, i-4)]
	return later(levels, min(len(levels)-1, i+2)) > before-1.5
}

// fluxOf is the mean rise in dB over 40 ms of those bands that come within 50
// dB of a tone as loud as the loudest moment, at each step. Only the last frames
// are kept: ten minutes would fill the memory.
func fluxOf(x []float32, rate, step int, loud float64) []float64 {
	n := 256
	for float64(n)/float64(rate) < 0.035 {
		n *= 2
	}
	fft := fourier.NewFFT(n)
	win := make([]float64, n)
	for i := range win {
		win[i] = 0.5 - 0.5*math.Cos(2*math.Pi*float64(i)/float64(n))
	}
	buf, coef := make([]float64, n), make([]complex128, n/2+1)
	const lag = 4
	var last [lag][]float64 // of the frames before, by their number
	for i := range last {
		last[i] = make([]float64, min(n/2, int(4000/(float64(rate)/float64(n)))))
	}
	// A sine of amplitude A has A n/4 under this window.
	tone := math.Sqrt2 * math.Pow(10, loud/20) * float64(n) / 4
	base := tone*tone*1e-5 + 1e-30 // 50 dB below
	var flux []float64
	for c := 0; c < len(x); c += step {
		for i := range buf {
			buf[i] = 0
			if k := c + i - n/2; k >= 0 && k < len(x) {
				buf[i] = float64(x[k]) * win[i]
			}
		}
		coef = fft.Coefficients(coef, buf)
		sum, before := 0.0, last[len(flux)%lag]
		for k := range before {
			z := coef[k+1]
			now := real(z)*real(z) + imag(z)*imag(z)
			if now > before[k] {
				sum += math.Log10((now + base) / (before[k] + base))
			}
			before[k] = now
		}
		flux = append(flux, 10*sum/float64(len(before)))
	}
	return flux
}
