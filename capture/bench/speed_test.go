package bench

import (
	"bytes"
	"context"
	"fmt"
	"image"
	"image/jpeg"
	"path/filepath"
	"testing"

	"wornwood/capture/record"
)

// largePhoto is a JPEG of 24 million pixels and about ten megabytes, with the
// detail of grain.
func largePhoto(b *testing.B) []byte {
	b.Helper()
	img := image.NewYCbCr(image.Rect(0, 0, 6000, 4000), image.YCbCrSubsampleRatio420)
	seed := uint32(1)
	for y := range 4000 {
		for x := range 6000 {
			seed = seed*1664525 + 1013904223
			img.Y[y*img.YStride+x] = byte(96 + (x*x/9000+y/20)%64 + int(seed>>27))
		}
	}
	for i := range img.Cb {
		img.Cb[i], img.Cr[i] = byte(110+i%7), byte(150+i%5)
	}
	var buf bytes.Buffer
	if err := jpeg.Encode(&buf, img, &jpeg.Options{Quality: 92}); err != nil {
		b.Fatal(err)
	}
	return buf.Bytes()
}

// BenchmarkImport24MP imports six photos of 24 million pixels: read, hash, read
// the metadata twice, reduce to two previews, store and sync, enter.
func BenchmarkImport24MP(b *testing.B) {
	data := largePhoto(b)
	const n = 6
	for b.Loop() {
		b.StopTimer()
		dir, src := b.TempDir(), b.TempDir()
		for i := range n {
			// A comment behind the first marker makes each a file of its own.
			write(b, filepath.Join(src, fmt.Sprintf("p%d.jpg", i)), append([]byte{0xff, 0xd8, 0xff, 0xfe, 0, 3, byte(i)}, data[2:]...))
		}
		bn, err := Open(filepath.Join(dir, "bench"), Options{Create: true})
		if err != nil {
			b.Fatal(err)
		}
		ex, err := bn.Begin("", record.Intake, larkfoot())
		if err != nil {
			b.Fatal(err)
		}
		b.StartTimer()
		res, err := bn.Import(context.Background(), ex, []string{src}, nil)
		b.StopTimer()
		if err != nil || len(res.Added) != n {
			b.Fatalf("%+v %v", res, err)
		}
		if err := bn.Close(); err != nil {
			b.Fatal(err)
		}
		b.StartTimer()
	}
	b.ReportMetric(float64(b.Elapsed().Milliseconds())/float64(b.N*n), "ms/photo")
	b.ReportMetric(float64(len(data))/1e6, "MB")
}

// BenchmarkEdit saves one mark in an examination that has a hundred: journal,
// sync, index.
func BenchmarkEdit(b *testing.B) {
	bn, err := Open(filepath.Join(b.TempDir(), "bench"), Options{Create: true})
	if err != nil {
		b.Fatal(err)
	}
	defer bn.Close()
	ex, err := bn.Begin("", record.Intake, larkfoot())
	if err != nil {
		b.Fatal(err)
	}
	n := 0
	for b.Loop() {
		n++
		c, err := record.Set(record.MarkTarget(1+n%100), record.Mark{Number: 1 + n%100, Kind: "ding", Note: fmt.Sprint(n)})
		if err == nil {
			err = ex.Do("mark", c)
		}
		if err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkReplay opens an examination of a thousand edits.
func BenchmarkReplay(b *testing.B) {
	bn, err := Open(filepath.Join(b.TempDir(), "bench"), Options{Create: true})
	if err != nil {
		b.Fatal(err)
	}
	defer bn.Close()
	ex, err := bn.Begin("", record.Intake, larkfoot())
	if err != nil {
		b.Fatal(err)
	}
	for n := range 1000 {
		c, err := record.Set(record.MarkTarget(1+n%100), record.Mark{Number: 1 + n%100, Kind: "ding", Note: fmt.Sprint(n)})
		if err == nil {
			err = ex.Do("mark", c)
		}
		if err != nil {
			b.Fatal(err)
		}
	}
	for b.Loop() {
		if _, _, err := bn.replay(ex.ID()); err != nil {
			b.Fatal(err)
		}
	}
}
