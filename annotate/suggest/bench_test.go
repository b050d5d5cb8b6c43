package suggest

import (
	"image"
	"testing"

	"wornwood/annotate/shape"
)

// BenchmarkFind4MP searches 4 megapixels of the demo's front: body, hardware,
// strings and backdrop, the busiest that an area can be.
func BenchmarkFind4MP(b *testing.B) {
	src := readPicture(b, demoDir+"/front.jpg", "")
	full := src.(*image.YCbCr).SubImage(image.Rect(300, 150, 2700, 1816))
	r := full.Bounds()
	ring := []shape.Pt{{X: float64(r.Min.X), Y: float64(r.Min.Y)}, {X: float64(r.Max.X), Y: float64(r.Min.Y)},
		{X: float64(r.Max.X), Y: float64(r.Max.Y)}, {X: float64(r.Min.X), Y: float64(r.Max.Y)}}
	for b.Loop() {
		if _, err := Find(b.Context(), full, ring, Options{Sensitivity: 0.5}); err != nil {
			b.Fatal(err)
		}
	}
}
