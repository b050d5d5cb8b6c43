package outline

import (
	"wornwood/annotate/shape"
	"wornwood/capture/record"
)

// ukuleleBridge is a small glued bridge. Its strings are knotted in slots in
// the back edge, or tied over a block.
type ukuleleBridge struct {
	width  figure `dim:"bridge, across the strings"`
	deep   figure `dim:"bridge, along the strings"`
	before figure `dim:"bridge before the scale length"`
	hold   figure `dim:"saddle to where the strings are held"`
	tied   bool
}

func (b ukuleleBridge) front() float64 { return b.before.mm }

func (b ukuleleBridge) stringEnd(pl *plan, i int) []shape.Pt {
	_, saddle := pl.stringEnds(i)
	return []shape.Pt{saddle, {X: saddle.X, Y: saddle.Y + b.hold.mm*pl.size}}
}

func (b ukuleleBridge) draw(pl *plan, s *sheet) {
	k, y := pl.size, pl.long
	s.lean = pl.lean(y)
	inner := pl.stringSpan(y)/2 + 4*k
	w := max(b.width.mm*k/2, inner+9*k)
	top, low := y-b.before.mm*k, y+(b.deep.mm-b.before.mm)*k
	h := (low - top) / 2
	half := []node{
		{X: 0, Y: low, Angle: 180, Out: inner * 0.5},
		{X: -inner, Y: low, Angle: 180, In: inner * 0.3, Out: (w - inner) * 0.4},
		{X: -w + 3*k, Y: top + h*1.55, Angle: 190, In: (w - inner) * 0.3, Out: 1.6 * k},
		{X: -w, Y: top + h, Angle: 270, In: h * 0.3, Out: h * 0.3},
		{X: -w + 3*k, Y: top + h*0.45, Angle: 350, In: 1.6 * k, Out: (w - inner) * 0.3},
		{X: -inner, Y: top, Angle: 0, In: (w - inner) * 0.4, Out: inner * 0.3},
		{X: 0, Y: top, Angle: 0, In: inner * 0.5},
	}
	s.add("bridge", "bridge", record.Bridge, 0, shape.FromCurves(throughNodes(whole(half), true), true))
	sx := inner - 0.5*k
	s.stroke(medium, shape.Polygon(shape.Pt{X: -sx, Y: y - 1.1*k}, shape.Pt{X: sx, Y: y - 1.1*k}, shape.Pt{X: sx, Y: y + 1.1*k}, shape.Pt{X: -sx, Y: y + 1.1*k}))
	if b.tied {
		b.strokeBlock(pl, s, inner, low)
		return
	}
	for i := range pl.p.Strings {
		x := pl.stringX(i, y)
		hold := y + b.hold.mm*k
		r := min(1.5*k, pl.saddleHalf()*0.6)
		s.stroke(thin, shape.Circle(shape.Pt{X: x, Y: hold}, r))
		s.stroke(thin, shape.Polyline(shape.Pt{X: x, Y: hold + r}, shape.Pt{X: x, Y: low}))
	}
}

// strokeBlock is the block that the strings are tied over, each caught under
// itself.
func (b ukuleleBridge) strokeBlock(pl *plan, s *sheet, inner, low float64) {
	k := pl.size
	near, far := pl.long+(b.hold.mm-5.5)*k, min(pl.long+b.hold.mm*k, low-0.8*k)
	s.stroke(thin, shape.Polygon(shape.Pt{X: -inner, Y: near}, shape.Pt{X: inner, Y: near}, shape.Pt{X: inner, Y: far}, shape.Pt{X: -inner, Y: far}))
	d := min(1.7*k, 0.3*pl.saddleHalf())
	for i := range pl.p.Strings {
		x := pl.stringX(i, pl.long)
		s.stroke(hair, shape.Polyline(shape.Pt{X: x, Y: near}, shape.Pt{X: x + d, Y: near + 1.2*k}, shape.Pt{X: x + d, Y: far}))
		s.dot(shape.Pt{X: x, Y: far}, min(0.7*k, d*0.5))
	}
}
