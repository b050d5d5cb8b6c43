package shape

import "math"

// Area is the enclosed area by the even-odd rule, exact on the curves: Green's
// theorem, one half of the integral of x dy - y dx, in closed form for a cubic
// in Bernstein form. Rings must not cross themselves or each other; a ring
// inside another is a hole.
func (a Path) Area() float64 {
	rings := a.Rings(true)
	total := 0.0
	for i, ring := range rings {
		area := math.Abs(ringArea(ring))
		for j, other := range rings {
			if j != i && FromCurves(other, true).Contains(ring[0].At(0.5)) {
				area = -area
			}
		}
		total += area
	}
	return total
}

// ringArea is the signed area of one closed ring, positive when it runs
// clockwise as seen (Y down).
func ringArea(ring []Curve) float64 {
	if len(ring) == 0 {
		return 0
	}
	// Taken about the ring's own start: far from the origin the products
	// would cancel and cost digits.
	o := ring[0].P[0]
	sum := 0.0
	for _, c := range ring {
		p := c.P
		for i := range p {
			p[i] = Sub(p[i], o)
		}
		if c.Straight {
			sum += Cross(p[0], p[3]) / 2
			continue
		}
		sum += (6*Cross(p[0], p[1]) + 3*Cross(p[0], p[2]) + Cross(p[0], p[3]) +
			3*Cross(p[1], p[2]) + 3*Cross(p[1], p[3]) + 6*Cross(p[2], p[3])) / 20
	}
	return sum
}

// PolygonArea is the area of the closed ring of points, never negative, by the
// shoelace formula. A ring that crosses itself counts its loops against each
// other by their direction.
func PolygonArea(ring []Pt) float64 { return math.Abs(SignedArea(ring)) }

// SignedArea is the area of the closed ring of points, positive when it runs
// clockwise as seen and negative the other way round.
func SignedArea(ring []Pt) float64 {
	sum := 0.0
	for i := 1; i+1 < len(ring); i++ {
		sum += Cross(Sub(ring[i], ring[0]), Sub(ring[i+1], ring[0]))
	}
	return sum / 2
}

// Centroid is the centre of gravity of the ring's area; for a ring without
// area, of its points. The zero Pt when there are none.
func Centroid(ring []Pt) Pt {
	if len(ring) == 0 {
		return Pt{}
	}
	var weighted, mean Pt
	total := 0.0
	for i, p := range ring {
		mean = Add(mean, Mul(p, 1/float64(len(ring))))
		q := ring[(i+1)%len(ring)]
		a, b := Sub(p, ring[0]), Sub(q, ring[0])
		w := Cross(a, b)
		total += w
		weighted = Add(weighted, Mul(Add(a, b), w/3))
	}
	box := RectAround(ring...)
	if math.Abs(total) <= 1e-12*(box.Dx()*box.Dx()+box.Dy()*box.Dy()) {
		return mean
	}
	return Add(ring[0], Mul(weighted, 1/total))
}

// PolylineLength is the length of the open line through the points.
func PolylineLength(line []Pt) float64 {
	sum := 0.0
	for i := 1; i < len(line); i++ {
		sum += Dist(line[i-1], line[i])
	}
	return sum
}

// PointInPolygon says whether p is inside the closed ring by the even-odd
// rule. A point on an edge shared by two rings belongs to one of them.
func PointInPolygon(p Pt, ring []Pt) bool {
	inside := false
	for i, q := range ring {
		if edgeCrossed(p, q, ring[(i+1)%len(ring)]) {
			inside = !inside
		}
	}
	return inside
}

// ClosestPoint is the point of the open line that is nearest to p, and the
// length along the line up to it. A single point is a line of length zero; no
// points give p itself.
func ClosestPoint(p Pt, line []Pt) (Pt, float64) {
	if len(line) == 0 {
		return p, 0
	}
	best, bestAt := line[0], 0.0
	run := 0.0
	for i := 1; i < len(line); i++ {
		a, b := line[i-1], line[i]
		d := Sub(b, a)
		length := math.Hypot(d.X, d.Y)
		if length > 0 {
			t := math.Max(0, math.Min(1, Dot(Sub(p, a), d)/(length*length)))
			if q := Lerp(a, b, t); Dist(p, q) < Dist(p, best) {
				best, bestAt = q, run+t*length
			}
		}
		run += length
	}
	return best, bestAt
}

// DistToPolyline is the distance from p to the open line through the points,
// +Inf when there are none.
func DistToPolyline(p Pt, line []Pt) float64 {
	if len(line) == 0 {
		return math.Inf(1)
	}
	q, _ := ClosestPoint(p, line)
	return Dist(p, q)
}
