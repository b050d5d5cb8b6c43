package trace

import (
	"errors"
	"fmt"
	"math"

	"wornwood/annotate/shape"
)

// Place maps a ring from the photo's pixels to millimetres of a sheet and keeps it
// clockwise as seen, also when the map mirrors. Points that the map sends to infinity
// are left out.
func Place(ring []shape.Pt, toMM func(shape.Pt) shape.Pt) []shape.Pt {
	out := make([]shape.Pt, 0, len(ring))
	for _, p := range ring {
		if q := toMM(p); q.Finite() {
			out = append(out, q)
		}
	}
	if turnsLeft(out) {
		for i, j := 0, len(out)-1; i < j; i, j = i+1, j-1 {
			out[i], out[j] = out[j], out[i]
		}
	}
	return out
}

// PlaceByAxis maps pixels to millimetres of the front sheet by two clicks on the
// centre line: on the nut's edge, which becomes (0,0), and on the saddle, (0, the
// scale length in mm). It is a turn with a zoom, so it is right for a photo taken squarely,
// in the plane of the two points.
func PlaceByAxis(nut, saddle shape.Pt, scaleLength float64) (shape.Affine, error) {
	if !(scaleLength > 0) {
		return shape.Affine{}, fmt.Errorf("place outline: a scale length of %g mm is none", scaleLength)
	}
	return PlaceByPoints([2]shape.Pt{nut, saddle}, [2]shape.Pt{{}, {Y: scaleLength}})
}

// PlaceByPoints is the turn with a zoom that maps two pixels to two places in mm, for
// example the tips of head and body to places the overall length apart.
func PlaceByPoints(px, mm [2]shape.Pt) (shape.Affine, error) {
	for _, p := range append(px[:], mm[:]...) {
		if !p.Finite() {
			return shape.Affine{}, errors.New("place outline: a point is not an ordinary number; click both points again")
		}
	}
	a, b := shape.Sub(px[1], px[0]), shape.Sub(mm[1], mm[0])
	if math.Hypot(a.X, a.Y) < 10 {
		return shape.Affine{}, errors.New("place outline: the two points lie closer than 10 pixels; click points further apart")
	}
	l := math.Hypot(b.X, b.Y)
	if l < 10 || l > 5000 {
		return shape.Affine{}, fmt.Errorf("place outline: the known length is %.0f mm; give one between 10 and 5000 mm", l)
	}
	// As complex numbers the factor is b/a.
	d := shape.Dot(a, a)
	c, s := shape.Dot(a, b)/d, shape.Cross(a, b)/d
	m := shape.Affine{c, -s, 0, s, c, 0}
	at := m.Apply(px[0])
	m[2], m[5] = mm[0].X-at.X, mm[0].Y-at.Y
	return m, nil
}
