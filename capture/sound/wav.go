package sound

import (
	"bufio"
	"bytes"
	"encoding/binary"
	"errors"
	"fmt"
	"io"
	"math"
)

// The WAV reader is our own: go-audio/wav reads float samples as whole numbers,
// does not see through WAVE_FORMAT_EXTENSIBLE, and wants to seek. The form is
// Microsoft's and IBM's "Multimedia Programming Interface and Data
// Specifications 1.0" (1991) with the extension of 2001 (format 0xFFFE).

const (
	formatPCM        = 1
	formatFloat      = 3
	formatExtensible = 0xFFFE
)

// subformatTail ends the GUID of every extensible subformat that carries a
// format number in its first two bytes (KSDATAFORMAT_SUBTYPE_*).
var subformatTail = []byte{0, 0, 0, 0, 0x10, 0, 0x80, 0, 0, 0xAA, 0, 0x38, 0x9B, 0x71}

type wavReader struct {
	in     Info
	r      io.Reader // the samples
	sample func([]byte) float32
	width  int // bytes a sample
	raw    []byte
	left   int64 // bytes that the header promises; -1 to the end of the file
}

// openWAV reads the chunks up to the samples.
func openWAV(r *bufio.Reader) (source, error) {
	if _, err := r.Discard(12); err != nil {
		return nil, err
	}
	w := &wavReader{r: r}
	known := false
	for range 1000 { // chunks before the samples; more is no recording
		var head [8]byte
		if _, err := io.ReadFull(r, head[:]); err != nil {
			return nil, errors.New("the file ends before its sound begins")
		}
		size := int64(binary.LittleEndian.Uint32(head[4:]))
		switch string(head[:4]) {
		case "fmt ":
			if size < 16 || size > 4096 {
				return nil, fmt.Errorf("its format takes %d bytes, where 16 to 40 are usual; the file is damaged", size)
			}
			b := make([]byte, size+size%2)
			if _, err := io.ReadFull(r, b); err != nil {
				return nil, errors.New("the file ends before its sound begins")
			}
			if err := w.format(b); err != nil {
				return nil, err
			}
			known = true
		case "data":
			if !known {
				return nil, errors.New("the sound comes before its format; the file is damaged")
			}
			w.begin(size)
			return w, nil
		default:
			if _, err := io.CopyN(io.Discard, r, size+size%2); err != nil {
				return nil, errors.New("the file ends before its sound begins")
			}
		}
	}
	return nil, errors.New("no sound was found behind a thousand other entries")
}

// format takes the fmt chunk.
func (w *wavReader) format(b []byte) error {
	le := binary.LittleEndian
	kind, bits := int(le.Uint16(b)), int(le.Uint16(b[14:]))
	w.in.Channels, w.in.FileRate = int(le.Uint16(b[2:])), int(le.Uint32(b[4:]))
	if kind == formatExtensible {
		if len(b) < 40 || !bytes.Equal(b[26:40], subformatTail) {
			return errors.New("its extended format is not one of plain samples; save it as WAV with plain samples")
		}
		kind = int(le.Uint16(b[24:]))
	}
	w.width = bits / 8
	w.sample = wavSample(kind, bits)
	if w.sample == nil {
		return fmt.Errorf("its samples are of WAV format %d with %d bit; save it with plain samples of 8, 16, 24 or 32 bit", kind, bits)
	}
	w.in.Format = fmt.Sprintf("WAV, %d bit", bits)
	if kind == formatFloat {
		w.in.Format += " float"
	}
	// The block's size follows from channels and bits; a file that says another
	// is read by what follows, as its samples can lie in no other way.
	if got, want := int(le.Uint16(b[12:])), w.width*w.in.Channels; got != want {
		w.in.Notes = append(w.in.Notes, fmt.Sprintf("the file says that a frame has %d bytes; %d follow from its channels and bits", got, want))
	}
	return nil
}

// wavSample gives the value of one sample of a kind; nil for kinds that are not
// read.
func wavSample(kind, bits int) func([]byte) float32 {
	le := binary.LittleEndian
	switch {
	case kind == formatPCM && bits == 8: // the only one without a sign
		return func(b []byte) float32 { return float32(int(b[0])-128) / (1 << 7) }
	case kind == formatPCM && bits == 16:
		return func(b []byte) float32 { return float32(int16(le.Uint16(b))) / (1 << 15) }
	case kind == formatPCM && bits == 24:
		return func(b []byte) float32 {
			return float32(int32(uint32(b[0])<<8|uint32(b[1])<<16|uint32(b[2])<<24)>>8) / (1 << 23)
		}
	case kind == formatPCM && bits == 32:
		return func(b []byte) float32 { return float32(float64(int32(le.Uint32(b))) / (1 << 31)) }
	case kind == formatFloat && bits == 32:
		return func(b []byte) float32 { return math.Float32frombits(le.Uint32(b)) }
	case kind == formatFloat && bits == 64:
		return func(b []byte) float32 { return float32(math.Float64frombits(le.Uint64(b))) }
	}
	return nil
}

// begin notes how many bytes of samples the file promises. A size of 0 or of
// all ones is what programs write that cannot go back to fill it in.
func (w *wavReader) begin(size int64) {
	w.left = size
	if size == 0 || size >= math.MaxUint32-1 {
		w.left = -1
	}
	frame := int64(w.width * w.in.Channels)
	if frame > 0 && w.in.FileRate > 0 && w.left > MaxSeconds*int64(w.in.FileRate)*frame {
		// Before it is believed, the file may be shorter than it says; reading
		// stops at the limit in any case.
		w.left = -1
	}
}

func (w *wavReader) info() *Info { return &w.in }

func (w *wavReader) read(dst []float32) (int, error) {
	frame := w.width * w.in.Channels
	want := len(dst) / w.in.Channels * frame
	if w.left >= 0 {
		want = int(min(int64(want), w.left/int64(frame)*int64(frame)))
	}
	if want == 0 {
		return 0, io.EOF
	}
	if len(w.raw) < want {
		w.raw = make([]byte, want)
	}
	n, err := io.ReadFull(w.r, w.raw[:want])
	if err != nil && !errors.Is(err, io.EOF) && !errors.Is(err, io.ErrUnexpectedEOF) {
		return 0, err
	}
	whole := n / frame * frame
	if w.left >= 0 {
		if err != nil {
			w.in.Notes = append(w.in.Notes, "the file ends before the sound that it promises; it was read as far as it goes")
		}
		w.left -= int64(whole)
	}
	if whole == 0 {
		return 0, io.EOF
	}
	k := 0
	for i := 0; i < whole; i += w.width {
		dst[k] = w.sample(w.raw[i : i+w.width])
		k++
	}
	if err != nil {
		w.left = 0 // what came is given out; the next call ends
	}
	return k, nil
}

// WriteWAV writes samples of one channel as a WAV file of 24 bit, the form in
// which Record keeps what a microphone heard.
func WriteWAV(w io.Writer, rate int, samples []float32) error {
	size := 3 * len(samples)
	pad := size % 2
	head := make([]byte, 0, 44)
	le := binary.LittleEndian
	head = append(head, "RIFF"...)
	head = le.AppendUint32(head, uint32(36+size+pad))
	head = append(head, "WAVEfmt "...)
	head = le.AppendUint32(head, 16)
	head = le.AppendUint16(head, formatPCM)
	head = le.AppendUint16(head, 1)
	head = le.AppendUint32(head, uint32(rate))
	head = le.AppendUint32(head, uint32(3*rate))
	head = le.AppendUint16(head, 3)
	head = le.AppendUint16(head, 24)
	head = append(head, "data"...)
	head = le.AppendUint32(head, uint32(size))
	b := bufio.NewWriter(w)
	b.Write(head)
	for _, s := range samples {
		v := int32(math.Round(max(-1, min(1-1.0/(1<<23), float64(s))) * (1 << 23)))
		b.Write([]byte{byte(v), byte(v >> 8), byte(v >> 16)})
	}
	if pad == 1 {
		b.WriteByte(0)
	}
	if err := b.Flush(); err != nil { // a bufio.Writer keeps its first error
		return fmt.Errorf("write recording: %w", err)
	}
	return nil
}
