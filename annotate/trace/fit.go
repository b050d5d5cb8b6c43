package trace

import (
	"math"

	"wornwood/annotate/shape"
	"wornwood/capture/record"
)

// FitCurve puts a smooth closed curve with few nodes through a ring, clockwise
// as seen, that nowhere leaves it by more than the tolerance (in the ring's own
// unit). Where the ring has a true corner the curve has one; at all other nodes
// both handles lie on one line. The result does not depend on which point the
// ring starts with. A ring of fewer than three different points gives nil; one that
// needs more than record.MaxNodes nodes is fitted more loosely.
//
// Pieces are fitted by least squares after P. J. Schneider, "An algorithm for
// automatically fitting digitized curves", Graphics Gems (1990); nodes that
// turn out not to be needed are taken out again.
func FitCurve(ring []shape.Pt, tolerance float64) []record.Node {
	if !(tolerance > 0) || math.IsInf(tolerance, 0) {
		return nil
	}
	clean := cleaned(ring)
	if len(clean) < 3 {
		return nil
	}
	for {
		if nodes := fitClosed(clean, tolerance); len(nodes) <= record.MaxNodes {
			return nodes
		}
		tolerance *= 1.5
	}
}

// cleaned is the ring without points that are not finite or repeat the one
// before, clockwise and starting with its lowest point.
func cleaned(ring []shape.Pt) []shape.Pt {
	var pts []shape.Pt
	for _, p := range ring {
		if p.Finite() && (len(pts) == 0 || p != pts[len(pts)-1]) {
			pts = append(pts, p)
		}
	}
	for len(pts) > 1 && pts[0] == pts[len(pts)-1] {
		pts = pts[:len(pts)-1]
	}
	if len(pts) < 3 {
		return nil
	}
	if turnsLeft(pts) {
		for i, j := 0, len(pts)-1; i < j; i, j = i+1, j-1 {
			pts[i], pts[j] = pts[j], pts[i]
		}
	}
	low := 0
	for i, p := range pts {
		if q := pts[low]; p.Y > q.Y || p.Y == q.Y && p.X < q.X {
			low = i
		}
	}
	return append(pts[low:len(pts):len(pts)], pts[:low]...)
}

// mostSamples bounds the points that a ring is resampled to.
const mostSamples = 20_000

// evenly are points along the closed ring at even steps of at most about the given length.
func evenly(ring []shape.Pt, step float64) []shape.Pt {
	n := len(ring)
	total := 0.0
	for i, p := range ring {
		total += shape.Dist(p, ring[(i+1)%n])
	}
	m := int(math.Max(12, math.Min(mostSamples, math.Ceil(total/step))))
	out := make([]shape.Pt, 0, m)
	run, i, length := 0.0, 0, shape.Dist(ring[0], ring[1%n])
	for k := range m {
		at := total * float64(k) / float64(m)
		for at > run+length && i < n-1 {
			run += length
			i++
			length = shape.Dist(ring[i], ring[(i+1)%n])
		}
		t := 0.0
		if length > 0 {
			t = math.Min(1, (at-run)/length)
		}
		out = append(out, shape.Lerp(ring[i], ring[(i+1)%n], t))
	}
	return out
}

// fitter holds a resampled ring and the nodes on it, as indices in order.
type fitter struct {
	pts    []shape.Pt
	corner []bool // at every sample
	tol    float64
	arm    int // samples over which a direction is measured
}

// Arms in tolerances: over which corners are looked for and directions measured.
const (
	cornerArm  = 2
	headingArm = 6
)

// share is how much of the tolerance the fit itself may use; the rest is for
// what resampling cuts off.
const share = 0.85

func fitClosed(ring []shape.Pt, tolerance float64) []record.Node {
	pts := evenly(ring, tolerance/2)
	f := &fitter{pts: pts, tol: share * tolerance}
	step := shape.Dist(pts[0], pts[1])
	arm := func(tolerances float64) int {
		return max(2, min(len(pts)/12, int(math.Ceil(tolerances*tolerance/math.Max(step, 1e-12)))))
	}
	f.corner = corners(pts, arm(cornerArm))
	f.arm = arm(headingArm)
	anchors := f.anchors()
	var nodes []int
	for i, a := range anchors {
		b := anchors[(i+1)%len(anchors)]
		if b <= a {
			b += len(pts)
		}
		nodes = append(nodes, a)
		nodes = f.divide(a, b, nodes)
	}
	for i := range nodes {
		nodes[i] %= len(pts)
	}
	nodes = f.thin(nodes)
	return f.curve(nodes)
}

// anchors are where fitting starts: corners, and where those are few the
// extremes of the ring.
func (f *fitter) anchors() []int {
	is := make([]bool, len(f.pts))
	n := 0
	for i, c := range f.corner {
		if c {
			is[i] = true
			n++
		}
	}
	if n < 3 {
		for _, d := range []shape.Pt{{Y: 1}, {X: -1}, {Y: -1}, {X: 1}} {
			best := 0
			for i, p := range f.pts {
				if q := f.pts[best]; p.X*d.X+p.Y*d.Y > q.X*d.X+q.Y*d.Y {
					best = i
				}
			}
			is[best] = true
		}
	}
	var out []int
	for i, a := range is {
		if a {
			out = append(out, i)
		}
	}
	for len(out) < 3 { // extremes that fall together
		out = append(out[:1], out[0]+(len(f.pts)-1)/3, out[0]+2*(len(f.pts)-1)/3)
	}
	return out
}

// divide appends the nodes that the stretch from sample a to b needs between its
// ends.
func (f *fitter) divide(a, b int, nodes []int) []int {
	_, off, at := f.fit(a, b)
	if off <= f.tol || b-a < 2 {
		return nodes
	}
	nodes = f.divide(a, at, nodes)
	nodes = append(nodes, at)
	return f.divide(at, b, nodes)
}

// thin takes out the nodes without which the tolerance is kept, the one whose loss
// costs least first; corners and three nodes stay.
func (f *fitter) thin(nodes []int) []int {
	n := len(f.pts)
	without := func(k int) float64 {
		a, b := nodes[(k+len(nodes)-1)%len(nodes)], nodes[(k+1)%len(nodes)]
		if b <= a {
			b += n
		}
		if f.corner[nodes[k]] || b-a > n/2 {
			return math.Inf(1)
		}
		_, off, _ := f.fit(a, b)
		return off
	}
	cost := make([]float64, len(nodes))
	for k := range nodes {
		cost[k] = without(k)
	}
	for len(nodes) > 3 {
		best := 0
		for k, c := range cost {
			if c < cost[best] {
				best = k
			}
		}
		if cost[best] > f.tol {
			break
		}
		nodes = append(nodes[:best], nodes[best+1:]...)
		cost = append(cost[:best], cost[best+1:]...)
		for _, k := range []int{best - 1, best} {
			k = (k + len(nodes)) % len(nodes)
			cost[k] = without(k)
		}
	}
	return nodes
}

// curve is the fitted curve through the nodes.
func (f *fitter) curve(nodes []int) []record.Node {
	out := make([]record.Node, len(nodes))
	for i, a := range nodes {
		j := (i + 1) % len(nodes)
		b := nodes[j]
		if b <= a {
			b += len(f.pts)
		}
		c, _, _ := f.fit(a, b)
		out[i].At, out[i].Out = c[0], c[1]
		out[j].In = c[2]
	}
	return out
}
