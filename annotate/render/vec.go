package render

import "math"

// vec is a point or direction in millimetres: x right as seen from the front,
// y along the strings from the nut, z out of the body's front face.
type vec struct{ X, Y, Z float64 }

func (a vec) add(b vec) vec     { return vec{a.X + b.X, a.Y + b.Y, a.Z + b.Z} }
func (a vec) sub(b vec) vec     { return vec{a.X - b.X, a.Y - b.Y, a.Z - b.Z} }
func (a vec) mul(s float64) vec { return vec{a.X * s, a.Y * s, a.Z * s} }
func (a vec) dot(b vec) float64 { return a.X*b.X + a.Y*b.Y + a.Z*b.Z }
func (a vec) len() float64      { return math.Sqrt(a.dot(a)) }

func (a vec) at(i int) float64 {
	switch i {
	case 0:
		return a.X
	case 1:
		return a.Y
	}
	return a.Z
}

func (a vec) unit() vec {
	l := a.len()
	if l == 0 {
		return vec{0, 0, 1}
	}
	return a.mul(1 / l)
}

func (a vec) cross(b vec) vec {
	return vec{a.Y*b.Z - a.Z*b.Y, a.Z*b.X - a.X*b.Z, a.X*b.Y - a.Y*b.X}
}

// reflect mirrors the travelling direction a at a surface with normal n.
func (a vec) reflect(n vec) vec { return a.sub(n.mul(2 * a.dot(n))) }

func (a vec) min(b vec) vec {
	return vec{min(a.X, b.X), min(a.Y, b.Y), min(a.Z, b.Z)}
}

func (a vec) max(b vec) vec {
	return vec{max(a.X, b.X), max(a.Y, b.Y), max(a.Z, b.Z)}
}

// basis returns two unit vectors that are perpendicular to n and each other.
func basis(n vec) (vec, vec) {
	t := vec{1, 0, 0}
	if math.Abs(n.X) > 0.8 {
		t = vec{0, 1, 0}
	}
	u := t.sub(n.mul(t.dot(n))).unit()
	return u, n.cross(u)
}

// rgb is linear light with sRGB primaries; 1 is a perfect white in full light.
type rgb struct{ R, G, B float64 }

func (a rgb) add(b rgb) rgb     { return rgb{a.R + b.R, a.G + b.G, a.B + b.B} }
func (a rgb) sub(b rgb) rgb     { return rgb{a.R - b.R, a.G - b.G, a.B - b.B} }
func (a rgb) mul(s float64) rgb { return rgb{a.R * s, a.G * s, a.B * s} }
func (a rgb) by(b rgb) rgb      { return rgb{a.R * b.R, a.G * b.G, a.B * b.B} }
func (a rgb) luma() float64     { return 0.2126*a.R + 0.7152*a.G + 0.0722*a.B }

func mix(a, b rgb, t float64) rgb { return a.add(b.sub(a).mul(clamp(t))) }

// hex turns 0xRRGGBB in sRGB into linear light.
func hex(v uint32) rgb {
	f := func(b uint32) float64 {
		c := float64(b&255) / 255
		if c <= 0.04045 {
			return c / 12.92
		}
		return math.Pow((c+0.055)/1.055, 2.4)
	}
	return rgb{f(v >> 16), f(v >> 8), f(v)}
}

func clamp(t float64) float64 { return max(0, min(1, t)) }

// smooth rises from 0 at a to 1 at b (or falls, when b < a).
func smooth(a, b, x float64) float64 {
	t := clamp((x - a) / (b - a))
	return t * t * (3 - 2*t)
}

func lerp(a, b, t float64) float64 { return a + (b-a)*t }

// hypot is the length of (x,y); unlike the library's it may overflow, which
// millimetres never do.
func hypot(x, y float64) float64 { return math.Sqrt(x*x + y*y) }
