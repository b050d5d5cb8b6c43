package outline

import (
	"math"

	"wornwood/annotate/shape"
)

// soundhole is a round or oval hole in the top with the rings of its rosette.
type soundhole struct {
	below figure    `dim:"nut to the soundhole's middle"`
	wide  figure    `dim:"soundhole, across"`
	tall  figure    `dim:"soundhole, along the strings"`
	rings []float64 // mm from the hole's edge, drawn as fine lines
}

func (h soundhole) draw(pl *plan, s *sheet) {
	c := pl.onBody(shape.Pt{Y: h.below.mm})
	rx, ry := h.wide.mm*pl.bulk/2, h.tall.mm*pl.bulk/2
	s.hole("soundhole", "soundhole", pl.class.body.front.part, shape.Ellipse(c, rx, ry))
	for _, d := range h.rings {
		d *= pl.bulk
		s.stroke(hair, pl.clearOfBoard(shape.Ellipse(c, rx+d, ry+d)))
	}
}

// clearOfBoard is the part of a closed line that the fingerboard leaves to be
// seen.
func (pl *plan) clearOfBoard(a shape.Path) shape.Path {
	ring := a.Flatten(0.05)[0]
	under := func(p shape.Pt) bool { return p.Y < pl.boardEnd && math.Abs(p.X) < pl.half(p.Y) }
	n, start := len(ring), -1
	for i, p := range ring {
		if under(p) && !under(ring[(i+1)%n]) {
			start = i + 1
		}
	}
	if start < 0 {
		return a
	}
	var line []shape.Pt
	for i := range n {
		if p := ring[(start+i)%n]; !under(p) {
			line = append(line, p)
		}
	}
	return shape.Polyline(line...)
}

// fholes are two openings left and right of the bridge, each a stem that
// swells in its middle between two round eyes.
type fholes struct {
	stem  []node  // of the bass hole, from the upper eye's middle to the lower eye's
	upper figure  `dim:"f-hole, radius of the upper eye"`
	lower figure  `dim:"f-hole, radius of the lower eye"`
	width figure  `dim:"f-hole, width of its stem"`
	nick  float64 // Y of the notches
}

func (f fholes) draw(pl *plan, s *sheet) {
	for _, h := range []struct {
		word string
		sign float64
	}{{"bass", -1}, {"treble", 1}} {
		ring := f.ring(pl)
		for i := range ring {
			ring[i].X *= -h.sign
		}
		f.strokeNicks(pl, s, h.sign)
		s.hole("f-hole-"+h.word, h.word+" f-hole", pl.class.body.front.part, shape.Polygon(ring...))
	}
}

// strokeNicks draws the two notches that show where the bridge belongs.
func (f fholes) strokeNicks(pl *plan, s *sheet, sign float64) {
	y := pl.onBody(shape.Pt{Y: f.nick}).Y
	at := cuts(pl.onBodyAll(throughNodes(f.stem, false)), func(p shape.Pt) float64 { return p.Y - y })
	if len(at) == 0 {
		return
	}
	c := throughNodes(f.stem, false)[at[0].curve]
	x, w := pl.onBody(c.At(at[0].t)).X, f.width.mm*pl.bulk
	for _, d := range []float64{-w / 2, w / 2} {
		s.stroke(medium, shape.Polyline(shape.Pt{X: -sign * (x + d - w*0.22), Y: y}, shape.Pt{X: -sign * (x + d + w*0.22), Y: y}))
	}
}

// ring goes down the stem's one edge, round the lower eye, up the other edge
// and round the upper eye.
func (f fholes) ring(pl *plan) []shape.Pt {
	var mid []shape.Pt
	for _, c := range pl.onBodyAll(throughNodes(f.stem, false)) {
		for i := range 16 {
			mid = append(mid, c.At(float64(i)/16))
		}
	}
	last := f.stem[len(f.stem)-1]
	mid = append(mid, pl.onBody(last.at()))
	ru, rl := f.upper.mm*pl.bulk, f.lower.mm*pl.bulk
	n := len(mid)
	var left, right []shape.Pt
	for i := 1; i < n-1; i++ {
		if shape.Dist(mid[i], mid[0]) < ru*0.98 || shape.Dist(mid[i], mid[n-1]) < rl*0.98 {
			continue
		}
		d := shape.Sub(mid[i+1], mid[i-1])
		l := math.Hypot(d.X, d.Y)
		// Slender at the ends, full in the middle.
		w := f.width.mm * pl.bulk / 2 * (0.42 + 0.58*math.Sin(math.Pi*float64(i)/float64(n-1)))
		nrm := shape.Mul(shape.Pt{X: -d.Y / l, Y: d.X / l}, w)
		left, right = append(left, shape.Sub(mid[i], nrm)), append(right, shape.Add(mid[i], nrm))
	}
	out := append([]shape.Pt(nil), left...)
	out = append(out, arc(mid[n-1], rl, left[len(left)-1], right[len(right)-1])...)
	for i := len(right) - 1; i >= 0; i-- {
		out = append(out, right[i])
	}
	return append(out, arc(mid[0], ru, right[0], left[0])...)
}

// arc goes round a circle, clockwise as the ring turns, from the direction of
// one point to that of the other.
func arc(c shape.Pt, r float64, from, to shape.Pt) []shape.Pt {
	a := math.Atan2(from.Y-c.Y, from.X-c.X)
	b := math.Atan2(to.Y-c.Y, to.X-c.X)
	for b < a {
		b += 2 * math.Pi
	}
	const steps = 28
	var out []shape.Pt
	for i := range steps + 1 {
		t := a + (b-a)*float64(i)/steps
		out = append(out, shape.Pt{X: c.X + r*math.Cos(t), Y: c.Y + r*math.Sin(t)})
	}
	return out
}

// seam is the glue line down the middle of a plate of two pieces.
type seam struct{}

func (seam) draw(pl *plan, s *sheet) {
	top := pl.onBody(shape.Pt{Y: pl.joint.mm}).Y
	s.stroke(hair, shape.Polyline(shape.Pt{Y: top + 2*pl.bulk}, shape.Pt{Y: pl.endY() - 2*pl.bulk}))
}

// button is the tongue of a violin's back that covers the neck's root.
type button struct {
	width  figure `dim:"button, across"`
	height figure `dim:"button, beyond the back's edge"`
}

func (b button) draw(pl *plan, s *sheet) {
	y := pl.onBody(shape.Pt{Y: pl.joint.mm}).Y
	w, h := min(b.width.mm*pl.size/2, pl.half(y)-0.5*pl.size), b.height.mm*pl.size
	foot := y + 3*pl.size
	nodes := []node{
		{X: -w, Y: foot, Angle: 270, Out: h * 0.9},
		{X: 0, Y: y - h, Angle: 0, In: w * 0.6, Out: w * 0.6},
		{X: w, Y: foot, Angle: 90, In: h * 0.9},
	}
	s.add("button", "button", pl.class.body.back.part, 0, shape.FromCurves(throughNodes(nodes, false), true))
}
