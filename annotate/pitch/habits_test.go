package pitch

import (
	"math"
	"math/rand/v2"
	"testing"

	"wornwood/annotate/pitch/pitchtest"
	"wornwood/capture/sound"
)

// habits are signals of other kinds than the way of reading believes in. None of
// its figures were set on them.
var habits = []struct {
	name         string
	most         float64 // cents
	signals      int
	mayBeDoubted bool
	make         func(tape *pitchtest.Tape, r *rand.Rand, p *pitchtest.Pluck)
}{
	{"a click and a glide from 15 cents sharp", 0.5, 40, false, func(tape *pitchtest.Tape, r *rand.Rand, p *pitchtest.Pluck) {
		p.Attack = true
		tape.Pluck(*p)
	}},
	{"four other open strings sounding along 30 dB below", 1, 60, true, func(tape *pitchtest.Tape, r *rand.Rand, p *pitchtest.Pluck) {
		tape.Pluck(*p)
		for _, n := range []Note{40, 45, 50, 55} {
			q := pitchtest.Pluck{At: p.At, Seconds: p.Seconds, Hz: n.Hz(A4) * math.Exp2(8*(r.Float64()-0.5)/1200), B: 5e-5, Peak: p.Peak * pitchtest.DB(-30), First: 1, Decay: 3, Partials: 8}
			tape.Pluck(q)
		}
	}},
	{"plucked at the middle: every even partial missing", 0.3, 40, false, func(tape *pitchtest.Tape, r *rand.Rand, p *pitchtest.Pluck) {
		p.Pick = 0.5
		tape.Pluck(*p)
	}},
	{"half a second of sound", 1, 40, true, func(tape *pitchtest.Tape, r *rand.Rand, p *pitchtest.Pluck) {
		p.Seconds, p.Hz = 0.5, 60*math.Exp2(r.Float64()*3.5)
		tape.Pluck(*p)
	}},
	{"hum only 20 dB below", 1, 40, true, func(tape *pitchtest.Tape, r *rand.Rand, p *pitchtest.Pluck) {
		p.Hz = 75 * math.Exp2(r.Float64()*3)
		tape.Pluck(*p)
		tape.Hum(50, 0.03, 0.01, 0.02, 0.005, 0.01)
	}},
	{"stiffness of a short thick string, 8e-4", 1, 40, false, func(tape *pitchtest.Tape, r *rand.Rand, p *pitchtest.Pluck) {
		p.B = 8e-4
		tape.Pluck(*p)
	}},
}

// TestOtherHabits holds the errors on them.
func TestOtherHabits(t *testing.T) {
	for _, x := range habits {
		worst, doubted := 0.0, 0
		for seed := range uint64(x.signals) {
			r := rand.New(rand.NewPCG(seed, 99))
			p := pitchtest.Pluck{At: 0.2, Seconds: 1.2, Hz: 41 * math.Exp2(r.Float64()*4.3), B: 5e-5, Peak: 0.3, First: 1, Decay: 0.6 + r.Float64(), Pick: 0.1 + 0.15*r.Float64()}
			tape := pitchtest.New(12000, 1.6, seed)
			x.make(tape, r, &p)
			tape.Noise(1e-3)
			hs := listen(t, &sound.Clip{Rate: 12000, Samples: tape.Samples})
			if len(hs) != 1 {
				t.Errorf("%s, %d: %d notes of %.2f Hz", x.name, seed, len(hs), p.Hz)
				continue
			}
			if hs[0].Doubt != "" {
				doubted++
				if x.mayBeDoubted {
					continue
				}
			}
			c, _ := hs[0].Cents(p.Hz)
			if math.Abs(c) > x.most {
				t.Errorf("%s, %d: %.2f Hz was heard %.2f cents off (%.2f), doubt %q", x.name, seed, p.Hz, c, hs[0].Hz, hs[0].Doubt)
			}
			worst = max(worst, math.Abs(c))
		}
		t.Logf("%s: largest error %.2f cents, %d of %d doubted", x.name, worst, doubted, x.signals)
		if doubted*4 > x.signals {
			t.Errorf("%s: %d of %d are doubted", x.name, doubted, x.signals)
		}
	}
}

// TestBeatingCourse: two strings of a course have no one pitch, and the note is
// doubted, or its uncertainty covers the middle between them; two strings 2 cents
// apart cannot be told apart in two seconds, and are read 1 cent off at most.
func TestBeatingCourse(t *testing.T) {
	for seed := range uint64(30) {
		tape := pitchtest.New(12000, 2.5, seed)
		apart := []float64{2, 4, 12}[seed%3]
		for i, c := range []float64{-apart / 2, apart / 2} {
			tape.Pluck(pitchtest.Pluck{At: 0.2, Seconds: 2, Hz: 440 * math.Exp2(c/1200), B: 4e-5, Peak: 0.2 + 0.02*float64(i), First: 1, Decay: 1})
		}
		tape.Noise(1e-4)
		for _, h := range listen(t, &sound.Clip{Rate: 12000, Samples: tape.Samples}) {
			c, u := h.Cents(440)
			if h.Doubt == "" && math.Abs(c) > max(2*u, 1.1) {
				t.Errorf("course %d, %g cents apart: %.2f ± %.2f cents, without a doubt", seed, apart, c, u)
			}
		}
	}
}
