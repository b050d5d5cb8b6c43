package suggest

import (
	"math"
	"slices"

	"wornwood/annotate/shape"
)

// Strings, binding, the edges of guard and body and the reflections along them
// are thin lines too, but they were drawn with a ruler or a bending batten. A
// check wanders: over a hundred pixels it leaves the best parabola by more.
const (
	ruledWindow = 100.0 // pixels of length
	ruledStray  = 0.36  // pixels, root mean square
	ruledNear   = 8.0   // pixels: what lies so near to a ruled line belongs to it
)

// ruled says whether most of a line follows a ruler or a batten. A line shorter
// than the window cannot be told and is not.
func (s stretch) ruled() bool {
	var strays []float64
	start, run := 0, 0.0
	for i := 1; i < len(s.at); i++ {
		if run += shape.Dist(s.at[i-1], s.at[i]); run < ruledWindow {
			continue
		}
		strays = append(strays, stray(s.at[start:i+1]))
		for ; start < i && run > ruledWindow/2; start++ {
			run -= shape.Dist(s.at[start], s.at[start+1])
		}
	}
	if len(strays) == 0 {
		return false
	}
	slices.Sort(strays)
	return strays[(3*len(strays)-1)/4] < ruledStray
}

// stray is the root mean square distance of points from the parabola that fits
// them best, over their chord.
func stray(pts []shape.Pt) float64 {
	a, b := pts[0], pts[len(pts)-1]
	l := shape.Dist(a, b)
	if l < ruledWindow/4 {
		return math.Inf(1)
	}
	c, s := (b.X-a.X)/l, (b.Y-a.Y)/l
	var m [3][4]float64 // normal equations of 1, x, x squared
	xs, ys := make([]float64, len(pts)), make([]float64, len(pts))
	for i, p := range pts {
		d := shape.Sub(p, a)
		x, y := 2*(d.X*c+d.Y*s)/l-1, d.Y*c-d.X*s
		xs[i], ys[i] = x, y
		pow := [3]float64{1, x, x * x}
		for j := range 3 {
			for k := range 3 {
				m[j][k] += pow[j] * pow[k]
			}
			m[j][3] += pow[j] * y
		}
	}
	k := solve3(m)
	sum := 0.0
	for i, x := range xs {
		sum += sq(ys[i] - k[0] - k[1]*x - k[2]*x*x)
	}
	return math.Sqrt(sum / float64(len(pts)))
}

// solve3 solves a positive definite system by elimination.
func solve3(m [3][4]float64) (x [3]float64) {
	for i := range 3 {
		for j := i + 1; j < 3; j++ {
			f := m[j][i] / m[i][i]
			for k := i; k < 4; k++ {
				m[j][k] -= f * m[i][k]
			}
		}
	}
	for i := 2; i >= 0; i-- {
		v := m[i][3]
		for k := i + 1; k < 3; k++ {
			v -= m[i][k] * x[k]
		}
		x[i] = v / m[i][i]
	}
	return x
}

// rulings is where ruled lines run.
type rulings struct {
	*trail
	lines int
}

// dropRuled leaves out ruled lines and what lies along them.
func dropRuled(all []stretch) (rest []stretch, ruled rulings) {
	ruled.trail = newTrail(ruledNear)
	for _, s := range all {
		if s.ruled() {
			ruled.add(s.at)
			ruled.lines++
		}
	}
	for _, s := range all {
		if ruled.share(s.at) < 0.5 {
			rest = append(rest, s)
		}
	}
	return rest, ruled
}
