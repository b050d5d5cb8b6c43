package markview

import (
	"math"

	"wornwood/annotate/shape"
)

// Key is a key that means something to the canvas.
type Key uint8

// The keys.
const (
	NoKey     Key = iota
	FitKey        // space
	OneKey        // 1
	InKey         // plus
	OutKey        // minus
	EnterKey      // ends a figure; accepts the active suggestion; with the key cursor: a click there
	EscapeKey     // drops what is being drawn or dragged; else lets go of a suggestion, a point, the key cursor, the mark
	BackKey       // takes back the last point of a figure; else removes the active point
	LeftKey       // the arrows move the active point or the selected mark, else the key cursor
	RightKey
	UpKey
	DownKey
	DeleteKey    // removes the active point; dismisses the active suggestion
	AddKey       // Insert: adds a point behind the active one
	NextKey      // full stop: the next point is active
	PreviousKey  // comma
	GhostKey     // N, Tab: the next suggestion is active
	GhostBackKey // shift with N or Tab
	DismissKey   // X: dismisses the active suggestion
	LoupeKey     // L: always, never, or by itself
	CursorKey    // C: brings the key cursor out, or puts it away
	SmallerKey   // [: a smaller brush
	LargerKey    // ]
	lastKey      = LargerKey
)

// Key does what the key means and says whether it meant anything.
func (c *Controller) Key(k Key) bool {
	if k < LeftKey || k > DownKey {
		if k == EscapeKey && c.pending != nil {
			c.pending, c.holding, c.pinsFor = nil, false, nil
			c.changed()
			return true
		}
		c.Settle()
	}
	switch k {
	case FitKey:
		c.Fit()
	case OneKey:
		c.OneToOne()
	case InKey:
		c.ZoomBy(math.Sqrt2)
	case OutKey:
		c.ZoomBy(math.Sqrt2 / 2)
	case EnterKey:
		return c.enter()
	case EscapeKey:
		return c.escape()
	case BackKey:
		return c.back()
	case LeftKey:
		c.arrow(-1, 0)
	case RightKey:
		c.arrow(1, 0)
	case UpKey:
		c.arrow(0, -1)
	case DownKey:
		c.arrow(0, 1)
	default:
		return c.pointKey(k)
	}
	return true
}

// pointKey is the keys for single points, suggestions, loupe and brush.
func (c *Controller) pointKey(k Key) bool {
	switch k {
	case DeleteKey:
		return c.decide(false) || c.remove()
	case AddKey:
		return c.add()
	case NextKey:
		return c.stepPoint(1)
	case PreviousKey:
		return c.stepPoint(-1)
	case GhostKey:
		return c.stepGhost(1)
	case GhostBackKey:
		return c.stepGhost(-1)
	case DismissKey:
		return c.decide(false)
	case LoupeKey:
		c.SetLoupe((c.loupe + 1) % (LoupeOff + 1))
	case CursorKey:
		c.toggleCursor()
	case SmallerKey:
		c.SetBrush(c.Brush() / brushStep)
	case LargerKey:
		c.SetBrush(c.Brush() * brushStep)
	default:
		return false
	}
	return true
}

// back takes back the last point of a figure, or removes the active point.
func (c *Controller) back() bool {
	if len(c.draft) == 0 {
		return c.remove()
	}
	c.draft = c.draft[:len(c.draft)-1]
	c.changed()
	return true
}

// arrow moves what keys act on, else the key cursor.
func (c *Controller) arrow(dx, dy float64) {
	if c.nudges() {
		c.nudge(dx, dy)
		return
	}
	k := cursorStep
	if c.shift {
		k *= nudgeFar
	}
	c.step(dx*k, dy*k)
}

// enter accepts the active suggestion. Else it does what a click does at the
// key cursor, when that is out and has moved; else it ends the figure.
func (c *Controller) enter() bool {
	done := false
	switch {
	case len(c.draft) == 0 && c.decide(true):
		done = true
	case c.keyed && c.tool == PatchTool:
		c.keyPatch()
		done = true
	case c.keyed && (len(c.draft) == 0 || c.moved):
		c.clicked = lastClick{}
		c.Press(c.cursor, Primary)
		c.Release(c.cursor)
		c.clicked = lastClick{}
		c.keyed, c.moved, done = true, false, true
	default:
		done = c.finish()
	}
	c.changed()
	return done
}

func (c *Controller) escape() bool {
	switch {
	case c.press.down:
		c.press = press{held: ground{}}
		c.pinsFor, c.snap = nil, nil
		c.active = point{}
	case len(c.draft) > 0:
		c.draft = nil
	case c.corner != nil:
		c.corner = nil
	case c.ghost.on || c.near.on:
		c.ghost, c.near = ghostChoice{}, ghostChoice{}
	case c.active.kind != noPoint:
		c.active = point{}
	case c.keyed:
		c.keyed = false
	case c.sheet.Selected != 0:
		if c.OnSelect != nil {
			c.OnSelect(0)
		}
	default:
		return false
	}
	c.changed()
	return true
}

// step moves the key cursor; at the edge of the canvas the view gives way.
func (c *Controller) step(dx, dy float64) {
	c.out()
	c.moved = true
	p := shape.Pt{X: c.cursor.X + dx*c.scale, Y: c.cursor.Y + dy*c.scale}
	in := shape.Pt{X: math.Max(0, math.Min(c.w, p.X)), Y: math.Max(0, math.Min(c.h, p.Y))}
	c.Pan((in.X-p.X)*5, (in.Y-p.Y)*5)
	c.cursor = in
	c.hover(in)
	c.changed()
}

// out brings the key cursor out, where the pointer is or in the middle.
func (c *Controller) out() {
	if !c.keyed && !c.inside {
		c.cursor = c.room().Center()
	}
	c.keyed = true
}

func (c *Controller) toggleCursor() {
	if c.keyed {
		c.keyed = false
	} else {
		c.out()
		c.active = point{}
		c.hover(c.cursor)
	}
	c.changed()
}

// Cursor is where the next point would go, in device pixels; keyed says that
// keys moved it and that it must be shown.
func (c *Controller) Cursor() (at shape.Pt, keyed bool) { return c.cursor, c.keyed }
