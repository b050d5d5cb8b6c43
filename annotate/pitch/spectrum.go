package pitch

import (
	"math"
	"sort"
	"sync"

	"gonum.org/v1/gonum/dsp/fourier"
)

// spectrum is the magnitudes of a stretch of sound under a Gaussian window. The
// logarithm of a steady or steadily decaying tone's peak under such a window is
// a parabola, so frequency and height follow from three bins without bias.
type spectrum struct {
	mag   []float64 // amplitude of a sine, full scale 1, by bin
	step  float64   // Hz a bin
	width float64   // Hz, standard deviation of a tone's peak

	noises []float64 // amplitude of the noise by band, made when first asked for
	band   int       // bins of a band
}

// sigmas is half the length of the window in its standard deviations. At the
// ends it has fallen to 0.4 %, which keeps a strong partial's side lobes below
// the hum that is looked for.
const sigmas = 3.3

var plans = sync.Pool{New: func() any { return &planSet{map[int]*fourier.FFT{}} }}

// planSet keeps transforms by size; a transform is used by one goroutine at a
// time.
type planSet struct{ bySize map[int]*fourier.FFT }

func (p *planSet) of(n int) *fourier.FFT {
	if p.bySize[n] == nil {
		p.bySize[n] = fourier.NewFFT(n)
	}
	return p.bySize[n]
}

// spectrumOf transforms a stretch, padded with silence to at least twice its
// length.
func spectrumOf(x []float32, rate int) *spectrum {
	n := 1024
	for n < 2*len(x) {
		n *= 2
	}
	buf := make([]float64, n)
	mid, sigma := float64(len(x)-1)/2, float64(len(x))/2/sigmas
	mean := 0.0
	for _, v := range x {
		mean += float64(v)
	}
	mean /= float64(max(1, len(x)))
	sum := 0.0
	for i, v := range x {
		d := (float64(i) - mid) / sigma
		w := math.Exp(-d * d / 2)
		sum += w
		buf[i] = (float64(v) - mean) * w
	}
	p := plans.Get().(*planSet)
	c := p.of(n).Coefficients(nil, buf)
	plans.Put(p)
	s := &spectrum{mag: make([]float64, len(c)), step: float64(rate) / float64(n), width: float64(rate) / (2 * math.Pi * sigma)}
	for i, z := range c {
		s.mag[i] = 2 * math.Hypot(real(z), imag(z)) / sum
	}
	return s
}

// peak is a tone in a spectrum.
type peak struct {
	hz, amp float64
	noise   float64 // amplitude of the noise about it
}

// peaks finds the tones between two frequencies that stand out of the noise and
// are not below floor.
func (s *spectrum) peaks(low, high, floor float64) []peak {
	noise := s.noise()
	var out []peak
	a, b := max(2, int(low/s.step)), min(len(s.mag)-3, int(high/s.step))
	for i := a; i <= b; i++ {
		m := s.mag[i]
		if m < floor || m < s.mag[i-1] || m <= s.mag[i+1] || m < s.mag[i-2] || m < s.mag[i+2] {
			continue
		}
		if m < stands*noise(i) {
			continue
		}
		hz, amp := s.top(i)
		out = append(out, peak{hz, amp, noise(i)})
	}
	return out
}

// stands is how far a tone must be above the noise about it, as a ratio: 12 dB,
// which noise alone reaches once in some thousand bins.
const stands = 4

// top is frequency and height of the parabola through a peak's bin and those
// two away.
func (s *spectrum) top(i int) (hz, amp float64) {
	const d = 1
	l, m, r := math.Log(s.mag[i-d]+1e-300), math.Log(s.mag[i]+1e-300), math.Log(s.mag[i+d]+1e-300)
	q := l - 2*m + r
	if q >= 0 {
		return float64(i) * s.step, s.mag[i]
	}
	t := (l - r) / 2 / q * d
	t = max(-1, min(1, t))
	return (float64(i) + t) * s.step, math.Exp(m - (l-r)*t/4/d)
}

// noise gives the amplitude of the noise about a bin: what two fifths of the
// bins in a band of some hundred Hz stay below, most of which hold no tone.
func (s *spectrum) noise() func(bin int) float64 {
	const band = 160.0 // Hz
	if s.noises == nil {
		s.band = max(8, int(band/s.step))
		stride := max(1, s.band/64) // neighbours say the same
		var part []float64
		for a := 0; a < len(s.mag); a += s.band {
			part = part[:0]
			for i := a; i < min(len(s.mag), a+s.band); i += stride {
				part = append(part, s.mag[i])
			}
			sort.Float64s(part)
			s.noises = append(s.noises, part[len(part)*2/5])
		}
	}
	return func(bin int) float64 { return s.noises[min(len(s.noises)-1, bin/s.band)] + 1e-12 }
}
