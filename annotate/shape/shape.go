// Package shape is the plane geometry under outlines and marks: points,
// rectangles, paths of lines and cubic curves, the transform between a sheet
// and a view of it, and the raster of square cells that areas are counted in.
//
// Start with Path for anything that is drawn and with FillPolygon and
// FillCapsules for anything that is counted. Lengths are in the unit of the
// caller's points: millimetres on an outline, pixels in a photo.
//
// It does not combine paths (no union, no intersection): coverage is counted
// on a Grid instead, where overlaps cannot go wrong. Results for points or
// sizes that are not finite are not defined; callers check their input.
package shape

import (
	"math"

	"wornwood/capture/record"
)

// Pt is a point of a sheet or a photo: X to the right, Y down.
type Pt = record.Point

// Add is p moved by q.
func Add(p, q Pt) Pt { return Pt{X: p.X + q.X, Y: p.Y + q.Y} }

// Sub is the step from q to p.
func Sub(p, q Pt) Pt { return Pt{X: p.X - q.X, Y: p.Y - q.Y} }

// Mul is p with both coordinates multiplied by k.
func Mul(p Pt, k float64) Pt { return Pt{X: p.X * k, Y: p.Y * k} }

// Lerp is the point that lies the share t of the way from p to q.
func Lerp(p, q Pt, t float64) Pt {
	return Pt{X: p.X + (q.X-p.X)*t, Y: p.Y + (q.Y-p.Y)*t}
}

// Dist is the distance between p and q.
func Dist(p, q Pt) float64 { return math.Hypot(p.X-q.X, p.Y-q.Y) }

// Cross is the z component of p x q: positive when q lies clockwise of p as
// seen.
func Cross(p, q Pt) float64 { return p.X*q.Y - p.Y*q.X }

// Dot is the scalar product of p and q.
func Dot(p, q Pt) float64 { return p.X*q.X + p.Y*q.Y }
