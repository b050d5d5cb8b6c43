package trace

import (
	"wornwood/annotate/shape"
)

// Strap buttons and end pins stand out from a body in the silhouette but are not
// part of it. They are told from corners and horns by being narrow, longer than
// wide and no narrower at the tip.
const (
	pinHalf  = 6.5  // mm; half the width of what is too narrow for a body
	pinLong  = 8.0  // mm; least length
	pinWide  = 14.0 // mm; most mean width
	pinCell  = 1.0  // mm a cell of the raster they are looked for on
	pinBlunt = 0.7  // least width of the outer half, as a share of the mean width
)

// withoutPins is the ring in mm without the points on buttons and pins; it goes
// straight across where they stand. Its first and last point stay.
func withoutPins(ring []shape.Pt) []shape.Pt {
	box := shape.RectAround(ring...).Grow(3)
	g := shape.GridOver(box, pinCell)
	if g.W*g.H > 8_000_000 || g.W*g.H == 0 {
		return ring // no body of an instrument
	}
	body := make([]bool, g.W*g.H)
	shape.FillPolygon(g, [][]shape.Pt{ring}, func(y, x0, x1 int) {
		for x := x0; x < x1; x++ {
			body[y*g.W+x] = true
		}
	})
	// apart counts three a cell.
	const r = int16(3*pinHalf/pinCell + 0.5)
	core := make([]bool, len(body))
	for i, d := range apart(body, g.W, g.H) {
		core[i] = d > r
	}
	if count(core) == 0 {
		return ring
	}
	toCore := apart(core, g.W, g.H)
	thin := make([]bool, len(body))
	for i, is := range body {
		thin[i] = is && -toCore[i] > r+3
	}
	label, all := piecesOf(thin, g.W, g.H)
	pin := make([]bool, len(all)+1)
	found := false
	for _, p := range all {
		pin[p.id] = isPin(p, label, toCore, r, g.W)
		found = found || pin[p.id]
	}
	if !found {
		return ring
	}
	return dropAt(ring, g, label, pin)
}

// isPin judges a piece by the distances of its cells from the core.
func isPin(p piece, label []int32, toCore []int16, r int16, w int) bool {
	var far int16
	for y := p.y0; y <= p.y1; y++ {
		for x := p.x0; x <= p.x1; x++ {
			if i := y*w + x; label[i] == p.id {
				far = max(far, -toCore[i]-r)
			}
		}
	}
	long := float64(far) / 3 * pinCell
	outer := 0
	for y := p.y0; y <= p.y1; y++ {
		for x := p.x0; x <= p.x1; x++ {
			if i := y*w + x; label[i] == p.id && 2*(-toCore[i]-r) > far {
				outer++
			}
		}
	}
	wide := float64(p.area) * pinCell * pinCell / long
	return long >= pinLong && wide <= min(pinWide, long*1.5) && float64(2*outer) >= pinBlunt*float64(p.area)
}

// dropAt leaves out the points of the ring in or right beside a marked piece.
func dropAt(ring []shape.Pt, g shape.Grid, label []int32, marked []bool) []shape.Pt {
	out := make([]shape.Pt, 0, len(ring))
	for i, p := range ring {
		x, y, ok := g.CellAt(p)
		if ok && i > 0 && i < len(ring)-1 && beside(label, marked, x, y, g.W, g.H) {
			continue
		}
		out = append(out, p)
	}
	return out
}

func beside(label []int32, marked []bool, x, y, w, h int) bool {
	for v := max(0, y-2); v <= min(h-1, y+2); v++ {
		for u := max(0, x-2); u <= min(w-1, x+2); u++ {
			if marked[label[v*w+u]] {
				return true
			}
		}
	}
	return false
}
