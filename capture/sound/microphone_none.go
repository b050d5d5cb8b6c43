//go:build !cgo || ci

package sound

import (
	"context"
	"io"
)

// CanRecord says whether this build can record.
const CanRecord = false

// Microphones lists the devices that sound can be recorded from.
func Microphones() ([]Microphone, error) { return nil, ErrNoRecording }

// Record records from a microphone, "" for the default one, and writes a WAV
// file of one channel, 48 kHz, 24 bit.
func Record(context.Context, string, float64, io.Writer) error { return ErrNoRecording }
