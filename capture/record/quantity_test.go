package record

import "testing"

// The first rows are the worked roundings of JCGM 100:2008, 7.2.6, as far as
// they are in its words: an uncertainty of 28 kept to two figures there is kept
// to one here, because a buyer reads it. The others are ours.
func TestQuantityInWords(t *testing.T) {
	for _, c := range []struct {
		v, u float64
		want string
	}{
		{100.02147, 0.00035, "100.021 ± 0.000"}, // below what a photo can tell: three places at most
		{10.057, 0.028, "10.06 ± 0.03"},
		{3.1, 0, "3.1"}, {3, 0, "3"}, {3.14159, 0, "3.14"},
		{34.24, 0.4, "34.2 ± 0.4"}, {34.24, 0.14, "34.24 ± 0.14"}, {34.24, 0.196, "34.2 ± 0.2"},
		{342.4, 4, "342 ± 4"}, {342.4, 1.4, "342.4 ± 1.4"}, {342.4, 40, "342 ± 40"},
	} {
		if got := (Quantity{Value: c.v, Uncertainty: c.u}).String(); got != c.want {
			t.Errorf("%v ± %v: %q, want %q", c.v, c.u, got, c.want)
		}
	}
}

func TestSizeInWords(t *testing.T) {
	q := func(v, u float64) *Quantity { return &Quantity{Value: v, Uncertainty: u} }
	for want, m := range map[string]Mark{
		"":             {},
		"3.1 ± 0.2 mm": {Length: q(3.1, 0.2)},
		"14 × 3 mm":    {Length: q(14, 0), Width: q(3, 0)},
		"40.0 ± 0.3 × 20.0 ± 0.2 mm, 640 ± 12 mm²": {Length: q(40, 0.3), Width: q(20, 0.2), Area: q(640, 12)},
		"120.0 ± 1.2 mm, 88.0 ± 0.9 cm²":           {Length: q(120, 1.2), Area: q(8800, 90)},
	} {
		if got := m.Size(); got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
}
