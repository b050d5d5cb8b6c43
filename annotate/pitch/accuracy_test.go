package pitch

import (
	"math"
	"math/rand/v2"
	"testing"

	"wornwood/annotate/pitch/pitchtest"
)

// pluckOf is one of the signals on which the accuracy is held: any fundamental
// of a plucked string, stiffness up to 3e-4, a first partial that may be weak
// or missing, noise 40 dB below, hum 40 dB below, a second of sound.
func pluckOf(seed uint64, rate int) (*pitchtest.Tape, pitchtest.Pluck) {
	r := rand.New(rand.NewPCG(seed, 7))
	p := pitchtest.Pluck{Seconds: 1, Hz: 25.5 * math.Exp2(r.Float64()*math.Log2(1350/25.5)), B: 3e-4 * r.Float64(),
		Peak: 0.3, Decay: 0.3 + 2*r.Float64(), First: []float64{1, 1, 0.1, 0}[r.IntN(4)]}
	if r.IntN(2) == 0 {
		p.Pick = 0.08 + 0.3*r.Float64()
	}
	t := pitchtest.New(rate, 1, seed)
	t.Pluck(p)
	t.Noise(0.3 / math.Sqrt2 * pitchtest.DB(-40))
	mains := 50 + 10*float64(r.IntN(2)) + 0.1*r.Float64()
	h := 0.3 * pitchtest.DB(-40)
	t.Hum(mains, h, h/3, h/2, h/5, h/6)
	return t, p
}

func TestCore(t *testing.T) {
	worst := 0.0
	for seed := range uint64(500) {
		tape, p := pluckOf(seed, 12000)
		s := spectrumOf(tape.Samples[600:11500], 12000)
		f := find(s, lowest, highest)
		if f == nil {
			t.Errorf("seed %d: nothing", seed)
			continue
		}
		c := Cents(f.first(), p.Hz)
		if math.Abs(c) > 0.5 {
			t.Logf("seed %d: %.2f Hz first %g pick %.2f B %.1e: %.2f cents (%.2f), B %.1e, %d partials", seed, p.Hz, p.First, p.Pick, p.B, c, f.first(), f.b, len(f.partials))
		}
		worst = max(worst, math.Abs(c))
	}
	t.Logf("worst %.3f", worst)
}
