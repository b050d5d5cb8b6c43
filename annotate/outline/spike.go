package outline

import (
	"wornwood/annotate/shape"
	"wornwood/capture/record"
)

// spike is the end pin that a cello or a double bass stands on: a plug in the
// lower block, its collar, and a rod drawn out some way. On front and back what
// stands out beyond the end of the body is seen; each side shows half the plug.
type spike struct {
	collar figure `dim:"end pin's collar, across"`
	height figure `dim:"end pin's collar, along the strings"`
	rod    figure `dim:"end pin's rod, across"`
	out    figure `dim:"end pin's rod, beyond the body's end as drawn"`
}

func (p spike) draw(pl *plan, s *sheet) {
	k := pl.size
	if s.Side != Front && s.Side != Back {
		st := pl.strips[s.Side]
		x := 0.0
		if pl.class.body.narrow.mm != 0 {
			x = (pl.stripHalf() + pl.stripBack(st, st.length())) / 2
		}
		s.stroke(medium, halfDisc(shape.Pt{X: x, Y: st.length()}, p.collar.mm*k/2))
		s.stroke(thin, halfDisc(shape.Pt{X: x, Y: st.length()}, p.rod.mm*k*0.7))
		return
	}
	y := p.foot(pl)
	s.add("end-pin", "end pin", record.Bridge, 0, p.ring(pl))
	// The collar's lip and the screw that holds the rod.
	lip := y + p.height.mm*k*0.34
	s.stroke(thin, shape.Polyline(shape.Pt{X: -p.collar.mm * k * 0.47, Y: lip}, shape.Pt{X: p.collar.mm * k * 0.47, Y: lip}))
	s.stroke(thin, shape.Circle(shape.Pt{Y: y + p.height.mm*k*0.66}, p.rod.mm*k*0.42))
}

// foot is where the collar begins: clear of the body by more than the drawing's
// tolerance, as everything that stands off it.
func (spike) foot(pl *plan) float64 { return pl.endY() + 0.4*pl.size }

func (p spike) ring(pl *plan) shape.Path {
	k, y := pl.size, p.foot(pl)
	c, h, r := p.collar.mm*k/2, p.height.mm*k, p.rod.mm*k/2
	tip := y + p.out.mm*k
	half := []node{
		{X: 0, Y: tip, Angle: 180, Out: r * 0.2},
		{X: -r * 0.35, Y: tip - r*0.7, Angle: 262, In: r * 0.3, Out: r * 0.5},
		{X: -r, Y: tip - r*5, Angle: 270, In: r * 2, Out: r},
		{X: -r, Y: y + h, Angle: 270, In: r, Out: 0, Turn: -88},
		{X: -c * 0.72, Y: y + h*0.94, Angle: 185, In: r * 0.3, Out: c * 0.16},
		{X: -c * 0.9, Y: y + h*0.4, Angle: 270, In: h * 0.3, Out: h * 0.1},
		{X: -c, Y: y + h*0.16, Angle: 270, In: h * 0.12, Out: h * 0.08},
		{X: -c * 0.92, Y: y, Angle: 0, In: c * 0.05, Out: c * 0.3},
		{X: 0, Y: y, Angle: 0, In: c * 0.4},
	}
	return shape.FromCurves(throughNodes(whole(half), true), true)
}

func (p spike) outside(pl *plan) []shape.Path { return []shape.Path{p.ring(pl)} }
