package measure

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"

	"wornwood/annotate/shape"
)

// RobustHomography is Homography without the points that do not fit it: those
// more than limit pixels off. It tries the maps through four points at a time
// (all of them, or 150 drawn with a fixed seed), keeps the one with the least
// median distance, and refines it on the points that fit (Rousseeuw's least
// median of squares; Hartley and Zisserman, section 4.7). fits says for each point whether it was used.
// It needs six points, and all but a few of them right: with five, the four that a map
// goes through exactly can hide the wild one.
func RobustHomography(plane, photo []shape.Pt, limit float64) (h [9]float64, fits []bool, err error) {
	if err := checkPairs(plane, photo); err != nil {
		return h, nil, err
	}
	n := len(plane)
	if n < 6 {
		return h, nil, fmt.Errorf("with %d points no wild one can be told from the others: give 6 or more", n)
	}
	best := math.Inf(1)
	for _, four := range fours(n) {
		g, ok := through(plane, photo, four)
		if !ok {
			continue
		}
		if m := medianOff(g, plane, photo); m < best {
			best, h = m, g
		}
	}
	if math.IsInf(best, 1) {
		return h, nil, fmt.Errorf("all points but one lie on one line: give four of which no three do")
	}
	// Wider at first, because a map through four clicks carries their noise.
	for _, wide := range []float64{2.5, 1, 1, 1} {
		use := within(h, plane, photo, max(limit*wide, 1e-9))
		if len(use) <= n/2 || len(use) < 4 {
			return h, nil, fmt.Errorf("too few points agree with each other: check that each was clicked where its name says")
		}
		if h, err = homographyOf(plane, photo, use, true); err != nil {
			return h, nil, err
		}
	}
	fits = make([]bool, n)
	for _, i := range within(h, plane, photo, max(limit, 1e-9)) {
		fits[i] = true
	}
	return h, fits, nil
}

// fours are the choices of four of n points to try.
func fours(n int) [][4]int {
	var out [][4]int
	if n <= 9 { // at most 126
		for a := 0; a < n; a++ {
			for b := a + 1; b < n; b++ {
				for c := b + 1; c < n; c++ {
					for d := c + 1; d < n; d++ {
						out = append(out, [4]int{a, b, c, d})
					}
				}
			}
		}
		return out
	}
	r := rand.New(rand.NewPCG(4, uint64(n)))
	for len(out) < 150 {
		p := r.Perm(n)
		out = append(out, [4]int{p[0], p[1], p[2], p[3]})
	}
	return out
}

// through is the homography through four points exactly: over the one that takes the
// corners of the projective plane's basis there (Hartley and Zisserman, section 2.4.7 has
// the like). It is false where three of the points lie on one line.
func through(plane, photo []shape.Pt, four [4]int) ([9]float64, bool) {
	a, okA := basis(plane, four)
	b, okB := basis(photo, four)
	if !okA || !okB {
		return [9]float64{}, false
	}
	inv, _ := adjugate(a)
	return mul3(b, inv), true
}

// basis takes (1,0,0), (0,1,0), (0,0,1) and (1,1,1) to the four points.
func basis(pts []shape.Pt, four [4]int) ([9]float64, bool) {
	p, q, r, s := pts[four[0]], pts[four[1]], pts[four[2]], pts[four[3]]
	m := [9]float64{p.X, q.X, r.X, p.Y, q.Y, r.Y, 1, 1, 1}
	inv, det := adjugate(m)
	size := math.Abs(shape.Side(p, q, s)) + math.Abs(shape.Side(q, r, s)) + math.Abs(shape.Side(r, p, s))
	if !(math.Abs(det) > 1e-6*size) {
		return m, false
	}
	for j := range 3 {
		k := inv[3*j]*s.X + inv[3*j+1]*s.Y + inv[3*j+2]
		if !(math.Abs(k) > 1e-6*size) {
			return m, false
		}
		for i := range 3 {
			m[3*i+j] *= k
		}
	}
	return m, true
}

// adjugate is the inverse times the determinant.
func adjugate(m [9]float64) ([9]float64, float64) {
	a := [9]float64{
		m[4]*m[8] - m[5]*m[7], m[2]*m[7] - m[1]*m[8], m[1]*m[5] - m[2]*m[4],
		m[5]*m[6] - m[3]*m[8], m[0]*m[8] - m[2]*m[6], m[2]*m[3] - m[0]*m[5],
		m[3]*m[7] - m[4]*m[6], m[1]*m[6] - m[0]*m[7], m[0]*m[4] - m[1]*m[3],
	}
	return a, m[0]*a[0] + m[1]*a[3] + m[2]*a[6]
}

// medianOff is the median distance in the photo, that of the fifth nearest point where
// there are few: four lie on the map that was made of them.
func medianOff(h [9]float64, plane, photo []shape.Pt) float64 {
	off := make([]float64, len(plane))
	for i := range plane {
		off[i] = math.Inf(1)
		if q, ok := Project(h, plane[i]); ok {
			off[i] = shape.Dist(q, photo[i])
		}
	}
	slices.Sort(off)
	return off[max(len(off)/2, 4)]
}

// within are the points no more than limit off.
func within(h [9]float64, plane, photo []shape.Pt, limit float64) []int {
	var use []int
	for i := range plane {
		if q, ok := Project(h, plane[i]); ok && shape.Dist(q, photo[i]) <= limit {
			use = append(use, i)
		}
	}
	return use
}

// farthestOff is the largest distance in the photo.
func farthestOff(h [9]float64, plane, photo []shape.Pt) float64 {
	far := 0.0
	for i := range plane {
		q, ok := Project(h, plane[i])
		if !ok {
			return math.Inf(1)
		}
		far = max(far, shape.Dist(q, photo[i]))
	}
	return far
}
