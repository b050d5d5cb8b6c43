package trace

import (
	"math"

	"wornwood/annotate/shape"
)

// A corner turns by more than cornerTurn (radians) over two arms, and over
// half arms by most of that: a tight curve turns by half as much there.
const (
	cornerTurn = 0.9
	cornerHeld = 0.75
)

// corners marks the samples of an even closed ring where it has a true corner.
func corners(pts []shape.Pt, arm int) []bool {
	n := len(pts)
	long := make([]float64, n)
	for i := range pts {
		long[i] = math.Abs(turnAt(pts, i, 2*arm))
	}
	out := make([]bool, n)
	for i, v := range long {
		if v < cornerTurn || math.Abs(turnAt(pts, i, arm)) < cornerHeld*v {
			continue
		}
		most := true
		for k := -2 * arm; k <= 2*arm && most; k++ {
			j := ((i+k)%n + n) % n
			most = long[j] < v || long[j] == v && j >= i
		}
		out[i] = most
	}
	return out
}

// turnAt is the angle by which the ring turns at sample i, between the chords over so
// many samples before it and after it.
func turnAt(pts []shape.Pt, i, arm int) float64 {
	n := len(pts)
	a := shape.Sub(pts[i], pts[((i-arm)%n+n)%n])
	b := shape.Sub(pts[(i+arm)%n], pts[i])
	return math.Atan2(shape.Cross(a, b), shape.Dot(a, b))
}
