package markview

import (
	"math"

	"wornwood/annotate/draw"
	"wornwood/annotate/shape"
	"wornwood/capture/record"
)

// Tool says what a click on empty ground means.
type Tool uint8

// The tools.
const (
	PinTool   Tool = iota // a click makes a point mark
	LineTool              // clicks draw a line; Enter or a click on its last point ends it
	AreaTool              // clicks draw an area; Enter or a click on its first point closes it
	PickTool              // every click is reported by OnPick, for scales and lengths
	PatchTool             // a drag draws a rectangle, reported by OnPatch
)

// shape is what the tool draws.
func (t Tool) shape() record.Shape {
	switch t {
	case LineTool:
		return record.LineShape
	case AreaTool:
		return record.AreaShape
	}
	return record.PointShape
}

// Sizes in units of the window (a unit is Scale device pixels).
const (
	PinRadius  = 10.5
	reach      = 6.0 // how far from a line or a handle a press still means it
	slop       = 4.0 // how far a press may wander and still be a click
	fitMargin  = 22.0
	cursorStep = 8.0
)

// Controller is the canvas without the toolkit: what is shown, how it is
// zoomed, and what presses, drags, wheel and keys mean. All points that come
// in are in device pixels from the top left corner of the canvas; all that go
// out through the callbacks are in the unit of the sheet. It is not safe for
// several goroutines: use it on the UI's.
type Controller struct {
	// The intentions. Nil ones are not reported. Points are the caller's to keep.
	OnPin    func(s record.Shape, pts []shape.Pt)                    // a new mark is wanted
	OnSelect func(number int)                                        // 0: nothing
	OnMove   func(number, index int, s record.Shape, pts []shape.Pt) // place index of the mark got these points
	OnHover  func(number int)                                        // 0: nothing
	OnPick   func(p shape.Pt)
	OnPatch  func(r shape.Rect)
	Changed  func() // something has to be drawn again

	sheet  Sheet
	tool   Tool
	w, h   float64 // device pixels
	scale  float64 // device pixels to the unit
	view   shape.Affine
	fitted bool // the zoom follows the size of the canvas

	pins    []draw.Pin // laid out, device pixels
	pinsFor *shape.Affine

	draft   []shape.Pt // figure being drawn, sheet unit
	cursor  shape.Pt   // pointer or key cursor, device pixels
	keyed   bool       // the cursor was last moved by keys and is shown
	moved   bool       // the key cursor moved since the last point of the draft
	inside  bool       // the pointer is over the canvas
	hovered int
	press   press
}

// NewController makes an empty controller.
func NewController() *Controller {
	return &Controller{scale: 1, view: shape.Identity(), fitted: true}
}

// SetSheet sets the sheet. Another ground is fitted and drops what was being
// drawn; the same ground keeps its zoom.
func (c *Controller) SetSheet(s Sheet) {
	same := s.same(c.sheet)
	c.sheet = s
	c.pinsFor = nil
	if !same {
		c.draft, c.press, c.hovered, c.keyed = nil, press{}, 0, false
		c.Fit()
	}
	c.changed()
}

// Sheet is what is shown, a drag in progress included.
func (c *Controller) Sheet() Sheet {
	if c.press.moving() {
		return c.sheet.with(c.press.number, c.press.index, c.press.pts)
	}
	return c.sheet
}

// Resize tells the size in device pixels and how many of them make a unit. A
// fitted view stays fitted, another keeps the point in its middle.
func (c *Controller) Resize(w, h int, scale float64) {
	if float64(w) == c.w && float64(h) == c.h && scale == c.scale || w < 1 || h < 1 || !(scale > 0) {
		return
	}
	dx, dy := (float64(w)-c.w)/2, (float64(h)-c.h)/2
	c.w, c.h, c.scale = float64(w), float64(h), scale
	c.pinsFor = nil
	if c.fitted {
		c.Fit()
		return
	}
	c.setView(c.view.Then(shape.Translate(shape.Pt{X: dx, Y: dy})))
}

// SetTool chooses the tool and drops what was being drawn.
func (c *Controller) SetTool(t Tool) {
	c.tool, c.draft = t, nil
	c.changed()
}

// Tool is the chosen tool.
func (c *Controller) Tool() Tool { return c.tool }

// Hovered is the mark under the pointer, 0 for none.
func (c *Controller) Hovered() int { return c.hovered }

// Draft is the figure being drawn, in the sheet's unit; nil when none is.
func (c *Controller) Draft() []shape.Pt { return c.draft }

// View maps the sheet's unit to device pixels.
func (c *Controller) View() shape.Affine { return c.view }

// Zoom is device pixels to one unit of the sheet.
func (c *Controller) Zoom() float64 { return c.view[0] }

// Pins are the pins that can be seen, laid out in device pixels.
func (c *Controller) Pins() []draw.Pin {
	if c.pinsFor != nil && *c.pinsFor == c.view {
		return c.pins
	}
	room := c.room()
	var seen []draw.Pin
	for _, p := range draw.ToView(c.Sheet().anchors(), c.view) {
		if room.Contains(p.Anchor) {
			seen = append(seen, p)
		}
	}
	c.pins = draw.Layout(seen, PinRadius*c.scale, room)
	v := c.view
	c.pinsFor = &v
	return c.pins
}

func (c *Controller) room() shape.Rect { return shape.Rect{Max: shape.Pt{X: c.w, Y: c.h}} }

func (c *Controller) toSheet(p shape.Pt) shape.Pt { return c.view.Inverse().Apply(p) }

func (c *Controller) changed() {
	if c.Changed != nil {
		c.Changed()
	}
}

// dist is the distance between two points of the view in units.
func (c *Controller) dist(p, q shape.Pt) float64 { return math.Hypot(p.X-q.X, p.Y-q.Y) / c.scale }
