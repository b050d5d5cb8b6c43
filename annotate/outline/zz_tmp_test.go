package outline

import (
	"testing"

	"pgregory.net/rapid"
)

func TestZZ(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		class := rapid.SampledFrom([]string{"solid-body offset-waist", "solid-body angular", "lap steel", "electric bass long-horn", "electric bass rounded"}).Draw(t, "class")
		lo, hi := ScaleRange(class)
		p := Params{Class: class,
			ScaleLength: rapid.Float64Range(lo, hi).Draw(t, "scale"),
			Frets:       rapid.IntRange(1, 36).Draw(t, "frets"),
			Strings:     rapid.IntRange(1, 12).Draw(t, "strings"),
			LeftHanded:  rapid.Bool().Draw(t, "left"),
			BodyScale:   rapid.Float64Range(0.8, 1.3).Draw(t, "body"),
		}
		d := drawing(t, p)
		for i := range d.Sides {
			checkInside(t, &d.Sides[i])
		}
	})
}
