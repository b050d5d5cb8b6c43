package draw

import (
	"math"
	"slices"

	"wornwood/annotate/shape"
)

// Gap is the free ground that Layout keeps between discs, and between a disc
// and what another pin points at, as a share of the radius.
const Gap = 0.35

// layoutBudget bounds the places tried in one Layout: with thousands of pins
// in a small view there is no room for all of them, and trying every place for
// each would hold up the window.
const layoutBudget = 30_000

// Layout places the discs, all in view units: on their anchors where that is
// free and allowed, beside them with a leader where discs would overlap, cover
// what another pin points at, or cover a mark that is small (or any mark, for a
// pin that stands Beside). The same input gives the same places, and the
// order of the result is that of the input. Pins lie inside bounds and off the
// obstacles and one another as long as there is room; when there is none, a
// pin stands on its anchor, moved into bounds.
func Layout(anchors []Pin, radius float64, bounds shape.Rect, obstacles ...shape.Rect) []Pin {
	pins := slices.Clone(anchors)
	lay := layout{
		pins: pins, r: radius, gap: radius * Gap, inner: bounds.Grow(-radius), obstacles: obstacles,
		discs: newCrowd(bounds, 2*radius+radius*Gap), aims: newCrowd(bounds, 2*radius+radius*Gap), left: layoutBudget,
	}
	for i := range pins {
		lay.aims.add(i, pins[i].Anchor)
	}
	order := make([]int, len(pins))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return pins[a].Number - pins[b].Number })
	var moved []int
	for _, i := range order {
		if lay.mayStay(i) {
			lay.place(i, pins[i].Anchor)
		} else {
			moved = append(moved, i)
		}
	}
	lay.spread(moved)
	return pins
}

type layout struct {
	pins      []Pin
	r, gap    float64
	inner     shape.Rect // where centres may be
	obstacles []shape.Rect
	discs     crowd // placed discs
	aims      crowd // anchors of all pins
	placed    []int
	left      int
}

// mayStay says whether the disc may stand on its own anchor.
func (l *layout) mayStay(i int) bool {
	p := l.pins[i]
	if !l.inner.Contains(p.Anchor) || l.besides(p) {
		return false
	}
	return l.free(i, p.Anchor, true) && !l.aims.within(p.Anchor, 2*l.r+l.gap, i)
}

// besides says that the pin must not cover its own mark: a line, an area too
// small to stand in, or a flaw that is there to be seen.
func (l *layout) besides(p Pin) bool {
	if p.isPoint() {
		return p.Beside
	}
	box := shape.RectAround(p.Drawn...)
	return !p.Area || math.Min(box.Dx(), box.Dy()) < 4*l.r || !shape.PointInPolygon(p.Anchor, p.Drawn)
}

// place notes the disc and where its leader ends. A disc that touches what was
// drawn needs no leader.
func (l *layout) place(i int, at shape.Pt) {
	p := &l.pins[i]
	p.At, p.Tip = at, p.Anchor
	d := shape.Dist(at, p.Anchor)
	switch {
	case p.isPoint():
		p.Leader = d > 1e-9
		if p.Beside && d > 0 {
			p.Tip = shape.Lerp(p.Anchor, at, math.Min(1, aimShare*l.r/d))
		}
	default:
		p.Tip = p.nearest(at)
		p.Leader = shape.Dist(at, p.Tip) > 1.6*l.r
	}
	l.discs.add(i, at)
	l.placed = append(l.placed, i)
}

// free says whether a disc at the place overlaps nothing. Strictly, it also
// stays off obstacles and off what other pins point at.
func (l *layout) free(i int, at shape.Pt, strict bool) bool {
	if !l.inner.Contains(at) || l.discs.within(at, 2*l.r+l.gap, -1) {
		return false
	}
	if !strict {
		return true
	}
	for _, o := range l.obstacles {
		if distToRect(at, o) < l.r {
			return false
		}
	}
	p := l.pins[i]
	if !p.isPoint() && l.besides(p) && shape.Dist(at, p.nearest(at)) < l.r+l.gap/2 {
		return false
	}
	return !l.aims.within(at, l.r+l.gap, i)
}

// find looks for a place on ever wider circles about the anchor, strictly at
// first.
func (l *layout) find(i int) shape.Pt {
	far := math.Hypot(l.inner.Dx(), l.inner.Dy()) + shape.Dist(l.pins[i].Anchor, l.inner.Center())
	for _, strict := range []bool{true, false} {
		if at, _, ok := l.search(i, strict, far); ok {
			return at
		}
	}
	a := l.pins[i].Anchor
	return shape.Pt{
		X: math.Max(l.inner.Min.X, math.Min(l.inner.Max.X, a.X)),
		Y: math.Max(l.inner.Min.Y, math.Min(l.inner.Max.Y, a.Y)),
	}
}

// search takes the place with the least cost, at most far from the anchor: its
// distance, and two radii more for each leader or disc in the way. A wider
// circle is tried only while it could still cost less.
func (l *layout) search(i int, strict bool, far float64) (best shape.Pt, tangled int, ok bool) {
	p := l.pins[i]
	start := 2*l.r + l.gap
	switch {
	case !p.isPoint():
		start = l.r + l.gap
	case p.Beside:
		start = l.r * (1 + aimShare + 0.9)
	}
	lean := l.lean(i)
	cost := math.Inf(1)
	for d := start; d < cost && d <= far; d += l.r / 2 {
		n := max(16, int(2*math.Pi*d/(l.r/2)))
		for k := range n {
			if l.left--; l.left < 0 {
				return best, tangled, ok
			}
			// 0, +1, -1, +2, -2 ... steps away from the preferred direction
			off := float64((k+1)/2) * 2 * math.Pi / float64(n)
			if k%2 == 0 {
				off = -off
			}
			c := d + math.Abs(off)*l.r*0.3
			if c >= cost {
				break
			}
			sin, cos := math.Sincos(lean + off)
			at := shape.Pt{X: p.Anchor.X + d*cos, Y: p.Anchor.Y + d*sin}
			if !l.free(i, at, strict) {
				continue
			}
			t := l.tangle(i, at)
			if c += 2 * l.r * float64(t); c < cost {
				best, tangled, cost, ok = at, t, c, true
			}
		}
	}
	return best, tangled, ok
}

// lean is the preferred direction: away from the neighbours' anchors, to the
// upper right when there are none.
func (l *layout) lean(i int) float64 {
	p := l.pins[i].Anchor
	away := shape.Pt{X: 0.01, Y: -0.01}
	l.aims.near(p, 6*l.r, func(k int, q shape.Pt) bool {
		if d := shape.Dist(p, q); k != i && d > 1e-6 {
			away = shape.Add(away, shape.Mul(shape.Sub(p, q), 1/(d*d)))
		}
		return false
	})
	return math.Atan2(away.Y, away.X)
}

// tangle counts the placed leaders and discs that the disc or its leader at
// this place would cross.
func (l *layout) tangle(i int, at shape.Pt) int {
	if len(l.placed) > 300 {
		return 0 // no layout of so many reads well; keep it quick
	}
	n := 0
	a := l.pins[i].Anchor
	for _, k := range l.placed {
		q := &l.pins[k]
		if distToSegment(q.At, a, at) < l.r {
			n++
		}
		if q.Leader && (distToSegment(at, q.Tip, q.At) < l.r || shape.Crosses(a, at, q.Tip, q.At)) {
			n++
		}
	}
	return n
}

// distToSegment is the distance from p to the segment ab.
func distToSegment(p, a, b shape.Pt) float64 {
	dx, dy := b.X-a.X, b.Y-a.Y
	t := 0.0
	if n := dx*dx + dy*dy; n > 0 {
		t = math.Max(0, math.Min(1, ((p.X-a.X)*dx+(p.Y-a.Y)*dy)/n))
	}
	return math.Hypot(p.X-a.X-t*dx, p.Y-a.Y-t*dy)
}

// distToRect is the distance from p to the rectangle, 0 inside.
func distToRect(p shape.Pt, r shape.Rect) float64 {
	dx := math.Max(0, math.Max(r.Min.X-p.X, p.X-r.Max.X))
	dy := math.Max(0, math.Max(r.Min.Y-p.Y, p.Y-r.Max.Y))
	return math.Hypot(dx, dy)
}
