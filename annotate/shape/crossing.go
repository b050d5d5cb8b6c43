package shape

import (
	"cmp"
	"math"
	"slices"
)

// Side is positive for a point p clockwise of the line from a to b as seen,
// negative on the other side, 0 on it.
func Side(a, b, p Pt) float64 { return Cross(Sub(b, a), Sub(p, a)) }

// Crosses says whether the segments ab and cd cross, each running on beyond the
// other: ends that only touch do not count.
func Crosses(a, b, c, d Pt) bool {
	return Side(a, b, c)*Side(a, b, d) < 0 && Side(c, d, a)*Side(c, d, b) < 0
}

// Meet is where the segments ab and cd meet, ends included. Parallel ones do
// not.
func Meet(a, b, c, d Pt) (Pt, bool) {
	u, v, w := Sub(b, a), Sub(d, c), Sub(c, a)
	det := Cross(u, v)
	if det == 0 {
		return Pt{}, false
	}
	s, t := Cross(w, v)/det, Cross(w, u)/det
	if !(s >= 0 && s <= 1 && t >= 0 && t <= 1) {
		return Pt{}, false
	}
	return Lerp(a, b, s), true
}

// MeetsItself says where a closed ring of points meets itself other than at the
// ends of neighbouring sides: at one such place, if there are several. The
// sides are swept from left to right.
func MeetsItself(ring []Pt) (Pt, bool) {
	n := len(ring)
	end := func(i int) Pt { return ring[(i+1)%n] }
	left := func(i int) float64 { return math.Min(ring[i].X, end(i).X) }
	right := func(i int) float64 { return math.Max(ring[i].X, end(i).X) }
	order := make([]int, n)
	for i := range order {
		order[i] = i
	}
	slices.SortFunc(order, func(a, b int) int { return cmp.Or(cmp.Compare(left(a), left(b)), cmp.Compare(a, b)) })
	var open []int // sides that reach as far right as the sweep
	for _, i := range order {
		kept := open[:0]
		for _, j := range open {
			if right(j) < left(i) {
				continue
			}
			kept = append(kept, j)
			if (i+1)%n == j || (j+1)%n == i {
				continue
			}
			if p, ok := Meet(ring[i], end(i), ring[j], end(j)); ok {
				return p, true
			}
		}
		open = append(kept, i)
	}
	return Pt{}, false
}
