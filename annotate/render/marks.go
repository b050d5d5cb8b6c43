package render

import (
	"math"

	"wornwood/capture/record"
)

// Mark is one flaw of the demo instrument: what an examiner would record, and
// what the pictures show at exactly that place.
type Mark struct {
	Kind   record.Kind    `json:"kind"`
	Depth  record.Depth   `json:"depth,omitempty"` // "" for a kind that is measured
	Side   string         `json:"side"`            // "front" or "back"
	Shape  record.Shape   `json:"shape"`
	Points []record.Point `json:"points_mm"`           // on the side's outline: one, a line, or a closed ring
	Length float64        `json:"length_mm,omitempty"` // 0 when it was not measured
	Width  float64        `json:"width_mm,omitempty"`
	Pieces []int          `json:"pieces,omitempty"` // affected pieces of a counted part, from 1
	Note   string         `json:"note"`
}

// DemoMarks lists the flaws of the demo instrument in the order of their
// numbers, from 1.
func DemoMarks() []Mark {
	return []Mark{
		{Kind: "ding", Depth: record.InFinish, Side: "front", Shape: record.PointShape, Points: at(-52, 727), Length: 3.4,
			Note: "Shallow, the lacquer is whole."},
		{Kind: "ding", Depth: record.IntoWood, Side: "front", Shape: record.PointShape, Points: at(137, 655), Length: 5.2,
			Note: "Deep, bare wood at the bottom, old dirt."},
		{Kind: "wear-through", Depth: record.Through, Side: "front", Shape: record.AreaShape, Points: oval(-113, 662, 19, 31, 0.12), Length: 62, Width: 38,
			Note: "Where the forearm rests."},
		{Kind: "chip", Depth: record.IntoWood, Side: "front", Shape: record.PointShape, Points: at(-137.2, 397), Length: 9.9, Width: 6.6,
			Note: "Edge of the bass horn."},
		{Kind: "finish check", Depth: record.Through, Side: "front", Shape: record.AreaShape, Points: []record.Point{
			{X: 2, Y: 682}, {X: 54, Y: 682}, {X: 74, Y: 692}, {X: 90, Y: 716}, {X: 76, Y: 734}, {X: 34, Y: 742}, {X: -4, Y: 738}, {X: -6, Y: 704}}, Length: 92, Width: 60,
			Note: "Across the grain, through the lacquer."},
		{Kind: "scratch", Depth: record.InFinish, Side: "front", Shape: record.LineShape, Points: []record.Point{{X: -11.5, Y: -96}, {X: -7.2, Y: -102.4}, {X: -3.75, Y: -107.68}}, Length: 14,
			Note: "Head, between the middle tuners."},
		{Kind: "fade", Side: "front", Shape: record.AreaShape, Points: boardArea(9, 20), Length: 181, Width: 50,
			Note: "Lighter under the strings, frets 9 to 20."},
		{Kind: "buckle rash", Depth: record.Through, Side: "back", Shape: record.AreaShape, Points: oval(14, 604, 36, 25, -0.2), Length: 72, Width: 50,
			Note: "Many short scratches, a few pits into the wood."},
		{Kind: "fret wear", Depth: record.Through, Side: "front", Shape: record.AreaShape, Points: []record.Point{
			{X: -3, Y: 34}, {X: 20, Y: 34}, {X: 21, Y: 165}, {X: -3, Y: 165}}, Pieces: []int{1, 2, 3, 4, 5}, Length: 131, Width: 23,
			Note: "Flats under the plain strings."},
	}
}

func at(x, y float64) []record.Point { return []record.Point{{X: x, Y: y}} }

// oval is a ring of 20 points, its axes rx and ry turned by the angle.
func oval(x, y, rx, ry, angle float64) []record.Point {
	out := make([]record.Point, 20)
	s, c := math.Sincos(angle)
	for i := range out {
		b, a := math.Sincos(2 * math.Pi * float64(i) / 20)
		out[i] = record.Point{X: round2(x + rx*a*c - ry*b*s), Y: round2(y + rx*a*s + ry*b*c)}
	}
	return out
}

// boardArea is the fingerboard between two frets, 2 mm inside its edges, for
// the demo instrument's scale of 648 mm.
func boardArea(from, to int) []record.Point {
	y := func(n int) float64 { return demoScale * (1 - math.Exp2(-float64(n)/12)) }
	half := func(y float64) float64 { return 21.5 + 8.25*y/demoScale - 2 }
	a, b := y(from), y(to)
	return []record.Point{{X: -round2(half(a)), Y: round2(a)}, {X: round2(half(a)), Y: round2(a)}, {X: round2(half(b)), Y: round2(b)}, {X: -round2(half(b)), Y: round2(b)}}
}

func round2(v float64) float64 { return math.Round(v*100) / 100 }
