package trace

import (
	"errors"
	"math"

	"wornwood/annotate/shape"
)

// ErrNoNeck says that a ring does not come to the neck where the body should begin.
var ErrNoNeck = errors.New("cut body from outline: the outline does not meet the neck where the body should begin; check the points that the photo was scaled by")

// neckMargin is how far beyond the neck's edge the outline counts as the neck's, mm: the
// board stands above the body and looks wider, and tracing is not exact.
const neckMargin = 2.5

// BodyOf is the body of a placed silhouette, in mm of the front sheet: neck and head are cut off
// where they enter it, and it is closed straight across the neck there. neckHalf is half the neck's
// width at a height of the sheet, about X = 0; jointY is about where the body
// begins. Horns beside the neck stay. The ring runs clockwise, starting at the neck's treble side.
func BodyOf(ring []shape.Pt, neckHalf func(y float64) float64, jointY float64) ([]shape.Pt, error) {
	ring = cleaned(ring) // starts at its lowest point, clockwise: up the bass side first
	n := len(ring)
	if n < 3 {
		return nil, ErrNoNeck
	}
	limit := (jointY + ring[0].Y) / 2 // the end of the body is as near to the centre line as the neck
	bassMargin, trebleMargin := neckMargins(ring, neckHalf, jointY)
	onNeck := func(p shape.Pt) float64 {
		margin := bassMargin
		if p.X > 0 {
			margin = trebleMargin
		}
		return neckHalf(p.Y) + margin - math.Abs(p.X)
	}
	find := func(step int) (int, shape.Pt) {
		for k := 1; k < n; k++ {
			i := (k*step%n + n) % n
			p := ring[i]
			if p.Y < limit && onNeck(p) >= 0 {
				q := ring[((k-1)*step%n+n)%n]
				a, b := -onNeck(q), onNeck(p)
				if a <= 0 {
					return i, p
				}
				return i, shape.Lerp(q, p, a/(a+b))
			}
		}
		return -1, shape.Pt{}
	}
	left, bass := find(1)
	right, treble := find(-1)
	if left < 0 || right < 0 || left >= right || bass.X >= 0 || treble.X <= 0 {
		return nil, ErrNoNeck
	}
	// A cut far up the neck has missed the body's beginning.
	if ring[0].Y-math.Max(bass.Y, treble.Y) < 20 || math.Min(bass.Y, treble.Y) < 0.6*jointY {
		return nil, ErrNoNeck
	}
	body := []shape.Pt{treble}
	body = append(body, ring[right+1:]...)
	body = append(body, ring[:left]...)
	body = append(body, bass)
	return withoutPins(body), nil
}
