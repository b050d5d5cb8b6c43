package markview

import (
	"math"

	"wornwood/annotate/shape"
)

// Limits of the zoom in units of the window to one unit of the sheet: a photo
// pixel at most 24 units wide, a millimetre at most 60.
const (
	mostPhoto = 24.0
	mostSide  = 60.0
)

// lifeSize is how many units a millimetre takes when 96 of them make an inch,
// which is what operating systems take a unit for.
const lifeSize = 96 / 25.4

// Fit shows the whole sheet, or the part that it is focused on.
func (c *Controller) Fit() {
	c.fitted = true
	if !c.sheet.empty() && c.w > 0 && c.h > 0 {
		margin := 0.0
		if c.sheet.Side != nil {
			margin = math.Min(fitMargin*c.scale, math.Min(c.w, c.h)/8)
		}
		c.view = shape.Fit(c.sheet.fitTo(), c.room(), margin)
		c.wholePixels()
	}
	c.changed()
}

// OneToOne shows a photo pixel for pixel, an outline at about life size, about
// the pointer when it is over the canvas, else about the middle.
func (c *Controller) OneToOne() {
	k := 1.0
	if c.sheet.Side != nil {
		k = lifeSize * c.scale
	}
	c.zoomTo(k, c.focus())
}

// Wheel zooms about the cursor; a notch is 25 and makes a fifth.
func (c *Controller) Wheel(at shape.Pt, dy float64) {
	c.cursor = at
	factor := math.Exp2(math.Max(-1, math.Min(1, dy/100)))
	k := c.Zoom() * factor
	// Passing one to one stops there: that is where a photo is sharpest.
	if c.sheet.Side == nil && (c.Zoom() < 0.999) != (k < 0.999) && math.Abs(c.Zoom()-1) > 1e-3 {
		k = 1
	}
	c.zoomTo(k, at)
}

// ZoomBy zooms about the pointer or the middle.
func (c *Controller) ZoomBy(factor float64) { c.zoomTo(c.Zoom()*factor, c.focus()) }

func (c *Controller) focus() shape.Pt {
	if c.inside || c.keyed {
		return c.cursor
	}
	return c.room().Center()
}

func (c *Controller) zoomTo(k float64, at shape.Pt) {
	if c.sheet.empty() || !(c.w > 0) {
		return
	}
	least := shape.Fit(c.sheet.fitTo(), c.room(), 0)[0] / 4
	most := mostPhoto * c.scale
	if c.sheet.Side != nil {
		most = mostSide * c.scale
	}
	k = math.Max(math.Min(least, 1), math.Min(math.Max(most, least), k))
	if k == c.Zoom() {
		return
	}
	c.fitted = false
	c.setView(c.view.ZoomAbout(at, k/c.Zoom()))
}

// Pan moves the view by device pixels.
func (c *Controller) Pan(dx, dy float64) {
	if c.sheet.empty() || dx == 0 && dy == 0 {
		return
	}
	c.fitted = false
	c.setView(c.view.Then(shape.Translate(shape.Pt{X: dx, Y: dy})))
}

// setView takes a view, moved so that the middle of the canvas stays on the
// sheet: nobody pans into nothing and wonders where the photo went.
func (c *Controller) setView(a shape.Affine) {
	c.view = a
	if !c.sheet.empty() {
		b, mid := c.sheet.bounds(), c.room().Center()
		lo, hi := a.Apply(b.Min), a.Apply(b.Max)
		c.view[2] += math.Max(0, mid.X-hi.X) - math.Max(0, lo.X-mid.X)
		c.view[5] += math.Max(0, mid.Y-hi.Y) - math.Max(0, lo.Y-mid.Y)
	}
	c.wholePixels()
	c.changed()
}

// wholePixels puts a photo at one to one on whole device pixels, where its pixels are
// shown as they are.
func (c *Controller) wholePixels() {
	if c.sheet.Side != nil || math.Abs(c.view[0]-1) > 1e-9 {
		return
	}
	c.view = shape.Affine{1, 0, math.Round(c.view[2]), 0, 1, math.Round(c.view[5])}
}
