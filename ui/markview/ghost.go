package markview

import (
	"fmt"
	"math"
	"slices"

	"wornwood/annotate/draw"
	"wornwood/annotate/shape"
	"wornwood/capture/record"
)

// Ghost is a suggested mark: the examiner accepts or dismisses it, nothing else
// does. It never looks like a mark.
type Ghost struct {
	ID     int
	Shape  record.Shape
	Points []shape.Pt
	Kind   string  // the trade's word: "finish check"
	Score  float64 // how much speaks for it, 0 to 1, no probability; 0 when it does not say
}

// ghostChoice names one ghost, or none.
type ghostChoice struct {
	id int
	on bool
}

// ghostAt is the index of the chosen ghost on the sheet.
func (c *Controller) ghostAt(g ghostChoice) (int, bool) {
	for i, h := range c.sheet.Ghosts {
		if g.on && h.ID == g.id {
			return i, true
		}
	}
	return -1, false
}

// current is the ghost whose buttons are shown: the active one, else the one
// that the pointer is at.
func (c *Controller) current() (int, bool) {
	if k, ok := c.ghostAt(c.ghost); ok {
		return k, true
	}
	return c.ghostAt(c.near)
}

// ActiveGhost is the ID of the suggestion that keys act on.
func (c *Controller) ActiveGhost() (id int, ok bool) {
	_, ok = c.ghostAt(c.ghost)
	return c.ghost.id, ok
}

// ghostUnder is the index of the ghost at the point, -1 for none. Inside an
// area is ground, as with marks.
func (c *Controller) ghostUnder(at shape.Pt) int {
	if c.tool != PinTool && c.tool != HandTool {
		return -1
	}
	best, found := reach+2.0, -1
	for i, g := range c.sheet.Ghosts {
		if len(g.Points) == 0 {
			continue
		}
		line := c.view.ApplyAll(place{shape: g.Shape, pts: g.Points}.ring())
		d := shape.DistToPolyline(at, line) / c.scale
		if len(line) == 1 {
			d = math.Max(0, d-ghostReach)
		}
		if d <= best {
			best, found = d, i
		}
	}
	return found
}

// ghostReach is the radius of the ring round a suggested point, in units.
const ghostReach = 8.0

// takeGhost makes the ghost under the press the active one.
func (c *Controller) takeGhost(at shape.Pt) held {
	k := c.ghostUnder(at)
	if k < 0 {
		if c.ghost.on {
			c.ghost = ghostChoice{}
			return pan{} // a click beside only lets go
		}
		return nil
	}
	c.ghost = ghostChoice{c.sheet.Ghosts[k].ID, true}
	return pan{}
}

// buttons are where the two buttons of the current ghost stand, device pixels:
// beside its upper right, inside the canvas.
func (c *Controller) buttons() (accept, dismiss shape.Pt, ok bool) {
	k, ok := c.current()
	if !ok {
		return accept, dismiss, false
	}
	u := c.scale
	var seen []shape.Pt
	for _, p := range c.view.ApplyAll(c.sheet.Ghosts[k].Points) {
		if c.room().Contains(p) {
			seen = append(seen, p)
		}
	}
	if len(seen) == 0 {
		return accept, dismiss, false
	}
	box := shape.RectAround(seen...).Grow(ghostReach * u)
	half, gap := (draw.GhostButton+3)*u, (2*draw.GhostButton+5)*u
	accept = shape.Pt{X: box.Max.X + half, Y: box.Min.Y}
	if accept.X+gap+half > c.w {
		accept.X = box.Min.X - half - gap
	}
	accept.X = math.Max(half, math.Min(c.w-gap-half, accept.X))
	accept.Y = math.Max(half, math.Min(c.h-half, accept.Y))
	return accept, shape.Pt{X: accept.X + gap, Y: accept.Y}, true
}

// buttonAt is 1 for the tick, 2 for the cross, 0 for neither.
func (c *Controller) buttonAt(at shape.Pt) int {
	accept, dismiss, ok := c.buttons()
	switch {
	case !ok:
	case c.dist(at, accept) <= draw.GhostButton+1.5:
		return 1
	case c.dist(at, dismiss) <= draw.GhostButton+1.5:
		return 2
	}
	return 0
}

// lingers says that the pointer is still about the current ghost, on its way to
// the buttons perhaps.
func (c *Controller) lingers(at shape.Pt) bool {
	accept, dismiss, ok := c.buttons()
	return ok && math.Min(c.dist(at, accept), c.dist(at, dismiss)) < 40
}

// button is a press on one of the two buttons.
type button struct {
	idle
	which, id int
}

func (c *Controller) takeGhostButton(at shape.Pt, _ bool) held {
	if k := c.buttonAt(at); k > 0 {
		i, _ := c.current()
		return button{which: k, id: c.sheet.Ghosts[i].ID}
	}
	return nil
}

func (b button) drop(c *Controller, at shape.Pt, _ bool) {
	if c.buttonAt(at) == b.which {
		c.ghost, c.near = ghostChoice{}, ghostChoice{}
		if c.OnGhost != nil {
			c.OnGhost(b.id, b.which == 1)
		}
	}
}

// decide accepts or dismisses the active ghost by key and goes on to the next.
func (c *Controller) decide(accept bool) bool {
	k, ok := c.ghostAt(c.ghost)
	if !ok {
		return false
	}
	gs := c.sheet.Ghosts
	next := gs[(k+1)%len(gs)]
	c.ghost = ghostChoice{next.ID, len(gs) > 1}
	if c.OnGhost != nil {
		c.OnGhost(gs[k].ID, accept)
	}
	// The caller may have numbered what is left anew: the next one is known by
	// where it is.
	for _, g := range c.sheet.Ghosts {
		if len(gs) > 1 && g.Shape == next.Shape && slices.Equal(g.Points, next.Points) {
			c.ghost = ghostChoice{g.ID, true}
		}
	}
	c.showGhost()
	return true
}

// stepGhost makes the next or the previous ghost active.
func (c *Controller) stepGhost(by int) bool {
	n := len(c.sheet.Ghosts)
	if n == 0 {
		return false
	}
	k, ok := c.ghostAt(c.ghost)
	switch {
	case ok:
		k = (k + by + n) % n
	case by < 0:
		k = n - 1
	default:
		k = 0
	}
	c.ghost = ghostChoice{c.sheet.Ghosts[k].ID, true}
	c.keyed, c.near = false, ghostChoice{}
	c.showGhost()
	return true
}

// MoreGhosts says whether there is a ghost beyond the active one, or before it:
// then Tab goes there, and only at the last one leaves the canvas.
func (c *Controller) MoreGhosts(back bool) bool {
	n := len(c.sheet.Ghosts)
	k, ok := c.ghostAt(c.ghost)
	switch {
	case n == 0:
		return false
	case !ok:
		return !back
	case back:
		return k > 0
	}
	return k < n-1
}

func (c *Controller) showGhost() {
	if k, ok := c.ghostAt(c.ghost); ok {
		g := c.sheet.Ghosts[k]
		if len(g.Points) > 0 {
			c.reveal(draw.AnchorOf(g.Shape, g.Points))
		}
	}
	c.changed()
}

// ghosts are the suggestions that show in the room, in device pixels.
func (c *Controller) ghosts(s Sheet, view shape.Affine, room shape.Rect) []draw.Ghost {
	var out []draw.Ghost
	at, _ := c.current()
	room = room.Grow(2 * ghostReach * c.scale)
	for i, g := range s.Ghosts {
		pts := view.ApplyAll(g.Points)
		b := shape.RectAround(pts...)
		if len(pts) == 0 || b.Max.X < room.Min.X || b.Min.X > room.Max.X || b.Max.Y < room.Min.Y || b.Min.Y > room.Max.Y {
			continue
		}
		out = append(out, draw.Ghost{Shape: g.Shape, Points: pts, Strong: i == at || c.over == over{overGhost, i}})
	}
	return out
}

// tip are the lines of the note beside the ghost.
func (g Ghost) tip() []string {
	what := "Possible " + g.Kind
	if g.Kind == "" {
		what = "Possible mark"
	}
	if g.Score > 0 {
		what += fmt.Sprintf(", score %.2f", g.Score)
	}
	return []string{what, "Enter makes a mark of it, X dismisses it"}
}
