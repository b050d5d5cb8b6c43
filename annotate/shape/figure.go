package shape

import "math"

// kappa is the control length, as a share of the radius, at which a cubic
// follows a quarter circle and meets it at its ends and its middle:
// 4/3 (sqrt 2 - 1). It strays from the circle by at most 0.03 % of the radius.
const kappa = 4.0 / 3.0 * (math.Sqrt2 - 1)

// Polygon is the closed path through the points.
func Polygon(pts ...Pt) Path {
	a := Polyline(pts...)
	if len(pts) > 0 {
		a.Close()
	}
	return a
}

// Polyline is the open path through the points.
func Polyline(pts ...Pt) Path {
	var a Path
	for i, p := range pts {
		if i == 0 {
			a.MoveTo(p)
		} else {
			a.LineTo(p)
		}
	}
	return a
}

// Ellipse is the closed path about c with the half axes rx and ry.
func Ellipse(c Pt, rx, ry float64) Path {
	at := func(x, y float64) Pt { return Pt{X: c.X + x*rx, Y: c.Y + y*ry} }
	var a Path
	a.MoveTo(at(1, 0))
	a.CubicTo(at(1, kappa), at(kappa, 1), at(0, 1))
	a.CubicTo(at(-kappa, 1), at(-1, kappa), at(-1, 0))
	a.CubicTo(at(-1, -kappa), at(-kappa, -1), at(0, -1))
	a.CubicTo(at(kappa, -1), at(1, -kappa), at(1, 0))
	a.Close()
	return a
}

// Circle is the closed path about c with the radius r.
func Circle(c Pt, r float64) Path { return Ellipse(c, r, r) }

// RoundRect is the rectangle with corners of the radius, which is cut down to
// half the shorter side where it is larger.
func RoundRect(r Rect, radius float64) Path {
	rad := math.Max(0, math.Min(radius, math.Min(r.Dx(), r.Dy())/2))
	if rad == 0 {
		return Polygon(r.Min, Pt{X: r.Max.X, Y: r.Min.Y}, r.Max, Pt{X: r.Min.X, Y: r.Max.Y})
	}
	k := rad * (1 - kappa)
	var a Path
	a.MoveTo(Pt{X: r.Min.X + rad, Y: r.Min.Y})
	a.LineTo(Pt{X: r.Max.X - rad, Y: r.Min.Y})
	a.CubicTo(Pt{X: r.Max.X - k, Y: r.Min.Y}, Pt{X: r.Max.X, Y: r.Min.Y + k}, Pt{X: r.Max.X, Y: r.Min.Y + rad})
	a.LineTo(Pt{X: r.Max.X, Y: r.Max.Y - rad})
	a.CubicTo(Pt{X: r.Max.X, Y: r.Max.Y - k}, Pt{X: r.Max.X - k, Y: r.Max.Y}, Pt{X: r.Max.X - rad, Y: r.Max.Y})
	a.LineTo(Pt{X: r.Min.X + rad, Y: r.Max.Y})
	a.CubicTo(Pt{X: r.Min.X + k, Y: r.Max.Y}, Pt{X: r.Min.X, Y: r.Max.Y - k}, Pt{X: r.Min.X, Y: r.Max.Y - rad})
	a.LineTo(Pt{X: r.Min.X, Y: r.Min.Y + rad})
	a.CubicTo(Pt{X: r.Min.X, Y: r.Min.Y + k}, Pt{X: r.Min.X + k, Y: r.Min.Y}, Pt{X: r.Min.X + rad, Y: r.Min.Y})
	a.Close()
	return a
}
