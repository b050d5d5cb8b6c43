package sound

import (
	"bytes"
	"context"
	"encoding/binary"
	"errors"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// chunk is one entry of a WAV file, padded to an even length as the form asks.
func chunk(id string, size int, body []byte) []byte {
	b := append([]byte(id), 0, 0, 0, 0)
	binary.LittleEndian.PutUint32(b[4:], uint32(size))
	b = append(b, body...)
	if len(body)%2 == 1 {
		b = append(b, 0)
	}
	return b
}

// format is the body of a fmt chunk.
func format(kind, channels, rate, bits int) []byte {
	le := binary.LittleEndian
	b := le.AppendUint16(nil, uint16(kind))
	b = le.AppendUint16(b, uint16(channels))
	b = le.AppendUint32(b, uint32(rate))
	b = le.AppendUint32(b, uint32(rate*channels*bits/8))
	b = le.AppendUint16(b, uint16(channels*bits/8))
	return le.AppendUint16(b, uint16(bits))
}

func file(chunks ...[]byte) []byte {
	b := []byte("RIFF\x00\x00\x00\x00WAVE")
	for _, c := range chunks {
		b = append(b, c...)
	}
	return b
}

func extensible(sub int, tail []byte) []byte {
	b := append(format(formatExtensible, 1, 48000, 16), 22, 0, 16, 0, 4, 0, 0, 0)
	b = binary.LittleEndian.AppendUint16(b, uint16(sub))
	return append(b, tail...)
}

var four = []byte{0, 0x40, 0, 0x80, 0, 0x20, 1, 0} // 0.5, -1, 0.25, 1/32768

// TestOddWAV reads files that are odd but hold what they promise, or less.
func TestOddWAV(t *testing.T) {
	pcm := chunk("fmt ", 16, format(1, 1, 48000, 16))
	wrongBlock := format(1, 1, 48000, 16)
	wrongBlock[12] = 77
	for name, x := range map[string]struct {
		b     []byte
		n     int
		notes string
	}{
		"plain":                      {file(pcm, chunk("data", 8, four)), 4, ""},
		"chunks before, odd length":  {file(chunk("LIST", 5, []byte("hello")), pcm, chunk("junk", 3, []byte("abc")), chunk("data", 8, four)), 4, ""},
		"chunks behind":              {file(pcm, chunk("data", 8, four), chunk("LIST", 4, []byte("tail"))), 4, ""},
		"data without a size":        {file(pcm, chunk("data", 0, four)), 4, ""},
		"data of all ones":           {file(pcm, chunk("data", 0xFFFFFFFF, four)), 4, ""},
		"more promised":              {file(pcm, chunk("data", 80, four)), 4, "the file ends before the sound that it promises; it was read as far as it goes"},
		"more than ten minutes said": {file(pcm, chunk("data", 0x7FFFFFF0, four)), 4, ""},
		"half a sample at the end":   {file(pcm, chunk("data", 8, four[:7])[:15]), 3, "the file ends before the sound that it promises; it was read as far as it goes"},
		"wrong block size":           {file(chunk("fmt ", 16, wrongBlock), chunk("data", 8, four)), 4, "the file says that a frame has 77 bytes; 2 follow from its channels and bits"},
		"extensible":                 {file(chunk("fmt ", 40, extensible(1, subformatTail)), chunk("data", 8, four)), 4, ""},
		"RF64":                       {append([]byte("RF64\xff\xff\xff\xffWAVE"), bytes.Join([][]byte{chunk("ds64", 28, make([]byte, 28)), pcm, chunk("data", 0xFFFFFFFF, four)}, nil)...), 4, ""},
	} {
		c, err := Decode(context.Background(), bytes.NewReader(x.b), Mean)
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		if len(c.Samples) != x.n || c.Samples[0] != 0.5 || c.Samples[1] != -1 || strings.Join(c.Notes, "|") != x.notes {
			t.Errorf("%s: %v with the notes %q, want %d samples and %q", name, c.Samples, c.Notes, x.n, x.notes)
		}
	}
	nan := file(chunk("fmt ", 16, format(3, 1, 48000, 32)), chunk("data", 8, []byte{0, 0, 0xC0, 0x7F, 0, 0, 0, 0x3F}))
	c, err := Decode(context.Background(), bytes.NewReader(nan), Mean)
	if err != nil || c.Samples[0] != 0 || c.Samples[1] != 0.5 || len(c.Notes) != 1 {
		t.Errorf("a sample that is no number: %+v, %v", c, err)
	}
}

// endless is a file that never ends.
type endless struct{ n int64 }

func (e *endless) Read(p []byte) (int, error) { e.n += int64(len(p)); return len(p), nil }

// TestRefused reads what cannot be used; each is a sentence.
func TestRefused(t *testing.T) {
	pcm := chunk("fmt ", 16, format(1, 1, 8000, 8))
	for name, x := range map[string]struct {
		b    []byte
		want string
	}{
		"empty":             {nil, "the file is empty"},
		"text":              {[]byte("just a letter to the editor"), "neither a WAV nor a FLAC"},
		"no sound":          {file(pcm, chunk("data", 0, nil)), "it holds no sound"},
		"no format":         {file(chunk("data", 8, four)), "before its format"},
		"cut in the head":   {file(pcm)[:20], "ends before its sound begins"},
		"huge format":       {file(chunk("fmt ", 1<<30, format(1, 1, 8000, 8))), "damaged"},
		"compressed":        {file(chunk("fmt ", 16, format(85, 2, 44100, 16)), chunk("data", 8, four)), "format 85"},
		"12 bit":            {file(chunk("fmt ", 16, format(1, 1, 48000, 12)), chunk("data", 8, four)), "12 bit"},
		"no channels":       {file(chunk("fmt ", 16, format(1, 0, 48000, 16)), chunk("data", 8, four)), "0 channels"},
		"too many channels": {file(chunk("fmt ", 16, format(1, 99, 48000, 16)), chunk("data", 8, four)), "99 channels"},
		"no rate":           {file(chunk("fmt ", 16, format(1, 1, 0, 16)), chunk("data", 8, four)), "0 samples a second"},
		"wild rate":         {file(chunk("fmt ", 16, format(1, 1, 1<<30, 16)), chunk("data", 8, four)), "samples a second"},
		"other subformat":   {file(chunk("fmt ", 40, extensible(1, make([]byte, 14))), chunk("data", 8, four)), "extended format"},
		"FLAC cut short":    {[]byte("fLaC\x00\x00\x00\x22\x10"), "FLAC head"},
	} {
		_, err := Decode(context.Background(), bytes.NewReader(x.b), Mean)
		if err == nil || !strings.Contains(err.Error(), x.want) {
			t.Errorf("%s: %v, want something with %q", name, err, x.want)
		}
	}
	if _, err := Decode(context.Background(), bytes.NewReader(file(pcm, chunk("data", 8, four))), 2); err == nil || !strings.Contains(err.Error(), "no channel 2; it has 1") {
		t.Errorf("the second channel of one: %v", err)
	}
	long := &endless{}
	_, err := Decode(context.Background(), io.MultiReader(bytes.NewReader(file(pcm, chunk("data", 0, nil))), long), Mean)
	if err == nil || !strings.Contains(err.Error(), "longer than 10 minutes") || long.n > 2*MaxSeconds*8000 {
		t.Errorf("a file without an end: %v after %d bytes", err, long.n)
	}
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if _, err := Decode(ctx, bytes.NewReader(file(pcm, chunk("data", 8, four))), Mean); !errors.Is(err, context.Canceled) {
		t.Errorf("cancelled: %v", err)
	}
}

// TestFLACCutShort: what is there of a file is read, and said.
func TestFLACCutShort(t *testing.T) {
	dir := t.TempDir()
	wav, path := filepath.Join(dir, "x.wav"), filepath.Join(dir, "x.flac")
	run(t, "sox", "-R", "-n", "-r", "44100", "-b", "16", wav, "synth", "2", "pluck", "110")
	run(t, "flac", "--silent", "-o", path, wav)
	b, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	c, err := Decode(context.Background(), bytes.NewReader(b[:len(b)/2]), Mean)
	if err != nil {
		t.Fatal(err)
	}
	if len(c.Notes) != 1 || len(c.Samples) < 20000 || len(c.Samples) > 70000 {
		t.Errorf("half a file: %d samples, %q", len(c.Samples), c.Notes)
	}
	b[len(b)/2] ^= 0x55
	if c, err = Decode(context.Background(), bytes.NewReader(b), Mean); err != nil || len(c.Notes) != 1 || len(c.Samples) >= 88200 {
		t.Errorf("a damaged frame: %+v, %v", c, err)
	}
}

// seeds are the committed files that fuzzing starts from.
func seeds(t testing.TB) [][]byte {
	t.Helper()
	names, err := filepath.Glob("testdata/seeds/*")
	if err != nil || len(names) < 6 {
		t.Fatalf("testdata/seeds has %d files: %v", len(names), err)
	}
	var out [][]byte
	for _, n := range names {
		b, err := os.ReadFile(n)
		if err != nil {
			t.Fatal(err)
		}
		out = append(out, b)
	}
	return out
}

func FuzzDecode(f *testing.F) {
	for _, b := range seeds(f) {
		f.Add(b)
	}
	f.Fuzz(func(t *testing.T, b []byte) {
		c, err := Decode(context.Background(), bytes.NewReader(b), Mean)
		if err != nil {
			if strings.ContainsAny(err.Error(), "\n") {
				t.Errorf("the error is no sentence: %q", err)
			}
			return
		}
		if len(c.Samples) == 0 || c.Rate < minFileRate || c.Rate > MaxRate || c.Seconds() > MaxSeconds+1 {
			t.Errorf("%d samples at %d", len(c.Samples), c.Rate)
		}
		for _, v := range c.Samples {
			if v != v || v > 2e6 || v < -2e6 {
				t.Fatalf("a sample is %v", v)
			}
		}
	})
}

func TestSeedsAreRead(t *testing.T) {
	for i, b := range seeds(t) {
		if _, err := Decode(context.Background(), bytes.NewReader(b), Mean); err != nil {
			t.Errorf("seed %d: %v", i, err)
		}
	}
}
