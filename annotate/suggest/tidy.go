package suggest

import (
	"cmp"
	"math"
	"slices"

	"wornwood/annotate/shape"
)

const (
	sameLine  = 4.0  // pixels within which two lines are one
	joinGap   = 16.0 // pixels between two ends that may be one line
	mostLines = 2000 // that are tidied: the best of them
)

// trail remembers where lines run, in square cells.
type trail struct {
	cell  float64
	cells map[[2]int]bool
}

func newTrail(near float64) *trail { return &trail{near, map[[2]int]bool{}} }

func (t *trail) index(p shape.Pt) [2]int {
	return [2]int{int(math.Floor(p.X / t.cell)), int(math.Floor(p.Y / t.cell))}
}

// add marks the cells of the points and the cells round them.
func (t *trail) add(line []shape.Pt) {
	for _, p := range line {
		c := t.index(p)
		for y := c[1] - 1; y <= c[1]+1; y++ {
			for x := c[0] - 1; x <= c[0]+1; x++ {
				t.cells[[2]int{x, y}] = true
			}
		}
	}
}

func (t *trail) has(p shape.Pt) bool { return t.cells[t.index(p)] }

// share is how many of the points lie on the trail, 0..1.
func (t *trail) share(line []shape.Pt) float64 {
	n := 0
	for _, p := range line {
		if t.has(p) {
			n++
		}
	}
	return float64(n) / float64(max(1, len(line)))
}

// tidy drops lines, and parts of lines, that lie along a better one, and joins
// lines that go on in each other. Lines left shorter than least go.
func tidy(all []stretch, least float64) []stretch {
	slices.SortStableFunc(all, func(a, b stretch) int { return cmp.Compare(b.weigh(), a.weigh()) })
	all = all[:min(len(all), mostLines)]
	near := newTrail(sameLine)
	var out []stretch
	for _, s := range all {
		s.at = longestOff(s.at, near)
		if s.length() < least {
			continue
		}
		near.add(s.at)
		out = append(out, s)
	}
	return joined(out)
}

// longestOff is the longest part of a line that is not on the trail.
func longestOff(line []shape.Pt, t *trail) []shape.Pt {
	from, best := 0, line[:0]
	for i := 0; i <= len(line); i++ {
		if i < len(line) && !t.has(line[i]) {
			continue
		}
		if i-from > len(best) {
			best = line[from:i]
		}
		from = i + 1
	}
	return best
}

// joined joins the first two lines that go on in each other, and again, until
// there are none.
func joined(all []stretch) []stretch {
	for i := 0; i < len(all); i++ {
		for j := i + 1; j < len(all); j++ {
			if s, ok := all[i].join(all[j]); ok {
				all[i] = s
				all = slices.Delete(all, j, j+1)
				j = i
			}
		}
	}
	return all
}

// join makes one line of two of the same kind whose ends meet in one direction.
func (s stretch) join(o stretch) (stretch, bool) {
	if s.dark != o.dark {
		return s, false
	}
	for range 2 {
		for range 2 {
			if goesOn(s.at, o.at) {
				n, m := float64(len(s.at)), float64(len(o.at))
				mean := func(a, b float64) float64 { return (a*n + b*m) / (n + m) }
				at := append(slices.Clone(s.at), o.at...)
				return stretch{at: at, dark: s.dark, rise: mean(s.rise, o.rise), contrast: mean(s.contrast, o.contrast)}, true
			}
			o.at = slices.Clone(o.at)
			slices.Reverse(o.at)
		}
		s.at = slices.Clone(s.at)
		slices.Reverse(s.at)
	}
	return s, false
}

// goesOn says whether b begins where a ends and runs on as a did, to within
// half a right angle.
func goesOn(a, b []shape.Pt) bool {
	end, begin := a[len(a)-1], b[0]
	if shape.Dist(end, begin) > joinGap {
		return false
	}
	u := shape.Sub(end, a[max(0, len(a)-12)])
	v := shape.Sub(b[min(len(b)-1, 11)], begin)
	w := shape.Sub(begin, end)
	straight := func(p, q shape.Pt) bool {
		return p.X*q.X+p.Y*q.Y >= math.Cos(math.Pi/4.5)*math.Hypot(p.X, p.Y)*math.Hypot(q.X, q.Y)
	}
	return straight(u, v) && (shape.Dist(end, begin) < 4 || straight(u, w))
}
