//go:build cgo && !ci

package sound

import (
	"context"
	"encoding/binary"
	"errors"
	"fmt"
	"io"
	"math"
	"sync"
	"time"

	"github.com/gen2brain/malgo"
)

// CanRecord says whether this build can record.
const CanRecord = true

// recordRate is the rate of what Record writes, samples a second.
const recordRate = 48000

// withContext opens the system's sound for the length of f.
func withContext(f func(ctx malgo.Context) error) error {
	c, err := malgo.InitContext(nil, malgo.ContextConfig{}, nil)
	if err != nil {
		return fmt.Errorf("open the system's sound: %w", err)
	}
	defer c.Free()
	defer func() { _ = c.Uninit() }() // nothing is kept in it
	return f(c.Context)
}

// Microphones lists the devices that sound can be recorded from.
func Microphones() ([]Microphone, error) {
	var out []Microphone
	err := withContext(func(c malgo.Context) error {
		list, err := c.Devices(malgo.Capture)
		if err != nil {
			return fmt.Errorf("list microphones: %w", err)
		}
		for _, d := range list {
			out = append(out, Microphone{Name: d.Name(), Default: d.IsDefault != 0})
		}
		return nil
	})
	return out, err
}

// Record records from a microphone, "" for the default one, and writes a WAV
// file of one channel, 48 kHz, 24 bit. When ctx ends before the time is up
// nothing is written and its error is returned.
func Record(ctx context.Context, device string, seconds float64, w io.Writer) error {
	if !(seconds > 0) || seconds > MaxSeconds {
		return fmt.Errorf("record: give 1 to %d seconds", MaxSeconds)
	}
	var samples []float32
	err := withContext(func(c malgo.Context) (err error) {
		samples, err = capture(ctx, c, device, int(math.Round(seconds*recordRate)))
		return err
	})
	if err != nil {
		return fmt.Errorf("record: %w", err)
	}
	return WriteWAV(w, recordRate, samples)
}

// stall is how long a microphone may send nothing before it is given up.
const stall = 5 * time.Second

// capture collects so many samples of a device.
func capture(ctx context.Context, c malgo.Context, device string, n int) ([]float32, error) {
	cfg := malgo.DefaultDeviceConfig(malgo.Capture)
	cfg.Capture.Format, cfg.Capture.Channels, cfg.SampleRate = malgo.FormatF32, 1, recordRate
	cfg.Alsa.NoMMap = 1
	if device != "" {
		id, err := find(c, device)
		if err != nil {
			return nil, err
		}
		cfg.Capture.DeviceID = id.Pointer()
	}
	var mu sync.Mutex
	var got []float32
	full := make(chan struct{})
	fed := make(chan struct{}, 1)
	dev, err := malgo.InitDevice(c, cfg, malgo.DeviceCallbacks{Data: func(_, in []byte, _ uint32) {
		mu.Lock()
		defer mu.Unlock()
		for i := 0; i+4 <= len(in) && len(got) < n; i += 4 {
			if got = append(got, math.Float32frombits(binary.LittleEndian.Uint32(in[i:]))); len(got) == n {
				close(full)
			}
		}
		select {
		case fed <- struct{}{}:
		default:
		}
	}})
	if err != nil {
		return nil, fmt.Errorf("open the microphone: %w", err)
	}
	defer dev.Uninit()
	if err := dev.Start(); err != nil {
		return nil, fmt.Errorf("start the microphone: %w", err)
	}
	for {
		select {
		case <-full:
			mu.Lock()
			defer mu.Unlock()
			return got, nil
		case <-fed:
		case <-time.After(stall):
			return nil, errors.New("the microphone sends no sound; see whether it is plugged in and may be used")
		case <-ctx.Done():
			return nil, ctx.Err()
		}
	}
}

// find gives the device of a name.
func find(c malgo.Context, name string) (malgo.DeviceID, error) {
	list, err := c.Devices(malgo.Capture)
	if err != nil {
		return malgo.DeviceID{}, fmt.Errorf("list microphones: %w", err)
	}
	for _, d := range list {
		if d.Name() == name {
			return d.ID, nil
		}
	}
	return malgo.DeviceID{}, fmt.Errorf("there is no microphone %q", name)
}
