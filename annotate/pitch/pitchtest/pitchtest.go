// Package pitchtest makes sounds whose pitches, hum and noise are known, for
// the tests of annotate/pitch and of what stands on it.
//
// Start with Tape: it is silence onto which Pluck, Hum and Noise are put.
// Everything follows from the numbers given and from the seed.
package pitchtest

import (
	"math"
	"math/rand/v2"
)

// Tape is a stretch of sound of one channel.
type Tape struct {
	Rate    int
	Samples []float32
	rnd     *rand.Rand
}

// New makes a silent tape.
func New(rate int, seconds float64, seed uint64) *Tape {
	return &Tape{Rate: rate, Samples: make([]float32, int(seconds*float64(rate))), rnd: rand.New(rand.NewPCG(seed, 46))}
}

// Pluck is a tone like that of a plucked string: partials of stiffness B with
// amplitudes of 1/n, each decaying, higher ones faster.
type Pluck struct {
	At, Seconds float64 // when it begins, and when it is damped after that
	Hz          float64 // of the first partial
	B           float64 // stiffness: f_n = n F sqrt(1 + B n²)
	Peak        float64 // amplitude of the first partial before First
	Decay       float64 // seconds to 1/e of the first partial; 0 does not decay
	First       float64 // factor on the first partial: 1, or less where it is weak
	Pick        float64 // where it is plucked, as a share of the string: partials with a node there are missing; 0 for 1/n alone
	Partials    int     // at most; 0 takes 40
	Attack      bool    // begins with a click and a short glide from 15 cents sharp
}

// F is what the formula calls f1: the first partial without its stiffness.
func (p Pluck) F() float64 { return p.Hz / math.Sqrt(1+p.B) }

// Partial is the frequency of a partial.
func (p Pluck) Partial(n int) float64 {
	k := float64(n)
	return k * p.F() * math.Sqrt(1+p.B*k*k)
}

// Pluck puts a tone onto the tape, with phases of chance.
func (t *Tape) Pluck(p Pluck) {
	a, n := int(p.At*float64(t.Rate)), int(p.Seconds*float64(t.Rate))
	most := p.Partials
	if most == 0 {
		most = 40
	}
	for k := 1; k <= most && p.Partial(k) < 0.45*float64(t.Rate); k++ {
		amp := p.Peak / float64(k)
		if p.Pick > 0 {
			amp *= math.Abs(math.Sin(math.Pi * float64(k) * p.Pick))
		}
		if k == 1 {
			amp *= p.First
		}
		rate := 0.0
		if p.Decay > 0 {
			rate = (1 + 0.25*float64(k-1)) / p.Decay
		}
		t.partial(a, n, p.Partial(k), amp, rate, p.Attack)
	}
	if !p.Attack {
		return
	}
	for i := range min(n, t.Rate/100) { // the pick's click
		t.add(a+i, 0.4*p.Peak*math.Exp(-float64(i)/float64(t.Rate)*600)*t.rnd.NormFloat64())
	}
}

// partial puts one partial on; its end is faded over 5 ms, as a hand damps it.
func (t *Tape) partial(a, n int, hz, amp, rate float64, glide bool) {
	ph, dt := 2*math.Pi*t.rnd.Float64(), 1/float64(t.Rate)
	fade := t.Rate / 200
	for i := range n {
		s := float64(i) * dt
		f := hz
		if glide && s < 0.2 {
			f *= math.Exp2(15.0 / 1200 * math.Exp(-s/0.02))
		}
		ph += 2 * math.Pi * f * dt
		e := amp * math.Exp(-rate*s)
		if left := n - i; left < fade {
			e *= float64(left) / float64(fade)
		}
		t.add(a+i, e*math.Sin(ph))
	}
}

// Hum puts a tone of the mains and its harmonics on the whole tape; amps are
// the amplitudes of the harmonics from the first on.
func (t *Tape) Hum(mains float64, amps ...float64) {
	for k, amp := range amps {
		ph := 2 * math.Pi * t.rnd.Float64()
		w := 2 * math.Pi * mains * float64(k+1) / float64(t.Rate)
		for i := range t.Samples {
			t.add(i, amp*math.Sin(w*float64(i)+ph))
		}
	}
}

// Noise puts white noise of a standard deviation on the whole tape.
func (t *Tape) Noise(sd float64) {
	for i := range t.Samples {
		t.add(i, sd*t.rnd.NormFloat64())
	}
}

func (t *Tape) add(i int, v float64) {
	if i >= 0 && i < len(t.Samples) {
		t.Samples[i] += float32(v)
	}
}

// DB is the factor of so many decibels of amplitude.
func DB(db float64) float64 { return math.Pow(10, db/20) }
