//go:build bench

package main

import (
	"context"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"

	"wornwood/annotate/pitch"
	"wornwood/annotate/pitch/pitchtest"
	"wornwood/capture/sound"
)

// listening measures hearing one minute of 48 kHz: decoding, finding forty
// notes, their pitches and the hum. The peer reads the same file once and draws
// one spectrum of each stretch: a general tool's picture of the same minute. It
// does much less; the ratio is what hearing costs beside looking.
func listening(_, dir string) ([]measurement, error) {
	path := filepath.Join(dir, "minute.wav")
	if err := minute(path); err != nil {
		return nil, err
	}
	ours := func() (float64, error) {
		return seconds(func() error {
			clip, err := sound.Load(context.Background(), path, sound.Mean)
			if err != nil {
				return err
			}
			notes, err := pitch.Listen(context.Background(), clip)
			if err != nil {
				return err
			}
			if len(notes) < 38 {
				return fmt.Errorf("%d notes were heard, 40 played", len(notes))
			}
			_, err = pitch.HumOf(context.Background(), clip, notes, pitch.HumOptions{})
			return err
		})
	}
	peer := func() (float64, error) {
		return seconds(func() error {
			return exec.Command("sox", path, "-n", "spectrogram", "-o", filepath.Join(dir, "minute.png")).Run()
		})
	}
	return []measurement{{name: "listen-one-minute", unit: "s", rounds: 5, limit: 20, ours: ours, peer: peer}}, nil
}

// minute writes forty plucked notes with hum and noise.
func minute(path string) error {
	tape := pitchtest.New(48000, 60, 1)
	for i := range 40 {
		n := pitch.Note(40 + i%24)
		tape.Pluck(pitchtest.Pluck{At: 0.3 + 1.48*float64(i), Seconds: 1.4, Hz: n.Hz(pitch.A4), B: 5e-5, Peak: 0.25, First: 1, Decay: 1, Pick: 0.17, Partials: 20, Attack: true})
	}
	tape.Noise(1e-4)
	tape.Hum(50, 0.0005, 0.0003)
	f, err := os.Create(path)
	if err != nil {
		return err
	}
	return errors.Join(sound.WriteWAV(f, tape.Rate, tape.Samples), f.Close())
}
