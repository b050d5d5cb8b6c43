package markview

import (
	"time"

	"wornwood/annotate/shape"
)

// Button is a button of the pointer.
type Button uint8

// The buttons.
const (
	Primary Button = iota
	Other          // pans
)

// press is what goes on between a button's going down and up.
type press struct {
	down    bool
	at      shape.Pt // where it went down, device pixels
	last    shape.Pt
	step    shape.Pt // what the pointer moved last
	dragged bool     // it wandered farther than a click may
	held    held
}

// held is what a press took hold of and a drag moves.
type held interface {
	// move tells where the pointer went, in device pixels.
	move(c *Controller, at shape.Pt)
	// drop is the button coming up; dragged says that the press wandered.
	drop(c *Controller, at shape.Pt, dragged bool)
	// shown is the sheet with what has changed so far.
	shown(s Sheet) Sheet
	// spot is the exact place that is being set, in the sheet's unit; false
	// when nothing exact is.
	spot(c *Controller) (shape.Pt, bool)
}

// idle is a held thing that moves nothing; others build on it.
type idle struct{}

func (idle) move(*Controller, shape.Pt)             {}
func (idle) drop(*Controller, shape.Pt, bool)       {}
func (idle) shown(s Sheet) Sheet                    { return s }
func (idle) spot(*Controller) (p shape.Pt, ok bool) { return p, false }

// pan is a press that only moves the view.
type pan struct{ idle }

func (pan) move(c *Controller, _ shape.Pt) { c.Pan(c.press.step.X, c.press.step.Y) }

// ground is a press on nothing: a drag pans, a click is what the tool makes of
// it.
type ground struct{ pan }

func (ground) drop(c *Controller, at shape.Pt, dragged bool) {
	if !dragged {
		c.click(at)
	}
}

// lastClick is the press before, to tell a double click.
type lastClick struct {
	at   shape.Pt
	when time.Time
}

// doubleClick is how quickly a second click must follow.
const doubleClick = 400 * time.Millisecond

// twice says that this press is the second of a double click, and notes it.
func (c *Controller) twice(at shape.Pt) bool {
	now := c.Now()
	old := c.clicked
	if !old.when.IsZero() && now.Sub(old.when) <= doubleClick && c.dist(at, old.at) <= slop {
		c.clicked = lastClick{}
		return true
	}
	c.clicked = lastClick{at, now}
	return false
}

// Press is a button going down. What is hit is decided here, not when the
// button comes up: the pin under the finger must not slip away.
func (c *Controller) Press(at shape.Pt, b Button) {
	c.Settle()
	c.cursor, c.keyed, c.inside = at, false, true
	c.press = press{down: true, at: at, last: at, held: pan{}}
	if b == Primary {
		c.press.held = c.take(at, c.twice(at))
	}
}

// take is what a press takes hold of, the finest thing first.
func (c *Controller) take(at shape.Pt, twice bool) held {
	if len(c.draft) > 0 {
		return ground{}
	}
	if c.tool.brush() {
		return c.takeBrush(at)
	}
	if h := c.takeScale(at); h != nil {
		return h
	}
	switch c.tool {
	case PickTool:
		return ground{}
	case PatchTool:
		return &frame{from: c.toSheet(at), to: c.toSheet(at)}
	}
	for _, take := range []func(shape.Pt, bool) held{c.takeGhostButton, c.takeCurve, c.takeVertex} {
		if h := take(at, twice); h != nil {
			return h
		}
	}
	if c.tool == MeasureTool {
		return c.takeRuler(at)
	}
	if h := c.takeMark(at, twice); h != nil {
		return h
	}
	if h := c.takeGhost(at); h != nil {
		return h
	}
	c.active = point{}
	if c.tool.least() > 0 && c.sheet.holds(c.toSheet(at)) {
		return &sketch{pts: []shape.Pt{c.toSheet(at)}}
	}
	return ground{}
}

// Move is the pointer moving, with or without a button.
func (c *Controller) Move(at shape.Pt) {
	step := shape.Sub(at, c.press.last)
	c.cursor, c.inside, c.keyed = at, true, false
	p := &c.press
	p.last = at
	if !p.down {
		c.hover(at)
		return
	}
	if !p.dragged {
		if c.dist(at, p.at) <= slop {
			return
		}
		p.dragged, c.clicked = true, lastClick{}
		step = shape.Sub(at, p.at)
	}
	p.step = step
	p.held.move(c, at)
}

// Release is the button coming up. It may be told twice.
func (c *Controller) Release(at shape.Pt) {
	p := c.press
	if !p.down {
		return
	}
	c.press = press{last: at, held: ground{}}
	c.cursor, c.snap = at, nil
	c.pinsFor = nil
	if !p.dragged {
		at = p.at
	}
	p.held.drop(c, at, p.dragged)
	c.changed()
}

// Leave is the pointer leaving the canvas.
func (c *Controller) Leave() {
	c.inside, c.snap, c.over = false, nil, over{}
	c.setHovered(0)
	c.changed()
}

// over is what else the pointer is over than a mark.
type over struct {
	kind  overKind
	index int // of the sheet's Ghosts or Scale; of the two buttons, 1 or 2
}

type overKind uint8

const (
	overNothing overKind = iota
	overGhost
	overButton
	overScale
)

// hover notes what is under the pointer, or the key cursor.
func (c *Controller) hover(at shape.Pt) {
	was, about, snapped := c.over, c.near, c.snap
	n := 0
	c.over = over{}
	if len(c.draft) == 0 && !c.tool.brush() {
		c.over = c.overAt(at)
		if c.over.kind == overNothing {
			n, _, _ = c.hit(at)
		}
	}
	if c.over.kind == overGhost {
		c.near = ghostChoice{c.sheet.Ghosts[c.over.index].ID, true}
	} else if !c.lingers(at) {
		c.near = ghostChoice{}
	}
	c.setHovered(n)
	c.snap = nil
	if c.tool.sets() {
		c.point(at)
	}
	if len(c.draft) > 0 {
		c.moved = true
	}
	if len(c.draft) > 0 || c.tool.brush() || was != c.over || about != c.near || snapped != nil || c.snap != nil || c.glassy() {
		c.changed()
	}
}

func (c *Controller) overAt(at shape.Pt) over {
	if k := c.scaleAt(at); k >= 0 {
		return over{overScale, k}
	}
	if k := c.buttonAt(at); k > 0 {
		return over{overButton, k}
	}
	if k := c.ghostUnder(at); k >= 0 {
		return over{overGhost, k}
	}
	return over{}
}

func (c *Controller) setHovered(n int) {
	if n == c.hovered {
		return
	}
	c.hovered = n
	if c.OnHover != nil {
		c.OnHover(n)
	}
	c.changed()
}

// SetShift tells that the shift key went down or up. While it is held, points
// do not snap, and arrow keys go ten times as far.
func (c *Controller) SetShift(on bool) {
	if c.shift == on {
		return
	}
	c.shift = on
	switch {
	case c.press.down && c.press.dragged:
		c.press.step = shape.Pt{}
		c.press.held.move(c, c.cursor)
	case c.inside && !c.press.down:
		c.hover(c.cursor)
	}
	c.changed()
}

// pointing says that the pointer is on something that can be taken hold of.
func (c *Controller) pointing() bool {
	if c.press.down {
		switch c.press.held.(type) {
		case *figure, *nodeGrip, *scaleGrip:
			return true
		}
		return false
	}
	return c.hovered > 0 || c.over.kind != overNothing
}
