package pitch

import (
	"context"
	"testing"

	"wornwood/annotate/pitch/pitchtest"
	"wornwood/capture/sound"
)

// BenchmarkListen hears ten seconds at 48 kHz with six notes.
func BenchmarkListen(b *testing.B) {
	tape := pitchtest.New(48000, 10, 1)
	for i := range 6 {
		tape.Pluck(pitchtest.Pluck{At: 0.5 + 1.5*float64(i), Seconds: 1.4, Hz: Note(40 + 5*i).Hz(A4), B: 5e-5, Peak: 0.25, First: 1, Decay: 1, Pick: 0.17, Partials: 20})
	}
	tape.Noise(1e-4)
	clip := &sound.Clip{Rate: 48000, Samples: tape.Samples}
	for b.Loop() {
		if hs, err := Listen(context.Background(), clip); err != nil || len(hs) != 6 {
			b.Fatalf("%d notes, %v", len(hs), err)
		}
	}
}
