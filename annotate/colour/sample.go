package colour

import (
	"errors"
	"fmt"
	"math"

	"wornwood/annotate/shape"
)

// MinPixels is how many usable pixels a patch must hold: below that the noise
// of one pixel shows in the mean.
const MinPixels = 100

// maxSamples bounds how many pixels of a patch are looked at. A larger patch is
// read on a lattice; its mean does not get better by more.
const maxSamples = 60_000

// sample is one pixel of a patch.
type sample struct {
	c    Linear
	lab  Lab
	x, y int
}

var (
	errRing    = errors.New("a colour patch needs at least three corners with ordinary coordinates; draw it again")
	errOutside = errors.New("the colour patch lies outside the photo; draw it again")
)

// gather takes the pixels whose centres lie inside the ring: those that are
// usable, and how many there were. step is the lattice they were taken on.
func gather(m *Image, ring []shape.Pt) (usable []sample, seen, step int, err error) {
	if len(ring) < 3 {
		return nil, 0, 0, errRing
	}
	for _, p := range ring {
		if !p.Finite() || math.Abs(p.X) > 1e7 || math.Abs(p.Y) > 1e7 {
			return nil, 0, 0, errRing
		}
	}
	box := shape.RectAround(ring...)
	x0, y0 := int(max(0, math.Floor(box.Min.X))), int(max(0, math.Floor(box.Min.Y)))
	x1, y1 := int(min(float64(m.Width), math.Ceil(box.Max.X))), int(min(float64(m.Height), math.Ceil(box.Max.Y)))
	if x1 <= x0 || y1 <= y0 {
		return nil, 0, 0, errOutside
	}
	grid := shape.Grid{Origin: shape.Pt{X: float64(x0), Y: float64(y0)}, Cell: 1, W: x1 - x0, H: y1 - y0}
	all := 0
	shape.FillPolygon(grid, [][]shape.Pt{ring}, func(_, a, b int) { all += b - a })
	step = max(1, int(math.Ceil(math.Sqrt(float64(all)/maxSamples))))
	shape.FillPolygon(grid, [][]shape.Pt{ring}, func(y, a, b int) {
		if y%step != 0 {
			return
		}
		for x := (a + step - 1) / step * step; x < b; x += step {
			seen++
			if c, ok := m.At(x0+x, y0+y); ok {
				usable = append(usable, sample{c: c, lab: c.Lab(), x: x, y: y})
			}
		}
	})
	return usable, seen, step, nil
}

// tooFew is the sentence for a patch that holds too little.
func tooFew(used, seen, clipped int) error {
	if 2*clipped > seen {
		return fmt.Errorf("%d of the colour patch's %d pixels are clipped, too bright or too dark for the file; choose another place or photo", clipped, seen)
	}
	return fmt.Errorf("the colour patch has only %d usable pixels and needs %d; draw a larger one", used, MinPixels)
}
