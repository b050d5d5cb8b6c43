package sound

import (
	"errors"
	"fmt"
	"io"

	"github.com/mewkiz/flac"
	"github.com/mewkiz/flac/frame"
)

// flacReader reads FLAC (RFC 9639) by mewkiz/flac.
type flacReader struct {
	in    Info
	s     *flac.Stream
	bits  uint8
	frame *frame.Frame
	at    int // sample of the frame that comes next
	ended bool
}

func openFLAC(r io.Reader) (source, error) {
	s, err := flac.New(r)
	if err != nil {
		return nil, fmt.Errorf("its FLAC head cannot be read: %w", err)
	}
	f := &flacReader{s: s, bits: s.Info.BitsPerSample}
	f.in = Info{Format: fmt.Sprintf("FLAC, %d bit", f.bits), FileRate: int(s.Info.SampleRate), Channels: int(s.Info.NChannels)}
	if f.bits < 4 || f.bits > 32 {
		return nil, fmt.Errorf("its samples have %d bit; the file is damaged", f.bits)
	}
	if n := s.Info.NSamples; n > MaxSeconds*uint64(s.Info.SampleRate) {
		return nil, tooLong()
	}
	return f, nil
}

func (f *flacReader) info() *Info { return &f.in }

// next parses the next frame; a damaged one ends the sound, with a note, when
// something was read before it.
func (f *flacReader) next() error {
	fr, err := f.s.ParseNext()
	promised := f.s.Info.NSamples
	switch {
	case errors.Is(err, io.EOF) || errors.Is(err, io.ErrUnexpectedEOF):
		if promised > 0 && f.in.Frames < int64(promised) {
			f.in.Notes = append(f.in.Notes, "the file ends before the sound that it promises; it was read as far as it goes")
		}
		return io.EOF
	case err != nil && f.in.Frames > 0:
		f.in.Notes = append(f.in.Notes, "a part of the file is damaged; it was read up to there")
		return io.EOF
	case err != nil:
		return fmt.Errorf("its first part is damaged: %w", err)
	}
	if len(fr.Subframes) != f.in.Channels || len(fr.Subframes[0].Samples) == 0 {
		return errors.New("its number of channels changes on the way; the file is damaged")
	}
	f.frame, f.at = fr, 0
	return nil
}

func (f *flacReader) read(dst []float32) (int, error) {
	if f.ended {
		return 0, io.EOF
	}
	if f.frame == nil {
		if err := f.next(); err != nil {
			f.ended = true
			return 0, err
		}
	}
	n := 0
	total := len(f.frame.Subframes[0].Samples)
	scale := 1 / float64(int64(1)<<(f.bits-1))
	for ; f.at < total && n+f.in.Channels <= len(dst); f.at++ {
		for _, sub := range f.frame.Subframes {
			dst[n] = float32(float64(sub.Samples[f.at]) * scale)
			n++
		}
	}
	if f.at == total {
		f.frame = nil
	}
	return n, nil
}
