package markview

import (
	"math"
	"time"

	"wornwood/annotate/draw"
	"wornwood/annotate/outline"
	"wornwood/annotate/shape"
	"wornwood/capture/record"
)

// Controller is the canvas without the toolkit: what is shown, how it is
// zoomed, and what presses, drags, wheel and keys mean. All points that come
// in are in device pixels from the top left corner of the canvas; all that go
// out through the callbacks are in the unit of the sheet. It is not safe for
// several goroutines: use it on the UI's.
type Controller struct {
	// The intentions. Nil ones are not reported. Points are the caller's to keep.
	OnPin         func(s record.Shape, pts []shape.Pt)                    // a new mark is wanted
	OnSelect      func(number int)                                        // 0: nothing
	OnMove        func(number, index int, s record.Shape, pts []shape.Pt) // the mark's place on this sheet, counted there from 0, got these points, perhaps more or fewer than before
	OnHover       func(number int)                                        // 0: nothing
	OnPick        func(p shape.Pt)
	OnPatch       func(r shape.Rect)
	OnMeasure     func(pts []shape.Pt) // a ring repeats its first point at its end
	OnScaleMove   func(index int, p shape.Pt)
	OnScaleRemove func(index int)
	OnGhost       func(id int, accept bool)
	OnCurve       func(nodes []record.Node)
	OnStroke      func(pts []shape.Pt, radius float64, add bool) // radius in the unit of the sheet
	OnSay         func(sentence string)                          // why something was not done
	Changed       func()                                         // something has to be drawn again

	// Snap says where a point snaps to, when something is nearer than reach, in
	// the unit of the sheet. Nil snaps to the drawn edges of an outline and to
	// nothing on a photo.
	Snap func(p shape.Pt, reach float64) (shape.Pt, bool)
	// MeasureLabel is the figure beside a line being measured, "" for none.
	MeasureLabel func(pts []shape.Pt) string
	// Prompt stands beside the cursor of the pick tool: what is to be clicked
	// next.
	Prompt string
	// Now is the clock that tells two quick clicks from two slow ones.
	Now func() time.Time

	sheet  Sheet
	tool   Tool
	w, h   float64 // device pixels
	scale  float64 // device pixels to the unit
	view   shape.Affine
	fitted bool // the zoom follows the size of the canvas

	pins    []draw.Pin // laid out, device pixels
	pinsFor *shape.Affine

	draft   []shape.Pt // figure being drawn, sheet unit
	corner  *shape.Pt  // first corner of a patch set by keys, sheet unit
	cursor  shape.Pt   // pointer or key cursor, device pixels
	keyed   bool       // the cursor was last moved by keys and is shown
	moved   bool       // the key cursor moved since the last point of the draft
	inside  bool       // the pointer is over the canvas
	shift   bool       // the key is held
	hovered int
	over    over
	press   press
	clicked lastClick

	active  point       // the single point that keys act on
	ghost   ghostChoice // the active one
	near    ghostChoice // the one that the pointer is about
	pending held        // what arrow keys moved and did not report yet
	holding bool        // an arrow key is held down

	snapOff bool
	snap    *snapMark
	edges   map[*outline.SideDrawing]*edges
	loupe   LoupeMode
	corners int     // where the loupe stood last
	brushed float64 // radius of the brush, sheet unit; 0 for the usual one
}

// NewController makes an empty controller.
func NewController() *Controller {
	return &Controller{scale: 1, view: shape.Identity(), fitted: true, Now: time.Now, press: press{held: ground{}}}
}

// SetSheet sets the sheet. Another ground is fitted and drops what was being
// drawn; the same ground keeps its zoom.
func (c *Controller) SetSheet(s Sheet) {
	same := s.same(c.sheet)
	if c.pending != nil && !same {
		c.Settle()
	}
	c.sheet = s
	c.pinsFor = nil
	if !same {
		c.draft, c.corner, c.press, c.hovered, c.keyed = nil, nil, press{held: ground{}}, 0, false
		c.over, c.snap, c.active, c.brushed = over{}, nil, point{}, 0
		c.Fit()
	}
	c.keep()
	c.changed()
}

// keep drops what the sheet no longer has.
func (c *Controller) keep() {
	if !c.active.on(c.Sheet()) {
		c.active = point{}
	}
	if _, ok := c.ghostAt(c.ghost); !ok {
		c.ghost = ghostChoice{}
	}
	if c.over.kind == overGhost || c.over.kind == overScale {
		c.over = over{}
	}
}

// Sheet is what is shown, changes in progress included.
func (c *Controller) Sheet() Sheet {
	s := c.sheet
	if c.pending != nil {
		s = c.pending.shown(s)
	}
	if c.press.down {
		s = c.press.held.shown(s)
	}
	return s
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
	c.tool, c.draft, c.corner, c.snap = t, nil, nil, nil
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

func (c *Controller) say(sentence string) {
	if c.OnSay != nil {
		c.OnSay(sentence)
	}
}

// dist is the distance between two points of the view in units.
func (c *Controller) dist(p, q shape.Pt) float64 { return math.Hypot(p.X-q.X, p.Y-q.Y) / c.scale }

// onSheet is the point itself, on a photo moved onto it when it lies beside.
func (c *Controller) onSheet(p shape.Pt) shape.Pt {
	if c.sheet.Side == nil {
		b := c.sheet.bounds()
		p.X = math.Max(b.Min.X, math.Min(b.Max.X, p.X))
		p.Y = math.Max(b.Min.Y, math.Min(b.Max.Y, p.Y))
	}
	return p
}
