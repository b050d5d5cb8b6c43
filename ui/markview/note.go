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

// notes is the note beside what the pointer, or the choice by keys, is at.
func (p *Picture) notes(c *Controller, s Sheet) draw.List {
	if c.over.kind == overScale && c.over.index < len(s.Scale) {
		m := s.Scale[c.over.index]
		return note(c, c.view.Apply(m.At), m.tip())
	}
	if k, ok := c.current(); ok && len(s.Ghosts[k].Points) > 0 {
		g := s.Ghosts[k]
		lines := g.tip()
		if p.GhostTip != nil {
			lines = p.GhostTip(g.ID)
		}
		return ghostNote(c, g, lines)
	}
	if p.Tip == nil || c.hovered == 0 {
		return nil
	}
	at, projected, ok := c.pinAt(c.hovered)
	lines := p.Tip(c.hovered)
	if !ok || len(lines) == 0 {
		return nil
	}
	if projected {
		from := "known from a photo"
		if s.Side == nil {
			from = "known from the outline"
		}
		lines = append(lines[:len(lines):len(lines)], from)
	}
	return note(c, at, lines)
}

// ghostNote is a note that leaves the ghost and its buttons free: below the
// buttons, else below or above the ghost.
func ghostNote(c *Controller, g Ghost, lines []string) draw.List {
	accept, _, ok := c.buttons()
	if !ok || len(lines) == 0 {
		return nil
	}
	n := newNotePanel(c, lines)
	k := c.scale
	box := shape.RectAround(c.view.ApplyAll(g.Points)...).Grow((ghostReach + 2) * k)
	half := draw.GhostButton * k
	n.at = shape.Pt{X: accept.X - half, Y: accept.Y + half + 7*k}
	if n.at.X+n.w > c.w-4*k || n.at.X < box.Max.X {
		n.at.X = box.Center().X - n.w/2
		n.at.Y = math.Max(box.Max.Y+4*k, n.at.Y)
		if n.at.Y+n.h > c.h-4*k {
			n.at.Y = math.Min(box.Min.Y, accept.Y-half) - 6*k - n.h
		}
	}
	return n.ops(c)
}

// note is a dark panel beside the place, on the side where there is room.
func note(c *Controller, at shape.Pt, lines []string) draw.List {
	if len(lines) == 0 {
		return nil
	}
	n := newNotePanel(c, lines)
	gap := (PinRadius + 8) * c.scale
	n.at = shape.Pt{X: at.X + gap, Y: at.Y - n.h/2}
	if n.at.X+n.w > c.w-4*c.scale {
		n.at.X = at.X - gap - n.w
	}
	return n.ops(c)
}

// notePanel is a dark panel with lines of text, in device pixels.
type notePanel struct {
	at    shape.Pt
	w, h  float64
	lines []string
}

func newNotePanel(c *Controller, lines []string) notePanel {
	k := c.scale
	n := notePanel{lines: make([]string, len(lines))}
	for i, s := range lines {
		n.lines[i] = draw.Shorten(face(i), noteSize*k, s, noteWidth*k)
		n.w = math.Max(n.w, draw.TextWidth(face(i), noteSize*k, n.lines[i]))
	}
	n.w, n.h = n.w+2*notePad*k, (2*notePad+noteLine*float64(len(lines))-4)*k
	return n
}

// ops draws the panel, moved into the canvas.
func (n notePanel) ops(c *Controller) draw.List {
	k := c.scale
	lo := shape.Pt{X: math.Max(4*k, math.Min(c.w-n.w-4*k, n.at.X)), Y: math.Max(4*k, math.Min(c.h-n.h-4*k, n.at.Y))}
	box := shape.Rect{Min: lo, Max: shape.Pt{X: lo.X + n.w, Y: lo.Y + n.h}}
	l := draw.List{{Path: shape.RoundRect(box, 3*k), Fill: noteGround}}
	for i, s := range n.lines {
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

// pinAt is where the pin of a mark stands, and whether it is a projected one.
func (c *Controller) pinAt(number int) (at shape.Pt, projected, ok bool) {
	for _, p := range c.Pins() {
		if p.Number == number {
			return p.At, p.Projected, true
		}
	}
	return at, false, false
}

// prompt is what is to be clicked next, in a tag beside the cursor of the pick
// tool; below it, because the loupe stands above where it can.
func prompt(c *Controller, st draw.Style) draw.List {
	if c.Prompt == "" || c.tool != PickTool || !c.inside && !c.keyed || c.press.down || c.over.kind == overScale {
		return nil
	}
	tag := draw.Tag{Text: c.Prompt}
	w, h := tag.Size(st)
	u := c.scale
	at := shape.Pt{X: c.cursor.X + 14*u, Y: c.cursor.Y + 16*u}
	if at.X+w > c.w-4*u {
		at.X = c.cursor.X - 14*u - w
	}
	if at.Y+h > c.h-4*u {
		at.Y = c.cursor.Y - 16*u - h
	}
	at.X = math.Max(4*u, at.X)
	return tag.Ops(at, st)
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
