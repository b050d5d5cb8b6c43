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
	EnterKey      // ends a figure; with the key cursor: a click there
	EscapeKey     // drops what is being drawn or dragged; else deselects
	BackKey       // takes back the last point of a figure
	LeftKey       // the arrows move the key cursor
	RightKey
	UpKey
	DownKey
)

// Key does what the key means and says whether it meant anything.
func (c *Controller) Key(k Key) bool {
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
		if len(c.draft) == 0 {
			return false
		}
		c.draft = c.draft[:len(c.draft)-1]
		c.changed()
	case LeftKey:
		c.step(-cursorStep, 0)
	case RightKey:
		c.step(cursorStep, 0)
	case UpKey:
		c.step(0, -cursorStep)
	case DownKey:
		c.step(0, cursorStep)
	default:
		return false
	}
	return true
}

// enter clicks at the key cursor when it is out and has moved; else it ends
// the figure.
func (c *Controller) enter() bool {
	done := false
	switch {
	case c.keyed && (len(c.draft) == 0 || c.moved):
		if n, _, _ := c.hit(c.cursor); n > 0 && len(c.draft) == 0 {
			if c.OnSelect != nil {
				c.OnSelect(n)
			}
		} else {
			c.click(c.cursor)
		}
		c.moved, done = false, true
	default:
		done = c.finish()
	}
	c.changed()
	return done
}

func (c *Controller) escape() bool {
	switch {
	case c.press.down:
		c.press = press{handle: -1}
		c.pinsFor = nil
	case len(c.draft) > 0:
		c.draft = nil
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
	if !c.keyed && !c.inside {
		c.cursor = c.room().Center()
	}
	c.keyed, c.moved = true, true
	p := shape.Pt{X: c.cursor.X + dx*c.scale, Y: c.cursor.Y + dy*c.scale}
	in := shape.Pt{X: math.Max(0, math.Min(c.w, p.X)), Y: math.Max(0, math.Min(c.h, p.Y))}
	c.Pan((in.X-p.X)*5, (in.Y-p.Y)*5)
	c.cursor = in
	if n, _, _ := c.hit(in); len(c.draft) == 0 {
		c.setHovered(n)
	}
	c.changed()
}

// Cursor is where the next point would go, in device pixels; keyed says that
// keys moved it and that it must be shown.
func (c *Controller) Cursor() (at shape.Pt, keyed bool) { return c.cursor, c.keyed }
