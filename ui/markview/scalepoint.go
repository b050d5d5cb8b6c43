package markview

import (
	"fmt"
	"math"
	"slices"

	"wornwood/annotate/draw"
	"wornwood/annotate/shape"
)

// ScaleMark is one point that the photo is scaled by.
type ScaleMark struct {
	At       shape.Pt
	Name     string   // short: "nut, bass", "corner 2"
	Residual float64  // how far it lies from the fitted scale, in pixels of the photo
	Off      shape.Pt // the way from the point to where the fit has it, where it is known
	Wild     bool     // left out of the fit
	Index    int      // what OnScaleMove and OnScaleRemove call it
}

// scaleAt is the scale point at the place, -1 for none.
func (c *Controller) scaleAt(at shape.Pt) int {
	near, found := reach+2.0, -1
	for i, m := range c.sheet.Scale {
		if d := c.dist(at, c.view.Apply(m.At)); d <= near {
			near, found = d, i
		}
	}
	return found
}

// ActiveScale is the Index of the scale point that keys act on.
func (c *Controller) ActiveScale() (index int, ok bool) {
	if a := c.active; a.kind == scalePoint && a.on(c.sheet) {
		return c.sheet.Scale[a.at].Index, true
	}
	return 0, false
}

// takeScale grabs a scale point; keys act on it from now on.
func (c *Controller) takeScale(at shape.Pt) held {
	k := c.scaleAt(at)
	if k < 0 {
		return nil
	}
	c.active = point{kind: scalePoint, at: k, count: len(c.sheet.Scale)}
	m := c.sheet.Scale[k]
	return &scaleGrip{at: k, index: m.Index, p: m.At}
}

// scaleGrip is a scale point being moved.
type scaleGrip struct {
	at, index int
	p         shape.Pt
	grab      *shape.Pt // from the pointer to the point, sheet unit
}

func (g *scaleGrip) move(c *Controller, at shape.Pt) {
	if g.grab == nil {
		d := shape.Sub(g.p, c.toSheet(c.press.at))
		g.grab = &d
	}
	g.p = c.onSheet(shape.Add(c.toSheet(at), *g.grab))
	c.changed()
}

func (g *scaleGrip) shift(c *Controller, d shape.Pt) { g.p = c.onSheet(shape.Add(g.p, d)) }

func (g *scaleGrip) drop(c *Controller, _ shape.Pt, dragged bool) {
	if dragged && c.OnScaleMove != nil {
		c.OnScaleMove(g.index, g.p)
	}
}

// shown moves the point; what was left between it and the fit is no longer
// known.
func (g *scaleGrip) shown(s Sheet) Sheet {
	if g.at < len(s.Scale) && s.Scale[g.at].At != g.p {
		s.Scale = slices.Clone(s.Scale)
		m := &s.Scale[g.at]
		m.At, m.Off, m.Residual = g.p, shape.Pt{}, 0
	}
	return s
}

func (g *scaleGrip) spot(*Controller) (shape.Pt, bool) { return g.p, true }

// scaleMarks are the scale points for drawing, in device pixels.
func (c *Controller) scaleMarks(s Sheet, view shape.Affine) []draw.ScaleMark {
	out := make([]draw.ScaleMark, len(s.Scale))
	for i, m := range s.Scale {
		off := shape.Sub(view.Apply(shape.Add(m.At, m.Off)), view.Apply(m.At))
		out[i] = draw.ScaleMark{
			At: view.Apply(m.At), Name: m.Name, Off: off, Residual: m.Residual * view.Factor(), Wild: m.Wild,
			Active: c.active.kind == scalePoint && c.active.at == i,
		}
	}
	return out
}

// tip are the lines of the note beside the point.
func (m ScaleMark) tip() []string {
	left := m.Residual
	if left == 0 {
		left = math.Hypot(m.Off.X, m.Off.Y)
	}
	lines := []string{m.Name}
	switch {
	case m.Wild:
		lines = append(lines, fmt.Sprintf("%.1f px beside the scale: left out", left), "drag it, or press Delete")
	case left > 0:
		lines = append(lines, fmt.Sprintf("%.1f px from the fitted scale,", left), fmt.Sprintf("drawn %d times as long", draw.ResidualTimes))
	default:
		lines = append(lines, "drag it to correct it")
	}
	return lines
}
