package outline

import (
	"slices"

	"wornwood/capture/record"
)

// violinEdge is the edge of a plate with the purfling let into it: two dark
// lines with a light one between.
var violinEdge = border{width: figure{5.2, practice}, part: record.Edges, name: "edge and purfling", lines: []float64{4, 5.2}}

// violinHeights are the heights, in a class's own millimetres, at which the
// words for places change.
type violinHeights struct {
	corner, lower       float64 // upper and lower corners
	board, bridge, tail float64 // ends of each, down the middle
}

// violinZones are the words for places on belly, back and ribs.
func violinZones(h violinHeights) zones {
	middle := func(y float64) (front, back string) {
		switch {
		case y <= h.board:
			return "by the fingerboard", "middle, upper bout"
		case y <= h.bridge:
			return "by the bridge", "middle, between the C-bouts"
		case y <= h.tail:
			return "under the tailpiece", "middle, lower bout"
		}
		return "bottom end", "bottom end"
	}
	z := zones{middle: 0.12 * h.lower / 2}
	for _, y := range sorted(h.corner, h.lower, h.board, h.bridge, h.tail) {
		b := band{to: y, side: "lower %s bout"}
		switch {
		case y <= h.corner:
			b.side = "upper %s bout"
		case y <= h.lower:
			b.side = "%s C-bout"
		}
		b.middle, b.behind = middle(y)
		z.bands = append(z.bands, b)
	}
	z.bands = append(z.bands, band{middle: "bottom end", side: "lower %s bout"})
	return z
}

func sorted(ys ...float64) []float64 {
	slices.Sort(ys)
	return slices.Compact(ys)
}
