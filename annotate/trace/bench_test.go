package trace

import (
	"bytes"
	"context"
	"math/rand/v2"
	"testing"
	"time"

	"wornwood/capture/reduce"
)

// A photo of 24 megapixels as its decoder gives it. Decoding is not counted; what it
// takes is shown beside.
func BenchmarkSilhouette24MP(b *testing.B) {
	s := stamps(b, 1000, 1500)[1]
	rnd := rand.New(rand.NewPCG(1, 2))
	small := s.over(graded(s.w, s.h, light, rnd), 2, rnd)
	var file bytes.Buffer
	if err := reduce.EncodeJPEG(&file, reduce.Resample(small, 4000, 6000), 90); err != nil {
		b.Fatal(err)
	}
	start := time.Now()
	img, _, err := reduce.Decode(file.Bytes(), reduce.Limits{})
	if err != nil {
		b.Fatal(err)
	}
	decode := time.Since(start)
	b.ReportAllocs()
	for b.Loop() {
		r, err := Silhouette(context.Background(), img, Options{})
		if err != nil || !r.Reliable {
			b.Fatal(err)
		}
	}
	b.ReportMetric(decode.Seconds()*1000, "ms-to-decode")
}
