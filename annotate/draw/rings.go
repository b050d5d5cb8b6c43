package draw

import (
	"math"

	"wornwood/annotate/shape"
)

// assigned gives each pin of the knot a place so that the leaders are short
// together, which also keeps them from crossing.
func (l *layout) assigned(knot []int, slots []shape.Pt) []shape.Pt {
	cost := make([][]float64, len(knot))
	for k, i := range knot {
		cost[k] = make([]float64, len(slots))
		p := &l.pins[i]
		for s, at := range slots {
			cost[k][s] = shape.Dist(p.Anchor, at)
			if !p.isPoint() && l.besides(*p) && shape.Dist(at, p.nearest(at)) < l.r+l.gap/2 {
				cost[k][s] += 1e4 * l.r
			}
		}
	}
	out := make([]shape.Pt, len(knot))
	for k, s := range assign(cost) {
		out[k] = slots[s]
	}
	return out
}

// What it is worth, in radii of leader, that none runs under a disc and that no
// two cross.
const (
	buried  = 9.0
	crossed = 9.0
)

// disorder is what is wrong with an arrangement of the knot: long leaders, and
// much more so leaders that cross others or run under discs.
func (l *layout) disorder(knot []int, places []shape.Pt) float64 {
	sum := 0.0
	for k, i := range knot {
		a, at := l.pins[i].Anchor, places[k]
		sum += shape.Dist(a, at)
		for m, j := range knot {
			if m == k {
				continue
			}
			if distToSegment(places[m], a, at) < l.r {
				sum += buried * l.r
			}
			if m > k && shape.Crosses(a, at, l.pins[j].Anchor, places[m]) {
				sum += crossed * l.r
			}
		}
		for _, j := range l.placed {
			if distToSegment(l.pins[j].At, a, at) < l.r {
				sum += buried * l.r
			}
		}
	}
	return sum
}

// slots are the places in several patterns about the knot, each with at least
// as many as there are pins; patterns for which there is no room are left out.
func (l *layout) slots(knot []int) [][]shape.Pt {
	mid, size := l.extent(knot)
	var out [][]shape.Pt
	for _, rings := range []int{1, 2, 3, 5} {
		if s := l.rings(mid, size, rings, len(knot)); s != nil {
			out = append(out, s)
		}
	}
	if s := l.comb(mid, len(knot)); s != nil {
		out = append(out, s)
	}
	return out
}

// rings are places on circles about the middle, those of one ring before the
// gaps of the one inside it, so that leaders run between discs. The innermost
// is as small as gives n free places.
func (l *layout) rings(mid shape.Pt, size float64, rings, n int) []shape.Pt {
	pitch, phases := 3.5*l.r, min(rings, 3)
	if rings < 3 {
		pitch = 2*l.r + float64(rings)*1.4*l.gap
	}
	far := math.Hypot(l.inner.Dx(), l.inner.Dy())
	in := math.Max(size+2*l.r+l.gap, float64(n)*pitch/(2*math.Pi*float64(rings)))
	for ; in < far; in *= 1.06 {
		count := int(math.Ceil(2 * math.Pi * in / pitch))
		var out []shape.Pt
		for k := range count {
			for ring := range rings {
				r := in + float64(ring)*(2*l.r+l.gap)
				sin, cos := math.Sincos(2 * math.Pi * (float64(k) + float64(ring%phases)/float64(phases)) / float64(count))
				if at := (shape.Pt{X: mid.X + r*cos, Y: mid.Y + r*sin}); l.inner.Contains(at) && l.open(at) {
					out = append(out, at)
				}
			}
		}
		if len(out) >= n {
			return out
		}
	}
	return nil
}

// comb are the places nearest to the middle in the closest packing of discs.
func (l *layout) comb(mid shape.Pt, n int) []shape.Pt {
	pitch := 2*l.r + l.gap
	reach := math.Hypot(l.inner.Dx(), l.inner.Dy())
	for r := pitch * math.Sqrt(float64(n)) / 2; r < reach+pitch; r += pitch {
		var out []shape.Pt
		rows := int(r / (pitch * math.Sqrt(3) / 2))
		for row := -rows; row <= rows; row++ {
			shift := float64(row&1) * pitch / 2
			for col := -int(r/pitch) - 1; float64(col)*pitch <= r; col++ {
				at := shape.Pt{X: mid.X + shift + float64(col)*pitch, Y: mid.Y + float64(row)*pitch*math.Sqrt(3)/2}
				if shape.Dist(at, mid) <= r && l.open(at) {
					out = append(out, at)
				}
			}
		}
		if len(out) >= n {
			return out
		}
	}
	return nil
}

// open says whether any pin may stand at the place.
func (l *layout) open(at shape.Pt) bool {
	if !l.inner.Contains(at) || l.discs.within(at, 2*l.r+l.gap, -1) || l.aims.within(at, l.r+l.gap, -1) {
		return false
	}
	for _, o := range l.obstacles {
		if distToRect(at, o) < l.r {
			return false
		}
	}
	return true
}
