package pitch

import (
	"context"
	"math"
	"testing"

	"wornwood/annotate/pitch/pitchtest"
	"wornwood/capture/sound"
)

// take is one recording of all strings, open and at the twelfth fret, the
// stopped notes being sharp by so many cents.
func take(seed uint64, ring bool, sharp ...float64) (*pitchtest.Tape, []pitchtest.Pluck) {
	tuning, _ := ParseTuning("E4 B3 G3 D3 A2 E2")
	tape := pitchtest.New(48000, 1+float64(2*len(tuning))*1.6, seed)
	var ps []pitchtest.Pluck
	at := 0.6
	for i := len(tuning) - 1; i >= 0; i-- {
		for k := range 2 {
			p := pitchtest.Pluck{At: at, Seconds: 1.5, Hz: tuning[i].Hz(440), B: 5e-5, Peak: 0.2, First: 1, Decay: 1.2, Pick: 0.17, Attack: true, Partials: 25}
			if ring && k == 0 {
				p.Seconds = 2.2 // the open string still rings while the next is plucked
			}
			if k == 1 {
				p.Hz *= 2 * math.Exp2(sharp[i]/1200)
			}
			tape.Pluck(p)
			ps = append(ps, p)
			at += 1.6
		}
	}
	tape.Noise(0.2 * pitchtest.DB(-55))
	tape.Hum(50, 0.0008, 0.0004, 0.0006)
	return tape, ps
}

func TestSegments(t *testing.T) {
	for _, ring := range []bool{false, true} {
		for seed := range uint64(6) {
			tape, ps := take(seed, ring, 3, -2, 5, 0, 1, -4)
			hs, err := Listen(context.Background(), &sound.Clip{Rate: 48000, Samples: tape.Samples})
			if err != nil {
				t.Fatal(err)
			}
			if len(hs) != len(ps) {
				t.Errorf("ring %v seed %d: %d notes, want %d", ring, seed, len(hs), len(ps))
			}
			for i, h := range hs {
				if i < len(ps) {
					c, u := h.Cents(ps[i].Hz)
					t.Logf("%v %d  %.3f-%.3f (%.2f) %.2f Hz  %.2f ± %.2f cents %s", ring, seed, h.Start, h.End, ps[i].At, h.Hz, c, u, h.Doubt)
				}
			}
		}
	}
}
