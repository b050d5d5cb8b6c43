package circuit

import (
	"fmt"
	"math"
)

// The ends of the curve: what is heard.
const (
	Lowest  = 20.0    // Hz
	Highest = 20000.0 // Hz
)

// floor is where a response in dB ends, so that a curve never holds an
// infinity.
const floor = -300.0

// Frequencies are n of them from Lowest to Highest, the same ratio apart; fewer
// than two give both ends.
func Frequencies(n int) []float64 {
	n = max(n, 2)
	out := make([]float64, n)
	for i := range out {
		out[i] = Lowest * math.Pow(Highest/Lowest, float64(i)/float64(n-1))
	}
	out[n-1] = Highest
	return out
}

// Response is the level at the amplifier at each frequency (Hz) in dB relative
// to the voltage that the pickups have at 0 Hz with nothing connected, which is
// that of their sources. A chain that Check refuses has none: nil.
func (c Chain) Response(freqs []float64) []float64 {
	if c.Check() != nil {
		return nil
	}
	out := make([]float64, len(freqs))
	for i, f := range freqs {
		out[i] = c.level(f)
	}
	return out
}

func (c Chain) level(hz float64) float64 {
	g := c.Gain(hz)
	v := 10 * math.Log10(real(g)*real(g)+imag(g)*imag(g))
	if !(v > floor) {
		return floor
	}
	return v
}

// searched is how far up peaks and edges are looked for: a pickup without cable
// and controls resonates above what is heard.
const searched = 200e3 // Hz

// steps is the number of frequencies a search begins with: 50 to the octave, a
// hundredth of the width of the sharpest usual peak.
const steps = 680

func at(i int) float64 { return Lowest * math.Pow(searched/Lowest, float64(i)/steps) }

// leastPeak is what counts as a peak, in dB: less cannot be seen in a curve.
const leastPeak = 0.05

// Resonance finds the highest point of the curve up to 200 kHz: its frequency
// and how many dB it stands over the level at 0 Hz. ok is false where no point
// stands out, as with a tone control half closed.
func (c Chain) Resonance() (hz, dB float64, ok bool) {
	if c.Check() != nil {
		return 0, 0, false
	}
	best, level := 0, math.Inf(-1)
	for i := range steps + 1 {
		if v := c.level(at(i)); v > level {
			best, level = i, v
		}
	}
	if best == 0 || best == steps {
		return 0, 0, false
	}
	hz = c.top(at(best-1), at(best+1))
	dB = c.level(hz) - c.level(0)
	return hz, dB, dB >= leastPeak
}

// top narrows a single highest point down by the golden section.
func (c Chain) top(lo, hi float64) float64 {
	const golden = 0.6180339887498949
	a, b := math.Log(lo), math.Log(hi)
	x, y := b-golden*(b-a), a+golden*(b-a)
	fx, fy := c.level(math.Exp(x)), c.level(math.Exp(y))
	for b-a > 1e-9 {
		if fx > fy {
			b, y, fy = y, x, fx
			x = b - golden*(b-a)
			fx = c.level(math.Exp(x))
		} else {
			a, x, fx = x, y, fy
			y = a + golden*(b-a)
			fy = c.level(math.Exp(y))
		}
	}
	return math.Exp((a + b) / 2)
}

// MinusThree is the frequency in Hz above which the level stays 3 dB and more
// below that at 0 Hz: the half-power point, 10·log10(2) dB. It is 0 when the
// curve stays above to 200 kHz.
func (c Chain) MinusThree() (hz float64) {
	if c.Check() != nil {
		return 0
	}
	half := c.level(0) - 10*math.Log10(2)
	i := steps
	for i >= 0 && c.level(at(i)) < half {
		i--
	}
	if i == steps {
		return 0
	}
	lo, hi := at(max(i, 0)), at(i+1)
	if i < 0 {
		lo = 0
	}
	for range 60 {
		mid := (lo + hi) / 2
		if c.level(mid) < half {
			hi = mid
		} else {
			lo = mid
		}
	}
	return (lo + hi) / 2
}

// Words says the curve in a sentence: "peak +4.2 dB at 3.1 kHz, −3 dB at 4.9
// kHz". Both are relative to the level of the lowest notes.
func (c Chain) Words() string {
	if err := c.Check(); err != nil {
		return "no curve: " + err.Error()
	}
	s := "no peak"
	if hz, dB, ok := c.Resonance(); ok {
		s = fmt.Sprintf("peak +%.1f dB at %s", dB, Hertz(hz))
	}
	if hz := c.MinusThree(); hz > 0 {
		return s + ", −3 dB at " + Hertz(hz)
	}
	return s + ", not 3 dB down anywhere up to 200 kHz"
}

// Hertz writes a frequency as it is read: "310 Hz", "3.1 kHz", "12 kHz".
func Hertz(hz float64) string {
	switch {
	case hz < 999.5:
		return fmt.Sprintf("%.0f Hz", hz)
	case hz < 9950:
		return fmt.Sprintf("%.1f kHz", hz/1000)
	}
	return fmt.Sprintf("%.0f kHz", hz/1000)
}
