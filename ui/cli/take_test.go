package cli_test

import (
	"math"
	"os"
	"strconv"

	"github.com/rogpeppe/go-internal/testscript"

	"wornwood/annotate/pitch"
	"wornwood/annotate/pitch/pitchtest"
	"wornwood/capture/sound"
)

// take FILE STRING:CENTS ... writes a recording in which each string of a guitar
// is plucked open and at the twelfth fret, the latter so many cents sharp of the
// octave, with hum of 50 Hz 46 dB below a tone as loud as the first partial.
func take(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 2 {
		ts.Fatalf("usage: take FILE STRING:CENTS ...")
	}
	tuning, err := pitch.ParseTuning("E4 B3 G3 D3 A2 E2")
	ts.Check(err)
	tape := pitchtest.New(22050, 1+2.4*float64(len(args)-1), 1)
	at := 0.9
	for _, a := range args[1:] {
		str, err := strconv.Atoi(a[:1])
		ts.Check(err)
		cents, err := strconv.ParseFloat(a[2:], 64)
		ts.Check(err)
		for k, factor := range []float64{1, 2 * math.Exp2(cents/1200)} {
			tape.Pluck(pitchtest.Pluck{At: at + 1.2*float64(k), Seconds: 1.1, Hz: tuning[str-1].Hz(440) * factor, B: 4e-5, Peak: 0.3, First: 1, Decay: 1.5, Partials: 12})
		}
		at += 2.4
	}
	tape.Noise(1e-4)
	tape.Hum(50, 0.3*pitchtest.DB(-46), 0.3*pitchtest.DB(-56))
	f, err := os.Create(ts.MkAbs(args[0]))
	ts.Check(err)
	ts.Check(sound.WriteWAV(f, tape.Rate, tape.Samples))
	ts.Check(f.Close())
}
