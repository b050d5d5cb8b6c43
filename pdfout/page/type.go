package page

import (
	"wornwood/pdfout/paint"
)

// The sizes of type, in points: one scale for the whole report.
var (
	titleFont  = paint.Font{Face: paint.Serif, Size: 25}
	indexFont  = paint.Font{Face: paint.Serif, Size: 27}
	headFont   = paint.Font{Face: paint.Serif, Size: 14}
	textFont   = paint.Font{Face: paint.Sans, Size: 8.2}
	strongFont = paint.Font{Face: paint.SansBold, Size: 8.2}
	leadFont   = paint.Font{Face: paint.Sans, Size: 9.2}
	smallFont  = paint.Font{Face: paint.Cond, Size: 7.4}
	smallBold  = paint.Font{Face: paint.CondBold, Size: 7.4}
	ledgerFont = paint.Font{Face: paint.Cond, Size: 7.9}
	ledgerBold = paint.Font{Face: paint.CondBold, Size: 7.9}
	labelFont  = paint.Font{Face: paint.CondBold, Size: 6.6, Track: 0.35}
	monoFont   = paint.Font{Face: paint.Mono, Size: 7.6}
	hashFont   = paint.Font{Face: paint.Mono, Size: 5.9}
)

// pt is one point in mm.
const pt = 25.4 / 72

// lead is the distance of two baselines of a font, in mm: 1.36 of its size,
// which suits a face with a tall x-height.
func lead(f paint.Font) float64 { return f.Size * pt * 1.36 }

// rise is the height of the font's capitals above the baseline, in mm. IBM
// Plex has capitals of 0.698 of the size.
func rise(f paint.Font) float64 { return f.Size * pt * 0.698 }
