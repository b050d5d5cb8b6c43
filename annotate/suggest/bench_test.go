package suggest

import (
	"image"
	"testing"

	"wornwood/annotate/shape"
)

// busy is 4 megapixels of the demo's front: body, hardware, strings and
// backdrop, the busiest that an area can be.
func busy(b *testing.B) (image.Image, []shape.Pt) {
	return readPicture(b, demoDir+"/front.jpg", ""), square(310, 160, 2690, 1840)
}

// BenchmarkFind4MP is the whole search.
func BenchmarkFind4MP(b *testing.B) {
	img, ring := busy(b)
	for b.Loop() {
		if _, err := Find(b.Context(), img, ring, Options{Sensitivity: 0.5}); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkSlider is one move of the slider after the search.
func BenchmarkSlider(b *testing.B) {
	img, ring := busy(b)
	s, err := Prepare(b.Context(), img, ring, Options{})
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		s.At(0.5)
	}
}
