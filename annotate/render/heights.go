package render

// Heights in millimetres over the body's front face. The outline is flat; these
// make it an instrument.
const (
	bodyThick  = 44.0
	bodyRound  = 7.5 // radius of the body's edges
	boardTop   = 10.0
	boardThick = 5.5
	boardBow   = 250.0 // radius of the fingerboard across the strings
	crown      = 1.05  // of a fret over the board
	headTop    = 2.6
	headThick  = 14.0
	guardThick = 2.3
	plateThick = 2.6
)

// boardZ is the height of the fingerboard's surface x mm from its middle.
func boardZ(x float64) float64 { return boardTop - x*x/(2*boardBow) }
