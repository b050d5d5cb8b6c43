package outline

import (
	"math"

	"wornwood/annotate/shape"
)

// sholes are two slender openings left and right of the bridge: f-holes without
// eyes, that end in round tips.
type sholes struct {
	line  []node // of the bass one, down its middle
	width figure `dim:"f-hole, at its widest"`
	tip   figure `dim:"f-hole, at its tips"`
}

func (h sholes) draw(pl *plan, s *sheet) {
	for _, q := range []struct {
		word string
		sign float64
	}{{"bass", 1}, {"treble", -1}} {
		ring := h.ring(pl)
		for i := range ring {
			ring[i].X *= q.sign
		}
		s.hole("f-hole-"+q.word, q.word+" f-hole", pl.class.body.front.part, shape.Polygon(ring...))
	}
}

// ring goes down one edge, round the lower tip, up the other and round the
// upper tip.
func (h sholes) ring(pl *plan) []shape.Pt {
	var mid []shape.Pt
	for _, c := range pl.onBodyAll(throughNodes(h.line, false)) {
		for i := range 20 {
			mid = append(mid, c.At(float64(i)/20))
		}
	}
	mid = append(mid, pl.onBody(h.line[len(h.line)-1].at()))
	n := len(mid)
	var left, right []shape.Pt
	for i := range n {
		d := shape.Sub(mid[min(i+1, n-1)], mid[max(i-1, 0)])
		w := pl.bulk / 2 * (h.tip.mm + (h.width.mm-h.tip.mm)*math.Pow(math.Sin(math.Pi*float64(i)/float64(n-1)), 1.3))
		nrm := shape.Mul(shape.Pt{X: -d.Y, Y: d.X}, w/math.Hypot(d.X, d.Y))
		left, right = append(left, shape.Sub(mid[i], nrm)), append(right, shape.Add(mid[i], nrm))
	}
	r := h.tip.mm * pl.bulk / 2
	out := append([]shape.Pt(nil), left...)
	out = append(out, arc(mid[n-1], r, left[n-1], right[n-1])[1:]...)
	for i := n - 2; i >= 0; i-- {
		out = append(out, right[i])
	}
	around := arc(mid[0], r, right[0], left[0])
	return append(out, around[1:len(around)-1]...)
}
