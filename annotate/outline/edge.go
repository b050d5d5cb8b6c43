package outline

import (
	"wornwood/annotate/shape"
)

// drawSide is the sheet of one side of the body. Seen with the head up, the
// front of a right-handed instrument is on the right when one looks at its
// bass side, on the left at its treble side. It is drawn with the front on the
// right.
func (pl *plan) drawSide(side Side) SideDrawing {
	s := newSheet(side, (side == TrebleSide) != pl.p.LeftHanded)
	s.parts(pl, pl.side)
	return s.done(pl.stripPath(pl.strips[side]))
}

// stripHalf is half the depth of the body where it is deepest: the front's
// edge of a strip lies at this X.
func (pl *plan) stripHalf() float64 { return pl.class.body.depth.mm * pl.bulk / 2 }

// stripBack is the X of the back's edge of a strip, y mm along it.
func (pl *plan) stripBack(st strip, y float64) float64 {
	return pl.stripHalf() - pl.depthAt(st.at(y))
}

// stripPath is the whole strip; its back's edge runs slanting on a body that
// grows deeper.
func (pl *plan) stripPath(st strip) shape.Path {
	if pl.class.body.narrow.mm == 0 {
		c := corners(shape.Rect{Min: shape.Pt{X: -pl.stripHalf()}, Max: shape.Pt{X: pl.stripHalf(), Y: st.length()}})
		return shape.Polygon(c[:]...)
	}
	back := pl.backEdge(st, 0)
	return shape.Polygon(append(back, shape.Pt{X: pl.stripHalf(), Y: st.length()}, shape.Pt{X: pl.stripHalf()})...)
}

// backEdge is the back's edge of a strip from the neck to the end, d mm inside
// it.
func (pl *plan) backEdge(st strip, d float64) []shape.Pt {
	const steps = 60
	if pl.class.body.narrow.mm == 0 {
		return []shape.Pt{{X: d - pl.stripHalf()}, {X: d - pl.stripHalf(), Y: st.length()}}
	}
	var out []shape.Pt
	for i := range steps + 1 {
		y := st.length() * float64(i) / steps
		out = append(out, shape.Pt{X: pl.stripBack(st, y) + d, Y: y})
	}
	return out
}

// ribs draws a side with the edges of the plates or the rounding of a solid
// body along it.
type ribs struct{}

func (ribs) draw(pl *plan, s *sheet) {
	b, st := &pl.class.body, pl.strips[s.Side]
	half, long := pl.stripHalf(), st.length()
	name := b.sides.name
	if name == "" {
		name = string(s.Side)
	}
	s.add("edge", name, b.sides.part, 0, pl.stripPath(st))
	if r := b.round.mm * pl.bulk; r > 0 {
		for _, x := range []float64{-(half - r), half - r} {
			s.dashed(thin, shape.Polyline(shape.Pt{X: x}, shape.Pt{X: x, Y: long}))
		}
	}
	lip := b.lip.mm * pl.bulk
	if lip == 0 {
		return
	}
	s.add("front-lip", b.border.name+", front edge", b.border.part, 0,
		shape.Polygon(shape.Pt{X: half - lip}, shape.Pt{X: half}, shape.Pt{X: half, Y: long}, shape.Pt{X: half - lip, Y: long}))
	if b.border.bare {
		return
	}
	ring := pl.backEdge(st, 0)
	inner := pl.backEdge(st, lip)
	for i := len(inner) - 1; i >= 0; i-- {
		ring = append(ring, inner[i])
	}
	s.add("back-lip", b.border.name+", back edge", b.border.part, 0, shape.Polygon(ring...))
}

// ticks marks on both edges of a strip where the horn's tip, the widest of the
// upper bout, the waist and the widest of the lower bout are.
type ticks struct{}

func (ticks) draw(pl *plan, s *sheet) {
	st, half, long := pl.strips[s.Side], pl.stripHalf(), 3*pl.bulk
	for _, y := range st.turns() {
		back := -half
		if pl.class.body.narrow.mm != 0 {
			back = pl.stripBack(st, y)
		}
		s.stroke(thin, shape.Polyline(shape.Pt{X: back, Y: y}, shape.Pt{X: back + long, Y: y}))
		s.stroke(thin, shape.Polyline(shape.Pt{X: half - long, Y: y}, shape.Pt{X: half, Y: y}))
	}
}

// hornPin is the strap button at the tip of the bass horn.
type hornPin struct{}

func (hornPin) draw(pl *plan, s *sheet) {
	if s.Side != BassSide {
		return
	}
	st := pl.strips[s.Side]
	c := shape.Pt{Y: st.reach(func(p shape.Pt) bool { return p == st.tip })}
	s.stroke(medium, shape.Circle(c, 7*pl.size))
	s.screw(c, 2.4*pl.size)
}

// endPin is the half of the end pin that each side shows.
type endPin struct{}

func (endPin) draw(pl *plan, s *sheet) {
	st := pl.strips[s.Side]
	x := 0.0
	if pl.class.body.narrow.mm != 0 {
		x = (pl.stripHalf() + pl.stripBack(st, st.length())) / 2
	}
	s.stroke(medium, halfDisc(shape.Pt{X: x, Y: st.length()}, 7*pl.size))
}

// halfDisc is the upper half of a circle: the end pin's half on this side.
func halfDisc(c shape.Pt, r float64) shape.Path {
	rings := shape.Circle(c, r).Rings(true)
	return shape.FromCurves(rings[0][2:], false)
}

func corners(r shape.Rect) [4]shape.Pt {
	return [4]shape.Pt{r.Min, {X: r.Max.X, Y: r.Min.Y}, r.Max, {X: r.Min.X, Y: r.Max.Y}}
}
