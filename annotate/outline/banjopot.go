package outline

import (
	"math"

	"wornwood/annotate/shape"
	"wornwood/capture/record"
)

// pot is a banjo's body: a skin stretched over a rim by a hoop and its hooks, a
// flange around the rim and a resonator behind it. The class's body is the
// resonator's edge; everything lies about one middle.
type pot struct {
	middle    figure `dim:"nut to the middle of the pot"`
	rim       figure `dim:"rim, diameter"`
	hoop      figure `dim:"hoop beyond the rim"`
	skin      figure `dim:"skin inside the hoop, diameter"`
	flange    figure `dim:"flange, outside diameter"`
	flangeLow figure `dim:"flange below the skin"`
	hoopUp    figure `dim:"hoop above the skin"`
	hook      figure `dim:"hook, across"`
	hookLong  figure `dim:"hook over the hoop, as seen from the front"`
	hooks     int
	hoopTall  figure `dim:"hoop, seen from the side"`
	wall      figure `dim:"resonator's wall, seen from the side"`
}

// hoopR is the hoop's outer radius.
func (p pot) hoopR() float64 { return p.rim.mm/2 + p.hoop.mm }

// circle is a circle of the class about the pot's middle, on this body.
func (p pot) circle(pl *plan, r float64) shape.Path {
	ring := shape.Circle(shape.Pt{Y: p.middle.mm}, r).Rings(true)[0]
	return shape.FromCurves(pl.onBodyAll(ring), true)
}

func (p pot) draw(pl *plan, s *sheet) {
	switch s.Side {
	case Front:
		p.drawFront(pl, s)
	case Back:
		faces{}.draw(pl, s)
		for _, r := range []float64{0.36, 0.375, 0.74, 0.755} {
			s.stroke(hair, p.circle(pl, pl.class.body.width.mm*r/2))
		}
	default:
		p.drawSide(pl, s)
	}
}

// drawFront draws what lies under the neck; potTop draws the rest.
func (p pot) drawFront(pl *plan, s *sheet) {
	b := &pl.class.body
	s.add("border", b.border.name, b.border.part, 0, shape.FromCurves(pl.body, true))
	s.add("resonator", "resonator's edge", record.Resonator, 0, shape.Polygon(insetRing(pl.body, b.border.width.mm*pl.bulk)...))
	s.add("flange", "flange", record.Hoop, 0, p.circle(pl, p.flange.mm/2))
	p.strokeSlots(pl, s)
}

// angles are the places of the hooks round the hoop, from the treble side of
// the neck clockwise; those that the neck or its heel hides are left out.
func (p pot) angles(pl *plan) []float64 {
	var out []float64
	for i := range p.hooks {
		a := math.Pi * (15 + 330*float64(i)/float64(p.hooks-1)) / 180
		if at := p.at(pl, p.hoopR()+4, a); !p.hidden(pl, at, 7*pl.bulk) {
			out = append(out, a)
		}
	}
	return out
}

// at is the point of this body in the direction a, clockwise from the neck.
func (p pot) at(pl *plan, r, a float64) shape.Pt {
	sin, cos := math.Sincos(a)
	return pl.onBody(shape.Pt{X: r * sin, Y: p.middle.mm - r*cos})
}

// hidden says whether neck or fingerboard comes nearer to the point than room.
func (p pot) hidden(pl *plan, at shape.Pt, room float64) bool {
	sign := 1.0
	if at.X < 0 {
		sign = -1
	}
	return at.Y < pl.neckEnd+room && math.Abs(at.X) < pl.edgeHalf(sign, at.Y)+room
}

// strokeSlots draws the flange's openings, one between each pair of hooks.
func (p pot) strokeSlots(pl *plan, s *sheet) {
	inner, outer := p.hoopR()+6, p.flange.mm/2-5
	step := 2 * math.Pi * 330 / 360 / float64(p.hooks-1)
	for i := range p.hooks - 1 {
		mid := math.Pi*15/180 + step*(float64(i)+0.5)
		var ring []shape.Pt
		hide := false
		for j := -4; j <= 4; j++ {
			ring = append(ring, p.at(pl, outer, mid+step*0.3*float64(j)/4))
		}
		for j := 4; j >= -4; j-- {
			ring = append(ring, p.at(pl, inner, mid+step*0.3*float64(j)/4))
		}
		for _, q := range ring {
			hide = hide || p.hidden(pl, q, 2*pl.bulk)
		}
		if !hide {
			s.stroke(thin, shape.Polygon(ring...))
		}
	}
}

// height is how the pot's parts lie to the skin, which is the plane that front
// heights are counted from.
func (p pot) height(pl *plan, r Region) (Height, bool) {
	k := pl.bulk
	switch r.Part {
	case record.Skin:
		return Height{0, 0.5}, true // pressed down a little under the bridge
	case record.Resonator:
		return Height{-p.flangeLow.mm * k, 3}, true
	case record.Hoop:
		if r.ID == "front/flange" {
			return Height{-(p.flangeLow.mm - 3) * k, 3}, true
		}
		return Height{p.hoopUp.mm * k, 1}, true
	case pl.class.body.border.part:
		return Height{-p.flangeLow.mm * k, 3}, true
	}
	return Height{}, false
}

// potTop is what lies over the neck's end: hoop, hooks and skin.
type potTop struct{ pot }

func (p potTop) draw(pl *plan, s *sheet) {
	s.add("hoop", "hoop", record.Hoop, 0, p.circle(pl, p.hoopR()))
	s.add("body", pl.class.body.front.name, pl.class.body.front.part, 0, p.circle(pl, p.skin.mm/2))
	for i, a := range p.angles(pl) {
		w, long, out := p.hook.mm/2, p.hookLong.mm, p.hoopR()+4
		// A hook's bow lies along the radius, over the hoop's outer edge.
		sin, cos := math.Sincos(a)
		put := func(q shape.Pt) shape.Pt {
			q = shape.Pt{X: q.X*cos - q.Y*sin, Y: q.X*sin + q.Y*cos}
			return pl.onBody(shape.Add(q, shape.Pt{Y: p.middle.mm}))
		}
		box := shape.RoundRect(shape.Rect{Min: shape.Pt{X: -w, Y: -out}, Max: shape.Pt{X: w, Y: long - out}}, w*0.7)
		ring := mapCurves(box.Rings(true)[0], put)
		s.add(slugOf("hook", i+1), nameOf("hook", i+1), record.Hoop, 0, shape.FromCurves(ring, true))
	}
}

// drawSide unrolls the pot along the resonator's edge, so that rim and hoop,
// which are narrower, are drawn a quarter too long.
func (p pot) drawSide(pl *plan, s *sheet) {
	k, half, long := pl.bulk, pl.stripHalf(), pl.strips[s.Side].length()
	band := func(x0, x1 float64) shape.Path {
		return shape.Polygon(shape.Pt{X: x0}, shape.Pt{X: x1}, shape.Pt{X: x1, Y: long}, shape.Pt{X: x0, Y: long})
	}
	word := string(s.Side)
	s.add("edge", "rim, "+word, pl.class.body.sides.part, 0, band(-half, half))
	wall := -half + p.wall.mm*k
	s.add("resonator", "resonator, "+word, record.Resonator, 0, band(-half, wall))
	w := pl.class.body.border.width.mm * k
	s.add("front-lip", pl.class.body.border.name+", front edge", pl.class.body.border.part, 0, band(wall-w, wall))
	s.add("back-lip", pl.class.body.border.name+", back edge", pl.class.body.border.part, 0, band(-half, -half+w))
	flange := wall + 4*k
	s.add("flange", "flange, "+word, record.Hoop, 0, band(wall, flange))
	hoop := half - p.hoopTall.mm*k
	s.add("hoop", "hoop, "+word, record.Hoop, 0, band(hoop, half))
	n := 0
	for _, a := range p.angles(pl) {
		at := p.at(pl, pl.class.body.width.mm/2, a)
		if (s.Side == TrebleSide) != (at.X > 0) {
			continue
		}
		n++
		y := pl.strips[s.Side].nearest(at)
		h := p.hook.mm * k / 2
		y = max(h*1.6, min(long-h*1.6, y))
		s.add(slugOf("hook", n), nameOf("hook", n)+", "+word, record.Hoop, 0, shape.RoundRect(shape.Rect{
			Min: shape.Pt{X: wall - 2*k, Y: y - h}, Max: shape.Pt{X: half, Y: y + h}}, h*0.6))
		s.stroke(thin, shape.RoundRect(rectAt(shape.Pt{X: flange + 4*k, Y: y}, 4*k, h*1.5), h*0.5))
	}
}

// nearest is the length along the edge up to its point that is nearest to p.
func (st strip) nearest(p shape.Pt) float64 {
	best, at := math.Inf(1), 0.0
	for i, q := range st.line {
		if d := shape.Dist(p, q); d < best {
			best, at = d, st.run[i]
		}
	}
	return at
}
