package trace

import (
	"context"
	"image"
	"image/color"
	"math/rand/v2"
	"testing"

	"wornwood/capture/reduce"
)

// A photo of 24 megapixels as a decoder gives it, on two cores. Decoding is
// not counted.
func BenchmarkSilhouette24MP(b *testing.B) {
	s := stamps(b, 1000, 1500)[1]
	rnd := rand.New(rand.NewPCG(1, 2))
	small := s.over(graded(s.w, s.h, light, rnd), 2, rnd)
	img := image.NewYCbCr(image.Rect(0, 0, 4000, 6000), image.YCbCrSubsampleRatio420)
	toYCbCr(img, reduce.Resample(small, 4000, 6000).(*image.RGBA))
	b.ReportAllocs()
	for b.Loop() {
		if _, err := Silhouette(context.Background(), img, Options{}); err != nil {
			b.Fatal(err)
		}
	}
}

func toYCbCr(dst *image.YCbCr, src *image.RGBA) {
	for y := range src.Rect.Dy() {
		for x := range src.Rect.Dx() {
			p := src.Pix[src.PixOffset(x, y):]
			i, j := dst.YOffset(x, y), dst.COffset(x, y)
			dst.Y[i], dst.Cb[j], dst.Cr[j] = color.RGBToYCbCr(p[0], p[1], p[2])
		}
	}
}
