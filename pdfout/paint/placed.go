package paint

import "wornwood/annotate/draw"

// Placed is a text of a sheet: where its baseline begins, in mm from the top
// left corner of the page, and its size in points. A text with space between
// its letters is kept letter by letter.
type Placed struct {
	Text       string
	X, Y, Size float64
}

// Texts lists the texts of a page in the order in which they were drawn.
func (s *Sheet) Texts() []Placed { return texts(nil, s.items) }

func texts(out []Placed, items []item) []Placed {
	for _, i := range items {
		if i.op.Kind == draw.TextOp {
			out = append(out, Placed{Text: i.op.Text, X: i.op.At.X, Y: i.op.At.Y, Size: i.op.Size})
		}
		out = texts(out, i.inside)
	}
	return out
}
