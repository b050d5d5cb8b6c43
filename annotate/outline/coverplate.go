package outline

import (
	"math"

	"wornwood/annotate/shape"
	"wornwood/capture/record"
)

// coverPlate is the plate over the cone of a resonator guitar, pierced like a
// sieve. In its middle a strap covers the bridge, which is seen through a slit
// where the strings cross it; behind it hangs a tailpiece.
type coverPlate struct {
	across figure `dim:"cover plate, diameter"`
	well   figure `dim:"raised middle of the cover plate, diameter"`
	hole   figure `dim:"hole of the sieve, diameter"`
	strap  figure `dim:"strap over the bridge, across the strings"`
	wide   figure `dim:"strap over the bridge, along the strings"`
	slit   figure `dim:"slit over the saddle, along the strings"`
	tail   tailKind
}

func (c coverPlate) front() float64 { return c.wide.mm / 2 }

func (c coverPlate) stringEnd(pl *plan, i int) []shape.Pt {
	_, saddle := pl.stringEnds(i)
	return []shape.Pt{saddle, c.tail.hold(pl, i)}
}

// fit is the plate's size against the class's: no larger than the body allows
// in any direction.
func (c coverPlate) fit(pl *plan) float64 { return min(pl.bulk, pl.wide, pl.foot, pl.rise) }

func (c coverPlate) draw(pl *plan, s *sheet) {
	k := c.fit(pl)
	at := shape.Pt{Y: pl.long}
	r := c.across.mm * k / 2
	s.add("cover-plate", "cover plate", record.Guard, 0, shape.Circle(at, r))
	s.stroke(thin, shape.Circle(at, r-7*k))
	s.stroke(thin, shape.Circle(at, c.well.mm*k/2))
	s.stroke(hair, shape.Circle(at, c.well.mm*k/2-4*k))
	for i := range 8 {
		s.screw(shape.Add(at, polar(r-3.5*k, (float64(i)+0.5)*math.Pi/4)), 1.6*k)
	}
	c.strokeSieve(s, at, k)
	c.tail.draw(pl, s)
	c.drawStrap(pl, s, k)
}

// strokeSieve pierces the plate between rim and middle: eight fans of rows
// that grow by one hole from the middle outwards.
func (c coverPlate) strokeSieve(s *sheet, at shape.Pt, k float64) {
	from, to := c.well.mm/2+8, c.across.mm/2-15
	const rows, fans = 4, 8
	for f := range fans {
		mid := (float64(f) + 0.5) * 2 * math.Pi / fans
		for row := range rows {
			r := from + (to-from)*float64(row)/(rows-1)
			n := row + 2
			for j := range n {
				// Evenly over the fan, which leaves a bar to the next one.
				a := mid + (float64(j)-float64(n-1)/2)*(2*math.Pi/fans)*0.80/float64(n)*(1+0.12*float64(n-2)/3)
				s.dot(shape.Add(at, polar(r*k, a)), c.hole.mm*k/2)
			}
		}
	}
}

func (c coverPlate) drawStrap(pl *plan, s *sheet, k float64) {
	y, h := pl.long, pl.size
	s.lean = pl.lean(y)
	half := max(c.strap.mm*k/2, pl.stringSpan(y)/2+12*h)
	s.add("bridge-cover", "bridge cover", record.Guard, 0, shape.RoundRect(rectAt(shape.Pt{Y: y}, half, c.wide.mm*h/2), c.wide.mm*h*0.4))
	for _, side := range []float64{-1, 1} {
		s.screw(shape.Pt{X: side * (half - 5*h), Y: y}, 1.6*h)
	}
	slit := pl.stringSpan(y)/2 + 5*h
	s.add("bridge", "bridge", record.Bridge, 0, shape.RoundRect(rectAt(shape.Pt{Y: y}, slit, c.slit.mm*h/2), c.slit.mm*h*0.4))
	s.stroke(thin, shape.Polyline(shape.Pt{X: -slit + 2*h, Y: y}, shape.Pt{X: slit - 2*h, Y: y}))
}

// polar is the point at the distance r and the angle from the middle.
func polar(r, angle float64) shape.Pt {
	sin, cos := math.Sincos(angle)
	return shape.Pt{X: r * cos, Y: r * sin}
}

// screens are two small round openings in the upper bout, each with a ring and
// a screen of woven wire behind it.
type screens struct {
	at     node   // of the bass one
	across figure `dim:"screened opening, diameter"`
	ring   figure `dim:"its ring, across"`
}

func (h screens) draw(pl *plan, s *sheet) {
	for _, q := range []struct {
		word string
		side float64
	}{{"bass", 1}, {"treble", -1}} {
		at := pl.onBody(shape.Pt{X: q.side * h.at.X, Y: h.at.Y})
		r := h.across.mm * pl.bulk / 2
		s.stroke(thin, shape.Circle(at, r+h.ring.mm*pl.bulk))
		s.hole("soundhole-"+q.word, q.word+" soundhole", pl.class.body.front.part, shape.Circle(at, r))
		strokeScreen(s, at, r)
	}
}

// strokeScreen draws the wires, both ways across a circle.
func strokeScreen(s *sheet, at shape.Pt, r float64) {
	const wires = 7
	for i := 1; i < wires; i++ {
		d := r * (2*float64(i)/wires - 1)
		h := math.Sqrt(r*r - d*d)
		s.stroke(hair, shape.Polyline(shape.Pt{X: at.X + d, Y: at.Y - h}, shape.Pt{X: at.X + d, Y: at.Y + h}))
		s.stroke(hair, shape.Polyline(shape.Pt{X: at.X - h, Y: at.Y + d}, shape.Pt{X: at.X + h, Y: at.Y + d}))
	}
}
