package shape

import "math"

// Rect is an upright rectangle from Min (left, top) to Max (right, bottom).
// It is empty when it has no width or no height.
type Rect struct{ Min, Max Pt }

// RectAround is the smallest rectangle that holds every point, the zero Rect
// when there are none.
func RectAround(pts ...Pt) Rect {
	if len(pts) == 0 {
		return Rect{}
	}
	r := Rect{Min: pts[0], Max: pts[0]}
	for _, p := range pts[1:] {
		r.include(p)
	}
	return r
}

func (r *Rect) include(p Pt) {
	r.Min.X, r.Max.X = math.Min(r.Min.X, p.X), math.Max(r.Max.X, p.X)
	r.Min.Y, r.Max.Y = math.Min(r.Min.Y, p.Y), math.Max(r.Max.Y, p.Y)
}

// Dx is the width.
func (r Rect) Dx() float64 { return r.Max.X - r.Min.X }

// Dy is the height.
func (r Rect) Dy() float64 { return r.Max.Y - r.Min.Y }

// Center is the middle of the rectangle.
func (r Rect) Center() Pt { return Lerp(r.Min, r.Max, 0.5) }

// Empty says whether the rectangle has no area.
func (r Rect) Empty() bool { return !(r.Dx() > 0 && r.Dy() > 0) }

// Contains says whether p lies in the rectangle or on its edge.
func (r Rect) Contains(p Pt) bool {
	return p.X >= r.Min.X && p.X <= r.Max.X && p.Y >= r.Min.Y && p.Y <= r.Max.Y
}

// Union is the smallest rectangle that holds both; an empty one adds nothing.
func (r Rect) Union(s Rect) Rect {
	if r.Empty() {
		return s
	}
	if s.Empty() {
		return r
	}
	r.include(s.Min)
	r.include(s.Max)
	return r
}

// Grow moves every edge outwards by d, inwards when d is negative. A rectangle
// shrunk past its middle becomes empty at its middle.
func (r Rect) Grow(d float64) Rect {
	out := Rect{Min: Pt{X: r.Min.X - d, Y: r.Min.Y - d}, Max: Pt{X: r.Max.X + d, Y: r.Max.Y + d}}
	c := r.Center()
	if out.Dx() < 0 {
		out.Min.X, out.Max.X = c.X, c.X
	}
	if out.Dy() < 0 {
		out.Min.Y, out.Max.Y = c.Y, c.Y
	}
	return out
}

// Inside is the rectangle moved as little as brings it into in, where it fits.
func (r Rect) Inside(in Rect) Rect {
	dx := max(in.Min.X-r.Min.X, 0) + min(in.Max.X-r.Max.X, 0)
	dy := max(in.Min.Y-r.Min.Y, 0) + min(in.Max.Y-r.Max.Y, 0)
	return Rect{Min: Pt{X: r.Min.X + dx, Y: r.Min.Y + dy}, Max: Pt{X: r.Max.X + dx, Y: r.Max.Y + dy}}
}
