package outline

import (
	"testing"

	"wornwood/annotate/shape"
)

func BenchmarkNew(b *testing.B) {
	for b.Loop() {
		if _, err := New(Params{}); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkLabels makes the raster of the largest sheet at the default cell.
func BenchmarkLabels(b *testing.B) {
	d, err := New(Params{})
	if err != nil {
		b.Fatal(err)
	}
	s := d.Side(Front)
	for b.Loop() {
		s.label(DefaultCell)
	}
}

func BenchmarkVisibleAreas(b *testing.B) {
	d, err := New(Params{})
	if err != nil {
		b.Fatal(err)
	}
	s := d.Side(Front)
	for b.Loop() {
		s.visibleAreas()
	}
}

func BenchmarkRegionAt(b *testing.B) {
	d, err := New(Params{})
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		d.RegionAt(Front, shape.Pt{X: -100, Y: 600})
	}
}
