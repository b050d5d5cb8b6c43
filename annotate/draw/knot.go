package draw

import (
	"math"
	"slices"

	"wornwood/annotate/shape"
)

// A knot is a crowd of pins with so little room about them that, taking the
// nearest free place one after the other, they would cross and bury each
// other's leaders. It is taken apart on rings around the crowd.
const (
	nearby    = 6.0 // radii a pin may go by itself
	knotChain = 4.0 // radii from one anchor to the next of the same knot
	smallKnot = 5   // so few are placed well enough one by one
	bigKnot   = 80  // of more nobody reads the leaders anyway
)

// spread places the pins that may not stay on their anchors: those in a dense
// crowd on rings about it, the others one after the other, and those of them
// that got in each other's way on rings after all.
func (l *layout) spread(moved []int) {
	done := map[int]bool{}
	for _, k := range l.knots(moved, moved) {
		if l.dense(k) {
			l.untie(k)
			for _, i := range k {
				done[i] = true
			}
		}
	}
	moved = slices.DeleteFunc(slices.Clone(moved), func(i int) bool { return done[i] })
	var bad []int
	for _, i := range moved {
		at, tangled, ok := l.search(i, true, nearby*l.r)
		if ok {
			l.place(i, at)
			done[i] = true
		}
		if !ok || tangled > 0 {
			bad = append(bad, i)
		}
	}
	for _, k := range l.knots(bad, moved) {
		if len(k) > smallKnot && len(k) <= bigKnot {
			l.untie(k)
			for _, i := range k {
				done[i] = true
			}
		}
	}
	for _, i := range moved {
		if !done[i] {
			l.place(i, l.find(i))
		}
	}
	l.uncross()
}

// uncross lets pins whose leaders cross change places: that makes the two
// leaders shorter together, so it comes to an end.
func (l *layout) uncross() {
	var led []int
	for _, i := range l.placed {
		if p := &l.pins[i]; p.Leader && p.isPoint() {
			led = append(led, i)
		}
	}
	if len(led) > 300 {
		return
	}
	for changed, pass := true, 0; changed && pass < 8; pass++ {
		changed = false
		for a, i := range led {
			for _, k := range led[a+1:] {
				p, q := l.pins[i], l.pins[k]
				if !shape.Crosses(p.Anchor, p.At, q.Anchor, q.At) {
					continue
				}
				l.lift([]int{i, k})
				swap := l.free(i, q.At, true) && l.free(k, p.At, true) && l.besideOwn(i, q.At) && l.besideOwn(k, p.At)
				if !swap {
					p.At, q.At = q.At, p.At
				}
				l.place(i, q.At)
				l.place(k, p.At)
				changed = changed || swap
			}
		}
	}
}

// besideOwn says that the disc at the place leaves what the pin itself points at
// free, or may cover it.
func (l *layout) besideOwn(i int, at shape.Pt) bool {
	return !l.pins[i].Beside || shape.Dist(l.pins[i].Anchor, at) >= l.r*(1+aimShare)
}

// dense says that the discs of the knot would fill most of the ground that it
// stands on.
func (l *layout) dense(knot []int) bool {
	if len(knot) <= smallKnot || len(knot) > bigKnot {
		return false
	}
	_, size := l.extent(knot)
	disc, ground := 2*l.r+l.gap, size+1.5*l.r
	return float64(len(knot))*disc*disc > 0.8*math.Pi*ground*ground
}

// extent is the middle of the knot's anchors and the distance to the farthest.
func (l *layout) extent(knot []int) (mid shape.Pt, size float64) {
	for _, i := range knot {
		mid = shape.Add(mid, shape.Mul(l.pins[i].Anchor, 1/float64(len(knot))))
	}
	for _, i := range knot {
		size = math.Max(size, shape.Dist(mid, l.pins[i].Anchor))
	}
	return mid, size
}

// knots are the crowds that the bad pins stand in, each with those of the moved
// ones that are near another of its pins.
func (l *layout) knots(bad, moved []int) [][]int {
	may := map[int]bool{}
	for _, i := range moved {
		may[i] = true
	}
	var out [][]int
	for _, first := range bad {
		if !may[first] {
			continue
		}
		delete(may, first)
		knot := []int{first}
		for at := 0; at < len(knot); at++ {
			l.aims.near(l.pins[knot[at]].Anchor, knotChain*l.r, func(k int, _ shape.Pt) bool {
				if may[k] {
					delete(may, k)
					knot = append(knot, k)
				}
				return false
			})
		}
		slices.Sort(knot)
		out = append(out, knot)
	}
	return out
}

// untie lays the knot out anew in each of several ways and keeps the best.
func (l *layout) untie(knot []int) {
	var best []shape.Pt
	least := math.Inf(1)
	before := make([]shape.Pt, len(knot))
	for k, i := range knot {
		before[k] = l.pins[i].At
	}
	if l.lift(knot) {
		best, least = before, l.disorder(knot, before)
	}
	for _, slots := range l.slots(knot) {
		places := l.assigned(knot, slots)
		if d := l.disorder(knot, places); d < least {
			best, least = places, d
		}
	}
	for k, i := range knot {
		if math.IsInf(least, 1) {
			l.place(i, l.find(i))
			continue
		}
		l.place(i, best[k])
	}
}

// lift takes the pins of the knot up and says whether all of them were placed.
func (l *layout) lift(knot []int) (whole bool) {
	up := map[int]bool{}
	for _, i := range knot {
		up[i] = true
		l.discs.remove(i, l.pins[i].At)
	}
	before := len(l.placed)
	l.placed = slices.DeleteFunc(l.placed, func(i int) bool { return up[i] })
	return before-len(l.placed) == len(knot)
}
