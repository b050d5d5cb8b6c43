package draw

import "wornwood/annotate/shape"

// clipRing cuts a ring down to the rectangle after Sutherland and Hodgman,
// "Reentrant polygon clipping" (1974), one edge of the rectangle at a time.
// Where the ring leaves and enters again the result runs along the edge, which
// is outside of what is painted.
func clipRing(ring []shape.Pt, r shape.Rect) []shape.Pt {
	for _, h := range halfPlanes(r) {
		if len(ring) == 0 {
			return nil
		}
		var out []shape.Pt
		prev := ring[len(ring)-1]
		for _, p := range ring {
			d0, d1 := h(prev), h(p)
			if (d0 >= 0) != (d1 >= 0) {
				out = append(out, shape.Lerp(prev, p, d0/(d0-d1)))
			}
			if d1 >= 0 {
				out = append(out, p)
			}
			prev = p
		}
		ring = out
	}
	return ring
}

// clipSegment cuts a segment down to the rectangle; false when nothing is left.
func clipSegment(a, b shape.Pt, r shape.Rect) (shape.Pt, shape.Pt, bool) {
	for _, h := range halfPlanes(r) {
		d0, d1 := h(a), h(b)
		switch {
		case d0 < 0 && d1 < 0:
			return a, b, false
		case d0 < 0:
			a = shape.Lerp(a, b, d0/(d0-d1))
		case d1 < 0:
			b = shape.Lerp(a, b, d0/(d0-d1))
		}
	}
	return a, b, true
}

// halfPlanes are the signed distances from the rectangle's edges, positive
// inside.
func halfPlanes(r shape.Rect) [4]func(shape.Pt) float64 {
	return [4]func(shape.Pt) float64{
		func(p shape.Pt) float64 { return p.X - r.Min.X },
		func(p shape.Pt) float64 { return r.Max.X - p.X },
		func(p shape.Pt) float64 { return p.Y - r.Min.Y },
		func(p shape.Pt) float64 { return r.Max.Y - p.Y },
	}
}
