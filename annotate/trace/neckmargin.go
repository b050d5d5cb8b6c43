package trace

import (
	"math"
	"slices"

	"wornwood/annotate/shape"
)

// Bounds of how far the silhouette's neck may lie beyond the drawing's, mm.
const (
	neckLeast = -6
	neckMost  = 10
)

// neckMargins are how far beyond the neck's bass and treble edges the outline counts
// as the neck's: neckMargin more than it lies beyond them on the free neck, by the
// median. A neck is wider than its drawing, and off to one side, where the two points clicked
// were not quite in the middle, or the wood stands out beyond the board.
func neckMargins(ring []shape.Pt, neckHalf func(y float64) float64, jointY float64) (bass, treble float64) {
	var over [2][]float64
	for _, p := range evenly(ring, 2) {
		if p.Y < 0.15*jointY || p.Y > 0.75*jointY {
			continue
		}
		if d := math.Abs(p.X) - neckHalf(p.Y); d > neckLeast && d < neckMost {
			side := 0
			if p.X > 0 {
				side = 1
			}
			over[side] = append(over[side], d)
		}
	}
	margins := [2]float64{neckMargin, neckMargin}
	for side, all := range over {
		// Fewer points are a horn or a peg that happens to be there.
		if len(all) < 20 {
			continue
		}
		slices.Sort(all)
		margins[side] += math.Max(0, all[len(all)/2])
	}
	return margins[0], margins[1]
}
