package markview

import (
	"math"

	"wornwood/annotate/draw"
	"wornwood/annotate/shape"
)

// Inks of the note beside a hovered mark, the same in either style: it lies on
// photos as often as on outlines.
var (
	noteGround = draw.Hex(0x22272B).Alpha(0.95)
	noteText   = draw.Hex(0xFFFFFF)
	noteMore   = draw.Hex(0xC9CDCF)
)

const (
	noteSize  = 12.0
	noteLine  = 17.0
	notePad   = 10.0
	noteWidth = 320.0 // the longest line; longer ones are cut
)

// note is a dark panel beside the hovered pin, on the side where there is room.
func note(c *Controller, lines []string) draw.List {
	at, ok := c.pinAt(c.hovered)
	if !ok || len(lines) == 0 {
		return nil
	}
	k := c.scale
	cut := make([]string, len(lines))
	width := 0.0
	for i, s := range lines {
		cut[i] = draw.Shorten(face(i), noteSize*k, s, noteWidth*k)
		width = math.Max(width, draw.TextWidth(face(i), noteSize*k, cut[i]))
	}
	w, h := width+2*notePad*k, (2*notePad+noteLine*float64(len(lines))-4)*k
	gap := (PinRadius + 8) * k
	box := shape.Rect{Min: shape.Pt{X: at.X + gap, Y: at.Y - h/2}}
	if box.Min.X+w > c.w-4*k {
		box.Min.X = at.X - gap - w
	}
	box.Min.X = math.Max(4*k, box.Min.X)
	box.Min.Y = math.Max(4*k, math.Min(c.h-h-4*k, box.Min.Y))
	box.Max = shape.Pt{X: box.Min.X + w, Y: box.Min.Y + h}
	l := draw.List{{Path: shape.RoundRect(box, 3*k), Fill: noteGround}}
	for i, s := range cut {
		ink := noteMore
		if i == 0 {
			ink = noteText
		}
		l = append(l, draw.Op{
			Kind: draw.TextOp, Text: s, Face: face(i), Size: noteSize * k, Fill: ink,
			At: shape.Pt{X: box.Min.X + notePad*k, Y: box.Min.Y + (notePad+noteLine*float64(i)+9.5)*k},
		})
	}
	return l
}

// face is semibold for the first line.
func face(line int) draw.Face {
	if line == 0 {
		return draw.SemiBold
	}
	return draw.Sans
}

// pinAt is where the pin of a mark stands.
func (c *Controller) pinAt(number int) (shape.Pt, bool) {
	for _, p := range c.Pins() {
		if p.Number == number {
			return p.At, true
		}
	}
	return shape.Pt{}, false
}

// message is a sentence in the middle of the canvas.
func message(s string, c *Controller) draw.List {
	k := c.scale
	s = draw.Shorten(draw.Sans, 13*k, s, c.w-40*k)
	w := draw.TextWidth(draw.Sans, 13*k, s)
	mid := c.room().Center()
	box := shape.Rect{Min: shape.Pt{X: mid.X - w/2 - 12*k, Y: mid.Y - 15*k}, Max: shape.Pt{X: mid.X + w/2 + 12*k, Y: mid.Y + 15*k}}
	return draw.List{
		{Path: shape.RoundRect(box, 3*k), Fill: noteGround},
		{Kind: draw.TextOp, Text: s, Face: draw.Sans, Size: 13 * k, Fill: noteText, Align: draw.Centre, At: shape.Pt{X: mid.X, Y: mid.Y + 4.6*k}},
	}
}
