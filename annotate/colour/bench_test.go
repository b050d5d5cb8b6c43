package colour

import (
	"testing"

	"wornwood/capture/reduce"
)

// BenchmarkOpen24 opens a linear PNG of 24 megapixels and 16 bits: the slowest
// and largest of ordinary originals.
func BenchmarkOpen24(b *testing.B) {
	data := flat(6000, 4000, Linear{0.2, 0.1, 0.05}).linearPNG(b)
	b.ReportAllocs()
	b.ResetTimer()
	for range b.N {
		if _, err := Open(data, 6, reduce.Limits{}); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkReadAndCompare reads three patches of 40,000 pixels and compares.
func BenchmarkReadAndCompare(b *testing.B) {
	m := flat(200, 200, Linear{0.2, 0.1, 0.05}).eight()
	for range b.N {
		x, err := Read(m, box(0, 0, 200, 200))
		if err != nil {
			b.Fatal(err)
		}
		y, _ := Read(m, box(0, 0, 200, 200))
		z, _ := Read(m, box(0, 0, 200, 200))
		if _, err := Compare(x, y, &z, Options{}); err != nil {
			b.Fatal(err)
		}
	}
}
