//go:build unix

package reduce

import (
	"bytes"
	"context"
	"image"
	"image/jpeg"
	"syscall"
	"testing"

	"golang.org/x/image/draw"
)

func BenchmarkPreviews24MP(b *testing.B) {
	data := photo24()
	b.ReportAllocs()
	before := cpuTime(b)
	for b.Loop() {
		if _, _, err := Previews(context.Background(), data, 6, []int{2048, 320}, 85, Limits{}); err != nil {
			b.Fatal(err)
		}
	}
	b.ReportMetric((cpuTime(b)-before)/float64(b.N), "cpu-ms/op")
	b.ReportMetric(float64(len(data))/1e6, "MB-file")
}

// cpuTime is the processor time this process has used, in milliseconds: on a busy machine it says more than the clock.
func cpuTime(b *testing.B) float64 {
	var u syscall.Rusage
	if err := syscall.Getrusage(syscall.RUSAGE_SELF, &u); err != nil {
		b.Fatal(err)
	}
	return float64(u.Utime.Nano()+u.Stime.Nano()) / 1e6
}

// BenchmarkStdlib does the same work with the standard decoder and encoder and x/image's approximate scaler.
func BenchmarkStdlib(b *testing.B) {
	data := photo24()
	b.ReportAllocs()
	before := cpuTime(b)
	for b.Loop() {
		img, err := jpeg.Decode(bytes.NewReader(data))
		if err != nil {
			b.Fatal(err)
		}
		for _, r := range []image.Rectangle{image.Rect(0, 0, 2048, 1365), image.Rect(0, 0, 320, 213)} {
			small := image.NewRGBA(r)
			draw.ApproxBiLinear.Scale(small, r, img, img.Bounds(), draw.Src, nil)
			if err := jpeg.Encode(new(bytes.Buffer), small, &jpeg.Options{Quality: 85}); err != nil {
				b.Fatal(err)
			}
			img = small
		}
	}
	b.ReportMetric((cpuTime(b)-before)/float64(b.N), "cpu-ms/op")
}

func BenchmarkDecode24MP(b *testing.B) {
	data := photo24()
	b.ReportAllocs()
	for b.Loop() {
		if _, _, err := Decode(data, Limits{}); err != nil {
			b.Fatal(err)
		}
	}
}
