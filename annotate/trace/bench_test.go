package trace

import (
	"context"
	"image/color"
	"math/rand/v2"
	"testing"
)

func BenchmarkSilhouetteCanvas(b *testing.B) {
	s := stamps(b)[1]
	rnd := rand.New(rand.NewPCG(1, 2))
	img := s.over(graded(s.w, s.h, color.RGBA{196, 198, 200, 255}, rnd), 2, rnd)
	b.ResetTimer()
	for b.Loop() {
		if _, err := Silhouette(context.Background(), img, Options{}); err != nil {
			b.Fatal(err)
		}
	}
}
