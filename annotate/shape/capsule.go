package shape

import (
	"cmp"
	"math"
	"slices"
)

// span is a stretch of X.
type span struct{ a, b float64 }

// FillCapsules visits the cells whose centres are within the radius of the
// open line (or of the one point): in row y the columns x0 <= x < x1. Rows
// come in order, spans from left to right, and no cell comes twice, however
// often the line crosses itself.
func FillCapsules(g Grid, line []Pt, radius float64, visit func(y, x0, x1 int)) {
	if len(line) == 0 || !(radius > 0) || math.IsInf(radius, 0) {
		return
	}
	box := RectAround(line...).Grow(radius)
	first, last := g.rows(box.Min.Y, box.Max.Y)
	if first >= last {
		return
	}
	table, one := make([][]span, last-first), make([]span, last-first)
	for i := range table {
		table[i] = one[i : i : i+1] // room for the usual one
	}
	if len(line) == 1 {
		g.addCapsule(table, first, line[0], line[0], radius)
	}
	for i := 1; i < len(line); i++ {
		g.addCapsule(table, first, line[i-1], line[i], radius)
	}
	for i, spans := range table {
		g.visitMerged(first+i, spans, visit)
	}
}

// visitMerged visits the union of the spans of one row.
func (g Grid) visitMerged(y int, spans []span, visit func(y, x0, x1 int)) {
	slices.SortFunc(spans, func(s, t span) int { return cmp.Compare(s.a, t.a) })
	for i := 0; i < len(spans); {
		s := spans[i]
		for i++; i < len(spans) && spans[i].a <= s.b; i++ {
			s.b = math.Max(s.b, spans[i].b)
		}
		if x0, x1 := g.cut(s.a, s.b); x0 < x1 {
			visit(y, x0, x1)
		}
	}
}

// addCapsule notes the stretch that the capsule about the segment from p to q
// covers on the centre line of each row. A capsule is convex, so there is one.
func (g Grid) addCapsule(table [][]span, base int, p, q Pt, r float64) {
	if !p.Finite() || !q.Finite() {
		return
	}
	first, last := g.rows(math.Min(p.Y, q.Y)-r, math.Max(p.Y, q.Y)+r)
	for y := max(first, base); y < min(last, base+len(table)); y++ {
		c := g.Origin.Y + (float64(y)+0.5)*g.Cell
		if s, ok := capsuleSpan(p, q, r, c); ok {
			table[y-base] = append(table[y-base], s)
		}
	}
}

// capsuleSpan cuts the capsule with the horizontal line at the height y: the
// two end discs and the upright rectangle between them.
func capsuleSpan(p, q Pt, r, y float64) (span, bool) {
	s := span{math.Inf(1), math.Inf(-1)}
	for _, c := range [2]Pt{p, q} {
		if h := r*r - (y-c.Y)*(y-c.Y); h >= 0 {
			w := math.Sqrt(h)
			s.a, s.b = math.Min(s.a, c.X-w), math.Max(s.b, c.X+w)
		}
	}
	if length := Dist(p, q); length > 0 {
		n := Pt{X: -(q.Y - p.Y) / length * r, Y: (q.X - p.X) / length * r}
		corner := [4]Pt{Add(p, n), Add(q, n), Sub(q, n), Sub(p, n)}
		for i, a := range corner {
			b := corner[(i+1)%4]
			if (a.Y > y) == (b.Y > y) {
				continue
			}
			x := a.X + (y-a.Y)/(b.Y-a.Y)*(b.X-a.X)
			s.a, s.b = math.Min(s.a, x), math.Max(s.b, x)
		}
	}
	return s, s.a < s.b
}
