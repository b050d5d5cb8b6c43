package markview

import (
	"math"

	"wornwood/annotate/shape"
)

// LoupeMode says when the loupe is out.
type LoupeMode uint8

// The modes of the loupe.
const (
	LoupeAuto LoupeMode = iota // while something exact is set: a drag of a point, a rectangle or a line, picking, measuring
	LoupeOn                    // whenever the pointer or the key cursor is on the canvas
	LoupeOff
)

// Sizes of the loupe in units, and how much it magnifies.
const (
	loupeRadius = 55.0
	loupeShare  = 0.24 // of the shorter side of a small canvas
	loupeAway   = 24.0 // between its edge and the spot
	loupeTimes  = 5.0
	loupeLeast  = 2.0  // device pixels to a pixel of the photo
	loupeMost   = 24.0 // units to a pixel of the photo or a millimetre, as long as that still magnifies
)

// SetLoupe chooses when the loupe is out.
func (c *Controller) SetLoupe(m LoupeMode) {
	c.loupe = m
	c.changed()
}

// LoupeMode is the chosen mode.
func (c *Controller) LoupeMode() LoupeMode { return c.loupe }

// Loupe is the magnifier as it stands, in device pixels.
type Loupe struct {
	Spot   shape.Pt // what its middle shows, in the unit of the sheet
	At     shape.Pt
	Radius float64
	Zoom   float64 // device pixels to a unit of the sheet
}

// View maps the sheet's unit to device pixels within the loupe.
func (l Loupe) View() shape.Affine {
	return shape.Translate(shape.Mul(l.Spot, -1)).Then(shape.Scale(l.Zoom, l.Zoom)).Then(shape.Translate(l.At))
}

// Loupe is the loupe, false while it is not out.
func (c *Controller) Loupe() (Loupe, bool) {
	spot, ok := c.spot()
	if !ok || c.sheet.empty() || !(c.w > 0) {
		return Loupe{}, false
	}
	l := Loupe{Spot: spot, Zoom: c.loupeZoom()}
	l.Radius = math.Round(math.Min(loupeRadius*c.scale, loupeShare*math.Min(c.w, c.h)))
	l.At = c.placeLoupe(c.view.Apply(spot), l.Radius)
	return l, true
}

// spot is the place that the loupe shows.
func (c *Controller) spot() (shape.Pt, bool) {
	if c.loupe == LoupeOff {
		return shape.Pt{}, false
	}
	if c.press.down && c.press.dragged {
		if p, ok := c.press.held.spot(c); ok {
			return p, true
		}
	}
	if c.pending != nil {
		return c.pending.spot(c)
	}
	picks := !c.press.down && (c.tool == PickTool || c.tool == MeasureTool) && c.over.kind == overNothing
	if (c.inside || c.keyed) && (c.loupe == LoupeOn || picks) {
		return c.next(), true
	}
	return shape.Pt{}, false
}

// glassy says that the loupe is out while the pointer only hovers.
func (c *Controller) glassy() bool {
	_, ok := c.spot()
	return ok
}

// loupeZoom is some five times that of the view, so that a photo's pixel is a
// whole number of device pixels.
func (c *Controller) loupeZoom() float64 {
	k := c.Zoom() * loupeTimes
	if most := math.Max(loupeMost*c.scale, 1.5*c.Zoom()); k > most {
		k = most
	}
	if c.sheet.Side == nil {
		k = math.Max(loupeLeast, math.Round(k))
	}
	return k
}

// placeLoupe finds a place beside the spot and the cursor, whole inside the
// canvas: above to the right, else in the next quarter. It stays in the quarter
// it was in as long as that will do, so that it does not jump about.
func (c *Controller) placeLoupe(at shape.Pt, radius float64) shape.Pt {
	edge := 4 * c.scale
	in := c.room().Grow(-radius - edge)
	away := (radius + loupeAway*c.scale) * math.Sqrt2 / 2
	clear := radius + 8*c.scale
	var best shape.Pt
	most := math.Inf(-1)
	for i := range 4 {
		k := (c.corners + i) % 4
		p := shape.Pt{X: at.X + away, Y: at.Y - away}
		if k == 1 || k == 2 {
			p.X = at.X - away
		}
		if k > 1 {
			p.Y = at.Y + away
		}
		fits := in.Contains(p)
		p.X = math.Max(in.Min.X, math.Min(in.Max.X, p.X))
		p.Y = math.Max(in.Min.Y, math.Min(in.Max.Y, p.Y))
		free := shape.Dist(p, at)
		if c.inside || c.keyed {
			free = math.Min(free, shape.Dist(p, c.cursor))
		}
		if fits && free >= clear {
			c.corners = k
			return p
		}
		if free > most {
			most, best = free, p
		}
	}
	return best
}
