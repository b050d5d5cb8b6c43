package trace

import (
	"math"

	"wornwood/annotate/shape"
)

// ringsOf are the borders of a mask of w x h pixels as closed rings of points between
// the pixels, smoothed over about two pixels, by marching squares (Lorensen and Cline
// 1987, in the plane). The mask lies to the right of a ring as it runs, so rings around
// it run clockwise as seen and rings around holes the other way. The one around
// the largest area comes first.
func ringsOf(mask []bool, w, h int) [][]shape.Pt {
	// Two pixels of nothing all round close rings that touch the frame.
	const pad = 2
	v := make([]float32, (w+2*pad)*(h+2*pad))
	m := &march{v: v, w: w + 2*pad, h: h + 2*pad, next: map[int32]int32{}}
	for i, is := range mask {
		if is {
			v[(i/w+pad)*m.w+i%w+pad] = 1
		}
	}
	smooth(v, m.w, m.h, 1, 2)
	for y := range m.h - 1 {
		for x := range m.w - 1 {
			m.square(x, y)
		}
	}
	var rings [][]shape.Pt
	largest := 0
	for _, start := range m.starts {
		ring := m.follow(start, pad)
		if len(ring) < 3 {
			continue
		}
		rings = append(rings, ring)
		if shape.PolygonArea(ring) > shape.PolygonArea(rings[largest]) {
			largest = len(rings) - 1
		}
	}
	if len(rings) > 0 {
		rings[0], rings[largest] = rings[largest], rings[0]
	}
	return rings
}

// march links the crossings of the level one half on the lines between pixel
// centres. A crossing is named by the line: twice the pixel's number for the one
// to its right, one more for the one below.
type march struct {
	v      []float32
	w, h   int
	next   map[int32]int32
	starts []int32
}

const level = 0.5

// The sides of a square of four pixel centres.
const (
	top = iota
	right
	bottom
	left
)

// turns lists, for each set of corners inside (bits: top left 1, top right 2, bottom right 4,
// bottom left 8), the sides that a ring enters and leaves by. Sets 5 and 10 are
// for a middle that is outside.
var turns = [16][]int{
	1: {top, left}, 2: {right, top}, 4: {bottom, right}, 8: {left, bottom},
	3: {right, left}, 6: {bottom, top}, 12: {left, right}, 9: {top, bottom},
	7: {bottom, left}, 14: {left, top}, 13: {top, right}, 11: {right, bottom},
	5: {top, left, bottom, right}, 10: {right, top, left, bottom},
}

// joined are the turns of sets 5 and 10 for a middle that is inside.
var joined = map[int][]int{5: {top, right, bottom, left}, 10: {left, top, right, bottom}}

func (m *march) square(x, y int) {
	i := y*m.w + x
	a, b, c, d := m.v[i], m.v[i+1], m.v[i+m.w+1], m.v[i+m.w]
	set := 0
	for k, v := range [4]float32{a, b, c, d} {
		if v >= level {
			set |= 1 << k
		}
	}
	t := turns[set]
	if (set == 5 || set == 10) && a+b+c+d >= 4*level {
		t = joined[set]
	}
	sides := [4]int32{top: int32(2 * i), right: int32(2*(i+1) + 1), bottom: int32(2 * (i + m.w)), left: int32(2*i + 1)}
	for k := 0; k < len(t); k += 2 {
		m.next[sides[t[k]]] = sides[t[k+1]]
		m.starts = append(m.starts, sides[t[k]])
	}
}

// follow is the ring through a crossing, which it uses up; nil when it was used
// before.
func (m *march) follow(start int32, pad int) []shape.Pt {
	var ring []shape.Pt
	for at := start; ; {
		to, ok := m.next[at]
		if !ok {
			return ring
		}
		delete(m.next, at)
		i := int(at) / 2
		step := 1
		if at%2 == 1 {
			step = m.w
		}
		a, b := m.v[i], m.v[i+step]
		t := float64((level - a) / (b - a))
		p := shape.Pt{X: float64(i%m.w-pad) + 0.5, Y: float64(i/m.w-pad) + 0.5}
		if step == 1 {
			p.X += t
		} else {
			p.Y += t
		}
		ring = append(ring, p)
		at = to
	}
}

// direction is the unit vector along the ring at point i, over a few points.
func direction(ring []shape.Pt, i int) shape.Pt {
	const far = 3
	n := len(ring)
	d := shape.Sub(ring[(i+far)%n], ring[(i+n-far%n)%n])
	l := math.Hypot(d.X, d.Y)
	if l == 0 {
		return shape.Pt{X: 1}
	}
	return shape.Mul(d, 1/l)
}
