package electronics

import "math"

// Series is a series of preferred values: the figures of one decade, 10 to 99.
type Series []int

// The series of IEC 60063 in which the parts of instruments are made: E6 for
// tolerances of 20 %, E12 for 10 %, E24 for 5 %.
var (
	E6  = Series{10, 15, 22, 33, 47, 68}
	E12 = Series{10, 12, 15, 18, 22, 27, 33, 39, 47, 56, 68, 82}
	E24 = Series{10, 11, 12, 13, 15, 16, 18, 20, 22, 24, 27, 30, 33, 36, 39, 43, 47, 51, 56, 62, 68, 75, 82, 91}
)

// Nearest is the preferred value nearest to v by ratio, in v's unit, and how
// far v is from it: 0.05 for 5 % above. A v that is not above 0 has none: both
// are 0.
func (s Series) Nearest(v float64) (value, off float64) {
	if !(v > 0) || math.IsInf(v, 0) {
		return 0, 0
	}
	decade := int(math.Floor(math.Log10(v)))
	best := math.Inf(1)
	for d := decade - 1; d <= decade+1; d++ {
		for _, m := range s {
			p := scaled(m, d-1)
			if dist := math.Abs(math.Log(v / p)); dist < best {
				best, value = dist, p
			}
		}
	}
	return value, v/value - 1
}

// Has tells whether v is a value of the series; half a per cent is allowed for
// rounding.
func (s Series) Has(v float64) bool {
	p, off := s.Nearest(v)
	return p > 0 && math.Abs(off) < 0.005
}

// scaled is m · 10^d, exact where a decimal figure is.
func scaled(m, d int) float64 {
	if d < 0 {
		return float64(m) / math.Pow10(-d)
	}
	return float64(m) * math.Pow10(d)
}
