package suggest

import (
	"math"

	"wornwood/annotate/shape"
	"wornwood/capture/record"
)

// tally counts what was painted, found and made up.
type tally struct{ truth, hits, ghosts, right int }

func (a *tally) add(b tally) {
	a.truth, a.hits, a.ghosts, a.right = a.truth+b.truth, a.hits+b.hits, a.ghosts+b.ghosts, a.right+b.right
}

func (a tally) recall() float64 { return float64(a.hits) / float64(max(a.truth, 1)) }
func (a tally) precision() float64 {
	if a.ghosts == 0 {
		return 1
	}
	return float64(a.right) / float64(a.ghosts)
}

const (
	lineNear  = 3.0 // px
	dingNear  = 6.0
	ghostPart = 0.5 // of a ghost's length near painted lines, to be right
	truthPart = 0.4 // of a painted line's length near ghosts, to be found
)

// match compares ghosts of one kind with what was painted. A check's ghost is
// right when at least half of its length lies within 3 px of painted checks; a
// painted check is found when right ghosts cover at least 40 % of its length to
// within 3 px. A ding's ghost is right when its point lies within the ding's
// radius or 6 px, whichever is more, of a painted ding that no better ghost has
// taken; everything else is false, also what the ground itself shows.
func match(kind record.Kind, ghosts []Ghost, marks []painted) (t tally) {
	if kind == Check {
		return matchChecks(ghosts, marks)
	}
	taken := map[int]bool{}
	for _, m := range marks {
		if m.kind == Ding {
			t.truth++
		}
	}
	for _, g := range ghosts {
		if g.Kind != Ding {
			continue
		}
		t.ghosts++
		for i, m := range marks {
			if m.kind == Ding && !taken[i] && shape.Dist(g.Points[0], m.centre) <= math.Max(dingNear, m.radius) {
				taken[i] = true
				t.hits++
				t.right++
				break
			}
		}
	}
	return t
}

func matchChecks(ghosts []Ghost, marks []painted) (t tally) {
	var lines, right [][]shape.Pt
	for _, m := range marks {
		if m.kind == Check {
			lines = append(lines, m.line)
		}
	}
	for _, g := range ghosts {
		if g.Kind != Check {
			continue
		}
		t.ghosts++
		if covered(g.Points, lines) >= ghostPart {
			right = append(right, g.Points)
		}
	}
	t.truth, t.right = len(lines), len(right)
	for _, l := range lines {
		if covered(l, right) >= truthPart {
			t.hits++
		}
	}
	return t
}

// covered is the share of a line's length that lies near any of the others.
func covered(line []shape.Pt, others [][]shape.Pt) float64 {
	n, near := 0, 0
	boxes := make([]shape.Rect, len(others))
	for i, o := range others {
		boxes[i] = shape.RectAround(o...).Grow(lineNear)
	}
	for i := 1; i < len(line); i++ {
		steps := max(1, int(shape.Dist(line[i-1], line[i])))
		for k := range steps {
			p := shape.Lerp(line[i-1], line[i], (float64(k)+0.5)/float64(steps))
			n++
			for k, o := range others {
				if boxes[k].Contains(p) && shape.DistToPolyline(p, o) <= lineNear {
					near++
					break
				}
			}
		}
	}
	return float64(near) / float64(max(n, 1))
}
