package sound

import (
	"bytes"
	"context"
	"encoding/binary"
	"errors"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
)

// run runs an outside tool that has to be there.
func run(t *testing.T, name string, args ...string) []byte {
	t.Helper()
	c := exec.Command(name, args...)
	var out, errs bytes.Buffer
	c.Stdout, c.Stderr = &out, &errs
	if err := c.Run(); err != nil {
		t.Fatalf("%s %s: %v: %s", name, strings.Join(args, " "), err, errs.String())
	}
	return out.Bytes()
}

// judge is what sox says a file holds: doubles of all channels, interleaved.
func judge(t *testing.T, path string) []float64 {
	t.Helper()
	b := run(t, "sox", path, "-t", "raw", "-e", "float", "-b", "64", "-L", "-")
	out := make([]float64, len(b)/8)
	for i := range out {
		out[i] = math.Float64frombits(binary.LittleEndian.Uint64(b[8*i:]))
	}
	return out
}

// forms are the kinds of file that have to be read, as sox is told to write
// them, with the size of a quantum.
var forms = []struct {
	name    string
	args    []string
	quantum float64
}{
	{"u8.wav", []string{"-b", "8"}, 1.0 / (1 << 7)},
	{"s16.wav", []string{"-b", "16"}, 1.0 / (1 << 15)},
	{"s24.wav", []string{"-b", "24"}, 1.0 / (1 << 23)},
	{"s32.wav", []string{"-b", "32"}, 1.0 / (1 << 24)}, // a float32 holds 24 bit
	{"f32.wav", []string{"-e", "float", "-b", "32"}, 1.0 / (1 << 23)},
	{"f64.wav", []string{"-e", "float", "-b", "64"}, 1.0 / (1 << 23)},
	{"s8.flac", []string{"-b", "8"}, 1.0 / (1 << 7)},
	{"s16.flac", []string{"-b", "16"}, 1.0 / (1 << 15)},
	{"s24.flac", []string{"-b", "24"}, 1.0 / (1 << 23)},
}

// TestAgainstSox reads files made by sox, of one to six channels, and compares
// every sample with what sox itself reads in them.
func TestAgainstSox(t *testing.T) {
	dir := t.TempDir()
	for _, f := range forms {
		for _, channels := range []int{1, 2, 6} {
			path := filepath.Join(dir, f.name)
			args := append([]string{"-R", "-n", "-r", "44100", "-c", string(rune('0' + channels))}, f.args...)
			args = append(args, path, "synth", "0.5")
			for c := range channels {
				args = append(args, []string{"pluck", "sine", "square", "sine", "pluck", "sawtooth"}[c], []string{"196", "440", "82.4", "1000", "110", "61.7"}[c])
			}
			run(t, "sox", append(args, "gain", "-1")...)
			want := judge(t, path)
			for ch := 0; ch <= channels; ch++ {
				clip, err := Load(context.Background(), path, ch)
				if err != nil {
					t.Fatalf("%s, %d channels: %v", f.name, channels, err)
				}
				compare(t, f.name, clip, want, channels, ch, f.quantum)
			}
		}
	}
}

func compare(t *testing.T, name string, clip *Clip, want []float64, channels, ch int, quantum float64) {
	t.Helper()
	if len(clip.Samples) != len(want)/channels || clip.Rate != 44100 || clip.Channels != channels || int(clip.Frames) != len(clip.Samples) {
		t.Errorf("%s: %d samples at %d of %d channels; sox has %d at 44100 of %d", name, len(clip.Samples), clip.Rate, clip.Channels, len(want)/channels, channels)
		return
	}
	for i, got := range clip.Samples {
		w := 0.0
		if ch == Mean {
			for c := range channels {
				w += want[i*channels+c] / float64(channels)
			}
		} else {
			w = want[i*channels+ch-1]
		}
		if math.Abs(float64(got)-w) > quantum {
			t.Errorf("%s, channel %d of %d, sample %d: %v, sox reads %v", name, ch, channels, i, got, w)
			return
		}
	}
}

// TestAgainstFlac reads files of the reference encoder at its lowest and
// highest compression, with odd block sizes, and compares them with what the
// reference decoder gives.
func TestAgainstFlac(t *testing.T) {
	dir := t.TempDir()
	src := filepath.Join(dir, "src.wav")
	run(t, "sox", "-R", "-n", "-r", "48000", "-c", "2", "-b", "24", src, "synth", "1", "pluck", "147", "pinknoise", "gain", "-3")
	for _, args := range [][]string{{"-0"}, {"-8"}, {"--blocksize=577", "--lax"}, {"--mid-side", "-5"}} {
		path := filepath.Join(dir, "x.flac")
		run(t, "flac", append(append([]string{"--silent", "--force"}, args...), "-o", path, src)...)
		back := filepath.Join(dir, "back.wav")
		run(t, "flac", "--silent", "--force", "--decode", "-o", back, path)
		a, err := Load(context.Background(), path, 2)
		if err != nil {
			t.Fatalf("%v: %v", args, err)
		}
		b, err := Load(context.Background(), back, 2)
		if err != nil {
			t.Fatal(err)
		}
		if len(a.Samples) != 48000 || len(b.Samples) != 48000 {
			t.Fatalf("%v: %d and %d samples, want 48000", args, len(a.Samples), len(b.Samples))
		}
		for i := range a.Samples {
			if a.Samples[i] != b.Samples[i] {
				t.Fatalf("%v: sample %d is %v, the reference decoder gives %v", args, i, a.Samples[i], b.Samples[i])
			}
		}
	}
}

// TestThinned: a file of 192 kHz comes out at 48 kHz; a tone of 1 kHz keeps its
// level within 0.01 dB, one of 60 kHz, which would fold down to 12 kHz, is gone.
func TestThinned(t *testing.T) {
	dir := t.TempDir()
	for _, x := range []struct {
		hz   string
		want float64 // dB below full scale of the sine's RMS
		tol  float64
	}{{"1000", -20*math.Log10(math.Sqrt2) - 6, 0.01}, {"60000", -90, 15}} {
		path := filepath.Join(dir, "x.wav")
		run(t, "sox", "-R", "-r", "192000", "-n", "-b", "24", path, "synth", "1", "sine", x.hz, "gain", "-6")
		c, err := Load(context.Background(), path, 1)
		if err != nil {
			t.Fatal(err)
		}
		if c.Rate != 48000 || len(c.Samples) != 48000 || c.FileRate != 192000 {
			t.Errorf("%s Hz: %d samples at %d of a file at %d", x.hz, len(c.Samples), c.Rate, c.FileRate)
		}
		sum := 0.0
		for _, v := range c.Samples[1000:47000] {
			sum += float64(v) * float64(v)
		}
		got := 10 * math.Log10(sum/46000+1e-12)
		if x.hz == "60000" && got > -80 {
			t.Errorf("60 kHz folded down at %.1f dB", got)
		}
		if x.hz != "60000" && math.Abs(got-x.want) > x.tol {
			t.Errorf("%s Hz has %.3f dB, want %.3f", x.hz, got, x.want)
		}
	}
}

// TestWriteWAV writes as Record does and has sox read it back.
func TestWriteWAV(t *testing.T) {
	samples := []float32{0, 0.5, -0.5, 1, -1, 2, -2, 1e-7, 0.25}
	path := filepath.Join(t.TempDir(), "x.wav")
	f, err := os.Create(path)
	if err != nil {
		t.Fatal(err)
	}
	if err := errors.Join(WriteWAV(f, 48000, samples), f.Close()); err != nil {
		t.Fatal(err)
	}
	if rate := strings.TrimSpace(string(run(t, "soxi", "-r", path))); rate != "48000" {
		t.Errorf("sox reads a rate of %s", rate)
	}
	got := judge(t, path)
	if len(got) != len(samples) {
		t.Fatalf("sox reads %d samples, %d were written", len(got), len(samples))
	}
	for i, s := range samples {
		want := math.Max(-1, math.Min(1, float64(s)))
		if math.Abs(got[i]-want) > 1.0/(1<<23) {
			t.Errorf("sample %d: sox reads %v, %v was written", i, got[i], s)
		}
	}
}
