package bench

import (
	"bytes"
	"context"
	"fmt"
	"image"
	"image/color"
	"image/jpeg"
	"os"
	"path/filepath"
	"testing"
	"time"

	"wornwood/capture/record"
)

// clock is a clock that moves a second at every look.
type clock struct{ t time.Time }

func (c *clock) now() time.Time { c.t = c.t.Add(time.Second); return c.t }

func newClock() *clock {
	return &clock{time.Date(2026, 3, 14, 9, 0, 0, 0, time.FixedZone("", 3600))}
}

// counter gives bytes that never repeat, for IDs that are the same in every run.
type counter struct{ n uint64 }

func (c *counter) Read(p []byte) (int, error) {
	for i := range p {
		c.n = c.n*6364136223846793005 + 1442695040888963407
		p[i] = byte(c.n >> 56)
	}
	return len(p), nil
}

func open(t *testing.T, dir string) *Bench {
	t.Helper()
	b, err := Open(dir, Options{Now: newClock().now, Rand: &counter{n: uint64(len(dir))}, Create: true})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if err := b.Close(); err != nil {
			t.Error(err)
		}
	})
	return b
}

func larkfoot() record.Instrument {
	return record.Instrument{Class: "solid-body double-cutaway", Maker: "Halden & Rowe", Model: "Larkfoot Standard", Year: "1974", Serial: "41873", Colour: "sunburst"}
}

func begin(t *testing.T, b *Bench) *Exam {
	t.Helper()
	ex, err := b.Begin("", record.Intake, larkfoot())
	if err != nil {
		t.Fatal(err)
	}
	return ex
}

// jpegOf makes a small picture that differs by n.
func jpegOf(t testing.TB, n int) []byte {
	t.Helper()
	img := image.NewRGBA(image.Rect(0, 0, 60, 40))
	for i := range img.Pix {
		img.Pix[i] = byte(i * (n + 3) / 7)
	}
	img.Set(n%60, n%40, color.White)
	var buf bytes.Buffer
	if err := jpeg.Encode(&buf, img, nil); err != nil {
		t.Fatal(err)
	}
	// A comment segment makes the content unlike any other, whatever the pixels are.
	text := fmt.Sprintf("photo %d", n)
	com := append([]byte{0xff, 0xfe, 0, byte(len(text) + 2)}, text...)
	return append(append([]byte{0xff, 0xd8}, com...), buf.Bytes()[2:]...)
}

func writePhotos(t *testing.T, n int) (dir string) {
	t.Helper()
	dir = t.TempDir()
	for i := range n {
		write(t, filepath.Join(dir, fmt.Sprintf("p%03d.jpg", i)), jpegOf(t, i))
	}
	return dir
}

func write(t testing.TB, path string, data []byte) {
	t.Helper()
	if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(path, data, 0o644); err != nil {
		t.Fatal(err)
	}
}

func clean(t *testing.T, b *Bench) {
	t.Helper()
	found, err := b.Check(context.Background(), nil)
	if err != nil || len(found) > 0 {
		t.Fatalf("check found %v, %v", found, err)
	}
}

func TestWholeWay(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "bench")
	b := open(t, dir)
	ex := begin(t, b)
	res, err := b.Import(context.Background(), ex, []string{writePhotos(t, 5)}, nil)
	if err != nil || len(res.Added) != 5 || len(res.Known)+len(res.Refused) != 0 {
		t.Fatalf("%+v, %v", res, err)
	}
	for i, p := range ex.Record().Photos {
		got, err := b.OriginalBytes(p.ID)
		if err != nil || !bytes.Equal(got, jpegOf(t, i)) {
			t.Fatalf("photo %d is not the original byte for byte: %v", i, err)
		}
		for _, size := range []int{2048, 320} {
			pre, err := b.Preview(p.ID, size)
			if err != nil {
				t.Fatal(err)
			}
			if c, err := jpeg.DecodeConfig(bytes.NewReader(pre)); err != nil || c.Width != 60 || c.Height != 40 {
				t.Fatalf("preview %dx%d, %v", c.Width, c.Height, err)
			}
		}
	}
	rows, err := b.Search("lark")
	if err != nil || len(rows) != 1 || rows[0].Photos != 5 {
		t.Fatalf("%+v, %v", rows, err)
	}
	clean(t, b)
}
