package markview

import (
	"image"
	"image/color"

	"wornwood/annotate/draw"
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

	base    *image.RGBA
	baseFor ground
	frame   *image.RGBA
}

// ground is all that the base depends on.
type ground struct {
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
	var top draw.List
	top = append(top, handles(c, st)...)
	for _, pin := range c.Pins() {
		top = append(top, draw.PinOps(pin, PinRadius*c.scale, st)...)
	}
	top = append(top, drafts(c, st)...)
	if p.Tip != nil && c.hovered > 0 && !c.press.down {
		top = append(top, note(c, p.Tip(c.hovered))...)
	}
	if p.Message != "" {
		top = append(top, message(p.Message, c)...)
	}
	if p.Focused {
		top = append(top, focusRing(c, st))
	}
	draw.Paint(p.frame, top, shape.Identity())
	return p.frame
}

// ground paints the base anew when something it depends on has changed.
func (p *Picture) ground(c *Controller, s Sheet, st draw.Style, w, h int) {
	s.Marks, s.Selected = nil, 0
	now := ground{s, p.Photo, c.view, c.scale, p.Dark, w, h, true}
	if p.base != nil && p.baseFor.same(now) {
		return
	}
	p.baseFor = now
	p.base = sized(p.base, w, h)
	switch {
	case s.Side != nil:
		fillRect(p.base, p.base.Rect, rgba(st.Ground))
		draw.Paint(p.base, draw.Outline(s.Side, st), c.view)
	case p.Photo != nil && s.Photo != "":
		pw, ph := p.Photo.Size()
		toSheet := shape.Scale(float64(s.Width)/float64(pw), float64(s.Height)/float64(ph))
		p.Photo.View(p.base, c.view.Mul(toSheet))
	default:
		fillRect(p.base, p.base.Rect, Surround)
	}
}

func (g ground) same(o ground) bool {
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

// handles are small squares at the points of the selected figure.
func handles(c *Controller, st draw.Style) draw.List {
	var l draw.List
	r := 3 * c.scale
	for _, q := range c.Handles() {
		box := shape.RoundRect(shape.Rect{Min: shape.Pt{X: q.X - r, Y: q.Y - r}, Max: shape.Pt{X: q.X + r, Y: q.Y + r}}, c.scale)
		l = append(l, draw.Op{Path: box, Fill: draw.Hex(0xFFFFFF), Stroke: st.Select, Width: 1.3 * c.scale})
	}
	return l
}

// drafts is the figure or patch being drawn and the key cursor.
func drafts(c *Controller, st draw.Style) draw.List {
	var l draw.List
	if len(c.draft) > 0 {
		l = append(l, draw.Draft(c.tool.shape(), c.view.ApplyAll(c.draft), c.cursor, st)...)
	}
	if r, ok := c.PatchSoFar(); ok {
		box := shape.RoundRect(r, 0)
		l = append(l, draw.Op{Path: box, Stroke: draw.Hex(0x16181A).Alpha(0.6), Width: 3.4 * c.scale},
			draw.Op{Path: box, Fill: st.Select.Alpha(0.12), Stroke: draw.Hex(0xFFFFFF), Width: 1.4 * c.scale})
	}
	if at, keyed := c.Cursor(); keyed {
		var cross shape.Path
		for _, d := range [4]shape.Pt{{X: 1}, {X: -1}, {Y: 1}, {Y: -1}} {
			cross.MoveTo(shape.Add(at, shape.Mul(d, 4*c.scale)))
			cross.LineTo(shape.Add(at, shape.Mul(d, 14*c.scale)))
		}
		l = append(l, draw.Op{Path: cross, Stroke: draw.Hex(0xFFFFFF), Width: 4 * c.scale},
			draw.Op{Path: cross, Stroke: st.Select, Width: 1.8 * c.scale})
	}
	return l
}

func focusRing(c *Controller, st draw.Style) draw.Op {
	in := c.room().Grow(-1.5 * c.scale)
	return draw.Op{Path: shape.RoundRect(in, 0), Stroke: st.Select, Width: 2 * c.scale}
}
