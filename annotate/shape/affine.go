package shape

import "math"

// Affine maps (x, y) to (a x + c y + e, b x + d y + f), its numbers in the
// order a b c d e f that SVG and PDF use.
type Affine [6]float64

// Identity leaves every point where it is.
func Identity() Affine { return Affine{1, 0, 0, 1, 0, 0} }

// Translate moves by d.
func Translate(d Pt) Affine { return Affine{1, 0, 0, 1, d.X, d.Y} }

// Scale multiplies x and y about the origin; a negative factor mirrors.
func Scale(x, y float64) Affine { return Affine{x, 0, 0, y, 0, 0} }

// Rotate turns by the angle in radians about the origin, clockwise as seen.
func Rotate(angle float64) Affine {
	s, c := math.Sincos(angle)
	return Affine{c, s, -s, c, 0, 0}
}

// Apply maps one point.
func (m Affine) Apply(p Pt) Pt {
	return Pt{X: m[0]*p.X + m[2]*p.Y + m[4], Y: m[1]*p.X + m[3]*p.Y + m[5]}
}

// ApplyAll maps each point into a new slice.
func (m Affine) ApplyAll(pts []Pt) []Pt {
	out := make([]Pt, len(pts))
	for i, p := range pts {
		out[i] = m.Apply(p)
	}
	return out
}

// Then is the map that does m first and n after it.
func (m Affine) Then(n Affine) Affine {
	o := n.Apply(Pt{X: m[4], Y: m[5]})
	return Affine{
		n[0]*m[0] + n[2]*m[1], n[1]*m[0] + n[3]*m[1],
		n[0]*m[2] + n[2]*m[3], n[1]*m[2] + n[3]*m[3], o.X, o.Y,
	}
}

// Det is the factor by which areas grow, negative for a mirror.
func (m Affine) Det() float64 { return m[0]*m[3] - m[1]*m[2] }

// Factor is the factor by which lengths grow: exact for a turn and an even
// zoom, the geometric mean of the two directions otherwise.
func (m Affine) Factor() float64 { return math.Sqrt(math.Abs(m.Det())) }

// Inverse undoes m; false when m flattens the plane and cannot be undone.
func (m Affine) Inverse() (Affine, bool) {
	det := m.Det()
	if det == 0 || math.IsNaN(det) || math.IsInf(det, 0) {
		return Affine{}, false
	}
	a, b, c, d := m[3]/det, -m[1]/det, -m[2]/det, m[0]/det
	return Affine{a, b, c, d, -(a*m[4] + c*m[5]), -(b*m[4] + d*m[5])}, true
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
		for j := range s.P {
			s.P[j] = m.Apply(s.P[j])
		}
		out.Segs[i] = s
	}
	return out
}
