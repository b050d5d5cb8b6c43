// Package sound reads recordings of an instrument (WAV and FLAC) as samples of
// one channel, and records from a microphone.
//
// Start with Load, which gives a Clip, and with Microphones and Record. Files
// are read as a stream and limits are checked before anything is kept: however
// a file lies about itself, no more than MaxSeconds at MaxRate stay in memory.
// What it does not promise: anything above 18 kHz of a file whose rate is
// higher than MaxRate, because such a file is thinned out while it is read.
package sound

import (
	"bufio"
	"context"
	"errors"
	"fmt"
	"io"
	"math"
	"os"
	"path/filepath"
)

// The limits of a recording. Ten minutes are two hundred notes of three
// seconds; whoever has more to say cuts the recording.
const (
	MaxSeconds  = 600
	MaxRate     = 50000 // of a Clip, samples a second
	maxFileRate = 384000
	minFileRate = 8000 // the fourth partial of the highest note looked for is 5.6 kHz, but half a rate of 8 kHz still holds its second
	maxChannels = 32
)

// Info is what a file says of itself.
type Info struct {
	Format   string // "WAV, 24 bit", "FLAC, 16 bit", "WAV, 32 bit float"
	FileRate int    // samples a second in the file
	Channels int
	Frames   int64    // samples a channel that were read
	Notes    []string // what is odd about the file, one sentence each
}

// Clip is a recording as samples of one channel, ±1 being full scale.
type Clip struct {
	Info
	Rate    int // samples a second of Samples: FileRate, or a whole fraction of it below MaxRate
	Samples []float32
}

// Seconds is how long the clip lasts.
func (c *Clip) Seconds() float64 { return float64(len(c.Samples)) / float64(c.Rate) }

// Mean as channel takes the mean of all channels.
const Mean = 0

// Load reads a file. Channel is 1 for the first, 2 for the second, or Mean.
func Load(ctx context.Context, path string, channel int) (*Clip, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, fmt.Errorf("read recording: %w", err)
	}
	defer f.Close()
	c, err := Decode(ctx, f, channel)
	if err != nil {
		return nil, fmt.Errorf("read recording %s: %w", filepath.Base(path), err)
	}
	return c, nil
}

// source gives the samples of a file, frame by frame.
type source interface {
	info() *Info
	// read fills dst with interleaved samples of whole frames and says how
	// many samples it wrote. At the end it returns io.EOF, and no samples.
	read(dst []float32) (int, error)
}

// Decode is Load on a stream.
func Decode(ctx context.Context, r io.Reader, channel int) (c *Clip, err error) {
	defer func() {
		// The FLAC library is fuzzed here, but a fault of it must not take the
		// window away.
		if p := recover(); p != nil {
			c, err = nil, fmt.Errorf("the file is damaged (%v)", p)
		}
	}()
	src, err := open(bufio.NewReaderSize(r, 1<<16))
	if err != nil {
		return nil, err
	}
	in := src.info()
	if err := in.check(channel); err != nil {
		return nil, err
	}
	return gather(ctx, src, channel)
}

// open looks at the first bytes and takes the reader that fits.
func open(r *bufio.Reader) (source, error) {
	head, err := r.Peek(12)
	if err != nil && !errors.Is(err, io.EOF) {
		return nil, err
	}
	is := func(at int, s string) bool { return len(head) >= at+len(s) && string(head[at:at+len(s)]) == s }
	switch {
	case (is(0, "RIFF") || is(0, "RF64")) && is(8, "WAVE"):
		return openWAV(r)
	case is(0, "fLaC") || is(0, "ID3"):
		return openFLAC(r)
	case len(head) == 0:
		return nil, errors.New("the file is empty")
	}
	return nil, errors.New("this is neither a WAV nor a FLAC file; save the recording as one of them")
}

func (in *Info) check(channel int) error {
	switch {
	case in.FileRate < minFileRate || in.FileRate > maxFileRate:
		return fmt.Errorf("it has %d samples a second; give a recording with %d to %d", in.FileRate, minFileRate, maxFileRate)
	case in.Channels < 1 || in.Channels > maxChannels:
		return fmt.Errorf("it has %d channels; give a recording with 1 to %d", in.Channels, maxChannels)
	case channel < 0 || channel > in.Channels:
		return fmt.Errorf("it has no channel %d; it has %d", channel, in.Channels)
	}
	return nil
}

// gather reads all frames, takes one channel or the mean of all, and thins out
// what is faster than MaxRate.
func gather(ctx context.Context, src source, channel int) (*Clip, error) {
	in := src.info()
	thin := newThinner((in.FileRate + MaxRate - 1) / MaxRate)
	buf := make([]float32, 4096*in.Channels)
	mono := make([]float32, 0, 4096)
	var out []float32
	odd := 0
	for {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		n, err := src.read(buf)
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			return nil, err
		}
		mono = mono[:0]
		for i := 0; i+in.Channels <= n; i += in.Channels {
			v, ok := mix(buf[i:i+in.Channels], channel)
			if !ok {
				odd++
			}
			mono = append(mono, v)
		}
		if in.Frames += int64(len(mono)); in.Frames > MaxSeconds*int64(in.FileRate) {
			return nil, tooLong()
		}
		out = thin.push(out, mono)
	}
	if out = thin.end(out); len(out) == 0 {
		return nil, errors.New("it holds no sound")
	}
	if odd > 0 {
		in.Notes = append(in.Notes, fmt.Sprintf("%d samples are not numbers and were taken as silence", odd))
	}
	return &Clip{Info: *in, Rate: in.FileRate / thin.factor, Samples: out}, nil
}

func tooLong() error {
	return fmt.Errorf("it lasts longer than %d minutes; cut it", MaxSeconds/60)
}

// mix takes a channel of a frame, or their mean; false where a sample is no
// number that a recording can hold.
func mix(frame []float32, channel int) (float32, bool) {
	var v float64
	if channel == Mean {
		for _, x := range frame {
			v += float64(x)
		}
		v /= float64(len(frame))
	} else {
		v = float64(frame[channel-1])
	}
	if math.IsNaN(v) || math.Abs(v) > 1e6 {
		return 0, false
	}
	return float32(v), true
}
