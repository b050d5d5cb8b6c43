package draw

import (
	"math"

	"wornwood/annotate/shape"
	"wornwood/capture/record"
)

// Ghost is a suggested mark that nobody has confirmed, in view units. It is
// hollow, broken and without a number, so that it never looks like a mark.
type Ghost struct {
	Shape  record.Shape
	Points []shape.Pt
	Strong bool // hovered or active
}

// ghostRing is the radius of the broken ring round a suggested point, in window
// units.
const ghostRing = 8.0

// GhostOps draws suggestions.
func GhostOps(gs []Ghost, st Style) List {
	u := st.unit()
	var l List
	// One operation for all of a kind: there may be hundreds.
	for _, strong := range []bool{false, true} {
		var all shape.Path
		for _, g := range gs {
			if g.Strong == strong && len(g.Points) > 0 {
				all.Append(g.path(ghostRing * u))
			}
		}
		if len(all.Segs) == 0 {
			continue
		}
		width := 1.3 * u
		if strong {
			width = 2.2 * u
		}
		// The halo is broken too: a whole one would make a whole line of it.
		ops := haloed(all, st.Guide, width, st)
		ops[0].Dash, ops[1].Dash = []float64{4.5 * u, 4 * u}, []float64{4.5 * u, 4 * u}
		l = append(l, ops...)
	}
	return l
}

// path is the figure; a line of a ghost is drawn along both its sides, so that
// what it points at stays in sight.
func (g Ghost) path(ring float64) shape.Path {
	switch {
	case g.Shape == record.PointShape || len(g.Points) == 1:
		return shape.Circle(g.Points[0], ring)
	case g.Shape == record.AreaShape && len(g.Points) > 2:
		return shape.Polygon(g.Points...)
	}
	var p shape.Path
	for _, r := range StrokeRings(g.Points, ring, false) {
		p.Append(shape.Polygon(r...))
	}
	return p
}

// GhostButton is the radius of the buttons beside a suggestion, window units.
const GhostButton = 10.0

// GhostButtons are the two buttons of a suggestion: a tick that makes a mark of
// it and a cross that dismisses it. Hot is the one under the pointer: 1, 2, or 0.
func GhostButtons(accept, dismiss shape.Pt, hot int, st Style) List {
	u := st.unit()
	var tick, cross shape.Path
	tick.MoveTo(shape.Add(accept, shape.Pt{X: -4 * u, Y: 0.4 * u}))
	tick.LineTo(shape.Add(accept, shape.Pt{X: -1.2 * u, Y: 3.4 * u}))
	tick.LineTo(shape.Add(accept, shape.Pt{X: 4.2 * u, Y: -3.4 * u}))
	for _, s := range []float64{1, -1} {
		cross.MoveTo(shape.Add(dismiss, shape.Pt{X: -3.3 * u, Y: -3.3 * u * s}))
		cross.LineTo(shape.Add(dismiss, shape.Pt{X: 3.3 * u, Y: 3.3 * u * s}))
	}
	var l List
	for k, b := range []struct {
		at   shape.Pt
		sign shape.Path
	}{{accept, tick}, {dismiss, cross}} {
		ground, ink := Hex(0xFFFFFF), st.Select
		if hot == k+1 {
			ground, ink = st.Select, Hex(0xFFFFFF)
		}
		l = append(l, Op{Path: shape.Circle(b.at, (GhostButton+1.2)*u), Fill: Hex(0x16181A).Alpha(0.35)},
			Op{Path: shape.Circle(b.at, GhostButton*u), Fill: ground, Stroke: st.Select, Width: 1.2 * u},
			Op{Path: b.sign, Stroke: ink, Width: 1.9 * u})
	}
	return l
}

// ProjectedOps draws the lines and areas of marks known on the other surface
// only, in view units: thin and broken, without a tint.
func ProjectedOps(s record.Shape, pts []shape.Pt, level int, st Style) List {
	if s == record.PointShape || len(pts) < 2 {
		return nil
	}
	path := shape.Polyline(pts...)
	if s == record.AreaShape && len(pts) > 2 {
		path = shape.Polygon(pts...)
	}
	u := st.unit()
	l := haloed(path, st.Edge[level].Alpha(0.8), 1*u, st)
	l[1].Dash = []float64{2 * u, 3 * u}
	l[0].Stroke.A /= 2
	return l
}

// Sizes of the loupe's cross in window units.
const (
	loupeRing = 2.0
	loupeFrom = 5.0
)

// LoupeOps draws the ring of a loupe and the fine cross in its middle, which
// leaves the spot itself free.
func LoupeOps(at shape.Pt, radius float64, st Style) List {
	u := st.unit()
	hair := math.Max(1, math.Round(0.8*u))
	// On the middle of a pixel a line of whole width is crisp.
	mid := shape.Pt{X: math.Floor(at.X) + 0.5, Y: math.Floor(at.Y) + 0.5}
	arms := crossAt(mid, loupeFrom*u, radius-2*u, false)
	ring := shape.Circle(at, radius)
	return List{
		{Path: arms, Stroke: st.LineHalo, Width: hair + 2*u},
		{Path: arms, Stroke: st.Measure, Width: hair},
		{Path: ring, Stroke: st.LineHalo, Width: (loupeRing + 2.4) * u},
		{Path: ring, Stroke: st.Measure, Width: loupeRing * u},
	}
}
