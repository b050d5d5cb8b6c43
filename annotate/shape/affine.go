package shape

import "math"

// Affine maps (x, y) to (a0 x + a1 y + a2, a3 x + a4 y + a5): the two rows of
// the matrix one after the other.
type Affine [6]float64

// Identity leaves every point where it is.
func Identity() Affine { return Affine{1, 0, 0, 0, 1, 0} }

// Translate moves by d.
func Translate(d Pt) Affine { return Affine{1, 0, d.X, 0, 1, d.Y} }

// Scale multiplies x and y about the origin; a negative factor mirrors.
func Scale(x, y float64) Affine { return Affine{x, 0, 0, 0, y, 0} }

// Rotate turns by the angle in radians about the origin, clockwise as seen.
func Rotate(angle float64) Affine {
	s, c := math.Sincos(angle)
	return Affine{c, -s, 0, s, c, 0}
}

// Apply maps one point.
func (m Affine) Apply(p Pt) Pt {
	return Pt{X: m[0]*p.X + m[1]*p.Y + m[2], Y: m[3]*p.X + m[4]*p.Y + m[5]}
}

// ApplyAll maps each point into a new slice.
func (m Affine) ApplyAll(pts []Pt) []Pt {
	out := make([]Pt, len(pts))
	for i, p := range pts {
		out[i] = m.Apply(p)
	}
	return out
}

// Mul is the matrix product m n: the map that does n first and m after it.
func (m Affine) Mul(n Affine) Affine {
	return Affine{
		m[0]*n[0] + m[1]*n[3], m[0]*n[1] + m[1]*n[4], m[0]*n[2] + m[1]*n[5] + m[2],
		m[3]*n[0] + m[4]*n[3], m[3]*n[1] + m[4]*n[4], m[3]*n[2] + m[4]*n[5] + m[5],
	}
}

// Then is the map that does m first and n after it.
func (m Affine) Then(n Affine) Affine { return n.Mul(m) }

// Det is the factor by which areas grow, negative for a mirror.
func (m Affine) Det() float64 { return m[0]*m[4] - m[1]*m[3] }

// Factor is the factor by which lengths grow: exact for a turn and an even
// zoom, the geometric mean of the two directions otherwise.
func (m Affine) Factor() float64 { return math.Sqrt(math.Abs(m.Det())) }

// Inverse undoes m. A map that flattens the plane (Det 0) cannot be undone and
// gives the zero Affine; what Fit and ZoomAbout make can always be undone.
func (m Affine) Inverse() Affine {
	det := m.Det()
	if det == 0 || math.IsNaN(det) || math.IsInf(det, 0) {
		return Affine{}
	}
	a, b, c, d := m[4]/det, -m[1]/det, -m[3]/det, m[0]/det
	return Affine{a, b, -(a*m[2] + b*m[5]), c, d, -(c*m[2] + d*m[5])}
}

// ZoomAbout is m followed by a zoom by the factor that keeps the point at of
// the view where it is: what a wheel does about the cursor.
func (m Affine) ZoomAbout(at Pt, factor float64) Affine {
	return m.Then(Translate(Mul(at, -1))).Then(Scale(factor, factor)).Then(Translate(at))
}

// Fit maps the rectangle from into the rectangle into: as large as goes with
// equal factors for x and y and the margin free on every side, centred. An
// empty rectangle gives the identity.
func Fit(from, into Rect, margin float64) Affine {
	room := into.Grow(-margin)
	if from.Empty() || room.Empty() {
		return Identity()
	}
	k := math.Min(room.Dx()/from.Dx(), room.Dy()/from.Dy())
	return Translate(Mul(from.Center(), -1)).Then(Scale(k, k)).Then(Translate(room.Center()))
}

// Transform is the path with every point mapped by m. An affine map of a
// Bezier's controls maps the curve itself.
func (a Path) Transform(m Affine) Path {
	out := Path{Segs: make([]Seg, len(a.Segs))}
	for i, s := range a.Segs {
		used := [...]int{Move: 1, Line: 1, Cubic: 3, Close: 0}[s.Op]
		for j := range used {
			s.P[j] = m.Apply(s.P[j])
		}
		out.Segs[i] = s
	}
	return out
}
