package markview

import (
	"image"
	"image/color"

	"wornwood/annotate/draw"
	"wornwood/annotate/outline"
	"wornwood/annotate/shape"
)

// Picture paints what a Controller shows into pixels. It keeps the ground (the
// resampled photo, the painted outline) from one frame to the next, because
// most frames only move a pin or a cursor.
type Picture struct {
	Dark    bool     // style of outlines; photos look the same in either
	Photo   *Pyramid // of the sheet's photo, or of a smaller copy of it while it loads; nil for none yet
	Message string   // shown in the middle, when there is something to say

	// Tip gives the lines of the note beside a hovered mark, nil for none.
	Tip func(number int) []string
	// Extra gives more to draw over the ground and under the pins, in the
	// unit of the sheet: measured lines, patches.
	Extra func(st draw.Style) draw.List

	Focused bool // draw a ring inside the edge: keys come here

	// GhostTip gives the lines of the note beside a suggestion; nil for the
	// usual ones.
	GhostTip func(id int) []string

	base    *image.RGBA
	baseFor backing
	frame   *image.RGBA
	lens    *image.RGBA // the loupe's picture
	ops     *outlineOps
}

// outlineOps are the operations of a side, with the boxes around them.
type outlineOps struct {
	side  *outline.SideDrawing
	dark  bool
	unit  float64
	list  draw.List
	boxes []shape.Rect
}

// backing is all that the base depends on.
type backing struct {
	sheet   Sheet
	photo   *Pyramid
	view    shape.Affine
	scale   float64
	dark    bool
	w, h    int
	painted bool
}

// Style is the drawing style for a sheet, in device pixels.
func (p *Picture) Style(s Sheet, scale float64) draw.Style {
	st := draw.OnPhoto()
	if s.Side != nil || s.Photo == "" {
		st = draw.ScreenLight()
		if p.Dark {
			st = draw.ScreenDark()
		}
	}
	return st.At(scale)
}

// Paint returns the frame of the size, tight and with its origin at zero. It is
// painted over by the next call.
func (p *Picture) Paint(c *Controller, w, h int) *image.RGBA {
	if w < 1 || h < 1 {
		return image.NewRGBA(image.Rect(0, 0, 1, 1))
	}
	c.Resize(w, h, c.scale)
	p.frame = sized(p.frame, w, h)
	s := c.Sheet()
	st := p.Style(s, c.scale)
	p.ground(c, s, st, w, h)
	copy(p.frame.Pix, p.base.Pix)

	draw.Paint(p.frame, s.shapes(st), c.view)
	if p.Extra != nil {
		draw.Paint(p.frame, p.Extra(st), c.view)
	}
	top := overlay(c, s, c.view, c.room(), false, st)
	top = append(top, tools(c, s, st)...)
	top = append(top, draw.PinsOps(c.Pins(), PinRadius*c.scale, st)...)
	top = append(top, cursors(c, st)...)
	if !c.press.down {
		top = append(top, p.notes(c, s)...)
	}
	if p.Message != "" {
		top = append(top, message(p.Message, c)...)
	}
	draw.Paint(p.frame, top, shape.Identity())
	p.glass(c, s, st)
	last := prompt(c, st)
	if p.Focused {
		last = append(last, focusRing(c, st))
	}
	draw.Paint(p.frame, last, shape.Identity())
	return p.frame
}

// ground paints the base anew when something it depends on has changed.
func (p *Picture) ground(c *Controller, s Sheet, st draw.Style, w, h int) {
	s = Sheet{Photo: s.Photo, Width: s.Width, Height: s.Height, Side: s.Side, Focus: s.Focus}
	now := backing{s, p.Photo, c.view, c.scale, p.Dark, w, h, true}
	if p.base != nil && p.baseFor.same(now) {
		return
	}
	p.baseFor = now
	p.base = sized(p.base, w, h)
	switch {
	case s.Side != nil:
		fillRect(p.base, p.base.Rect, rgba(st.Ground))
		ops, _ := p.outline(s, st)
		draw.Paint(p.base, ops, c.view)
	case p.Photo != nil && s.Photo != "":
		p.Photo.View(p.base, c.view.Mul(p.toSheet(s)))
	default:
		fillRect(p.base, p.base.Rect, Surround)
	}
}

func (g backing) same(o backing) bool {
	return g.sheet.same(o.sheet) && g.photo == o.photo && g.view == o.view && g.scale == o.scale &&
		g.dark == o.dark && g.w == o.w && g.h == o.h && g.painted == o.painted
}

// sized is the picture itself when it has the size, else a new one.
func sized(m *image.RGBA, w, h int) *image.RGBA {
	if m != nil && m.Rect.Dx() == w && m.Rect.Dy() == h {
		return m
	}
	return image.NewRGBA(image.Rect(0, 0, w, h))
}

func rgba(i draw.Ink) color.RGBA { return color.RGBA{i.R, i.G, i.B, 255} }

// toSheet maps the photo at hand, perhaps a smaller copy while it loads, to the
// sheet's pixels.
func (p *Picture) toSheet(s Sheet) shape.Affine {
	w, h := p.Photo.Size()
	return shape.Scale(float64(s.Width)/float64(w), float64(s.Height)/float64(h))
}
