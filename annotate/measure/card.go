package measure

import "wornwood/annotate/shape"

// The ID-1 card of ISO/IEC 7810, from memory: its sides and the radius of its
// corners in mm.
const (
	CardLong   = 85.60
	CardShort  = 53.98
	CardRadius = 3.18
)

// CardPoints are the corners of an ID-1 card in millimetres of its own plane,
// clockwise as seen from the first: as if they were not rounded.
func CardPoints() [4]shape.Pt {
	return [4]shape.Pt{{}, {X: CardLong}, {X: CardLong, Y: CardShort}, {Y: CardShort}}
}
