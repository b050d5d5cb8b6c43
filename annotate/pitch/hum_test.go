package pitch

import (
	"context"
	"math"
	"strings"
	"testing"

	"wornwood/annotate/pitch/pitchtest"
	"wornwood/capture/sound"
)

// humLevels are the amplitudes of the hum's lines in these tests.
var humLevels = []float64{0.0010, 0.0006, 0.0008, 0.0002, 0.0005, 0, 0.0003}

// hummed is a recording of one undecaying note of known level, from 1 s on for
// 2 s, with hum throughout.
func hummed(mains, hz, silence float64) *sound.Clip {
	tape := pitchtest.New(48000, silence+2.2, 3)
	tape.Pluck(pitchtest.Pluck{At: silence, Seconds: 2, Hz: hz, Peak: 0.3, First: 1, Partials: 1})
	tape.Noise(1e-5)
	tape.Hum(mains, humLevels...)
	return &sound.Clip{Rate: tape.Rate, Samples: tape.Samples}
}

func listen(t *testing.T, c *sound.Clip) []Heard {
	t.Helper()
	hs, err := Listen(context.Background(), c)
	if err != nil {
		t.Fatal(err)
	}
	return hs
}

// TestHumLevels: a note of 0.3 and lines of known amplitude; each must be read
// within 0.2 dB of 20 log10(0.3/a), before the note and in a recording of its
// own. Mains at 49.87 and 60.06 Hz, as it wanders.
func TestHumLevels(t *testing.T) {
	worst := 0.0
	for _, mains := range []float64{50, 49.87, 60, 60.06} {
		for _, own := range []bool{false, true} {
			clip := hummed(mains, 219, 1)
			o := HumOptions{}
			if own {
				s := pitchtest.New(44100, 3, 9)
				s.Noise(1e-5)
				s.Hum(mains, humLevels...)
				o.Silence = &sound.Clip{Rate: s.Rate, Samples: s.Samples}
			}
			h, err := HumOf(context.Background(), clip, listen(t, clip), o)
			if err != nil {
				t.Fatal(err)
			}
			if h.Nominal != int(math.Round(mains)) || math.Abs(h.Mains-mains) > 0.01 {
				t.Errorf("mains of %g Hz was read as %d, %.3f Hz", mains, h.Nominal, h.Mains)
			}
			sum := 0.0
			for i, l := range h.Lines {
				if i >= len(humLevels) || humLevels[i] == 0 {
					if l.State != HumBuried {
						t.Errorf("%g Hz, line %d: %s, though there is none", mains, l.Harmonic, l.Words())
					}
					continue
				}
				sum += humLevels[i] * humLevels[i]
				want := 20 * math.Log10(0.3/humLevels[i])
				if l.State != HumHeard || math.Abs(l.Below-want) > 0.2 {
					t.Errorf("%g Hz, own %v, line %d: %s, want %.2f dB", mains, own, l.Harmonic, l.Words(), want)
				}
				worst = max(worst, math.Abs(l.Below-want))
			}
			if want := 10 * math.Log10(0.09/sum); math.Abs(h.All-want) > 0.2 {
				t.Errorf("%g Hz: all lines %.2f dB below, want %.2f", mains, h.All, want)
			}
		}
	}
	t.Logf("largest error %.3f dB", worst)
}

// TestHumUnderTheNote: without a stretch of silence the lines are read under
// the note, and the one beside the note's own partial is not counted.
func TestHumUnderTheNote(t *testing.T) {
	clip := hummed(50, 149, 0)
	clip.Samples = clip.Samples[:2*48000]
	h, err := HumOf(context.Background(), clip, listen(t, clip), HumOptions{})
	if err != nil {
		t.Fatal(err)
	}
	if h.Where != "under the note" {
		t.Fatalf("read %s", h.Where)
	}
	for i, l := range h.Lines[:5] {
		want := 20 * math.Log10(0.3/humLevels[i])
		switch {
		case l.Harmonic == 3:
			if l.State != HumMixed || !strings.Contains(l.Words(), "partial 1 of the note at 149.0 Hz") {
				t.Errorf("150 Hz beside a note of 149: %s", l.Words())
			}
		case l.State == HumHeard && math.Abs(l.Below-want) > 0.5:
			t.Errorf("line %d: %s, want %.2f dB", l.Harmonic, l.Words(), want)
		}
	}
	if h.Lines[0].State != HumHeard {
		t.Errorf("50 Hz under a note of 149: %s", h.Lines[0].Words())
	}
}

// TestHumBesideARingingString: between two notes a string still rings at 100.5
// Hz, weakly and dying; it must not be taken for hum. Without it the same line
// is counted.
func TestHumBesideARingingString(t *testing.T) {
	for _, rings := range []bool{true, false} {
		tape := pitchtest.New(48000, 6, 5)
		p := pitchtest.Pluck{At: 0.1, Seconds: 2, Hz: 100.5, Peak: 0.3, First: 1, Partials: 6, Decay: 1}
		if rings {
			p.Seconds = 5.9
		}
		tape.Pluck(p)
		tape.Noise(1e-5)
		tape.Hum(50, 0.002, 0.0002, 0.001)
		clip := &sound.Clip{Rate: 48000, Samples: tape.Samples}
		h, err := HumOf(context.Background(), clip, listen(t, clip), HumOptions{Mains: 50})
		if err != nil {
			t.Fatal(err)
		}
		t.Logf("rings %v: %s %.2f-%.2f, 100 Hz: %s", rings, h.Where, h.From, h.To, h.Lines[1].Words())
		if rings && h.Lines[1].State != HumMixed {
			t.Errorf("a string ringing at 100.5 Hz was taken for hum: %s", h.Lines[1].Words())
		}
		if want := 20 * math.Log10(noteAmplitude(h)/0.0002); !rings && (h.Lines[1].State != HumHeard || math.Abs(h.Lines[1].Below-want) > 0.2) {
			t.Errorf("100 Hz after the string was damped: %s, want %.1f dB", h.Lines[1].Words(), want)
		}
	}
}

// noteAmplitude is that of a sine as loud as the note.
func noteAmplitude(h *Hum) float64 { return math.Pow(10, h.Note/20) * math.Sqrt2 }

func TestHumRefuses(t *testing.T) {
	clip := hummed(50, 219, 1)
	hs := listen(t, clip)
	if _, err := HumOf(context.Background(), clip, hs, HumOptions{Mains: 55}); err == nil {
		t.Error("a mains of 55 Hz was taken")
	}
	short := &sound.Clip{Rate: 48000, Samples: make([]float32, 4800)}
	if _, err := HumOf(context.Background(), clip, hs, HumOptions{Silence: short}); err == nil || !strings.Contains(err.Error(), "0.1 s") {
		t.Errorf("a tenth of a second of silence: %v", err)
	}
	if h, err := HumOf(context.Background(), clip, nil, HumOptions{}); h != nil || err != nil {
		t.Errorf("without a note: %v, %v", h, err)
	}
}
