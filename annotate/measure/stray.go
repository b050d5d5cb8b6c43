package measure

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"
)

// A point is called wild when it lies further than wildAt of its standard
// uncertainties from where the others put it, and when leaving it out lowers the
// sum of squares by more than leaving out any other would, by wildLead.
const (
	wildAt   = 4.5
	wildLead = 12
)

// dropWild leaves out wild points one by one, up to a third of all. Where
// the points contradict each other but it does not show which is wrong, all
// stay and f.doubt says so.
func (pr *problem) dropWild(f *fitted) {
	for n := 0; n < max(1, len(pr.obs)/3); n++ {
		off := pr.offs(f)
		if worst := slices.Max(off); worst < 2 || worst < 3.5 && pr.agrees(f) {
			return
		}
		if pr.count(f.used) < 5 && !pr.oneLine(f.used) || pr.count(f.used) < 4 {
			break
		}
		at, next, rival := pr.without(f, off)
		if at < 0 || f.cost-next.cost < wildAt*wildAt {
			return // nothing sticks out
		}
		if rival-next.cost < wildLead {
			break
		}
		*f = next
	}
	if !pr.agrees(f) {
		f.doubt = pr.contradiction(f)
	}
}

// agrees says whether the points in use fit about as well as clicks do: the
// sum of squares is within what chance gives once in ten thousand.
func (pr *problem) agrees(f *fitted) bool {
	free := max(1, 2*float64(pr.count(f.used))-4)
	return f.cost < free+4*math.Sqrt(2*free)+6
}

// offs are the distances of the points in use from the view, in standard uncertainties.
func (pr *problem) offs(f *fitted) []float64 {
	l := f.at.lens()
	out := make([]float64, len(pr.obs))
	for i := range pr.obs {
		if f.used[i] {
			d := pr.obs[i].off(&l, &f.at)
			out[i] = math.Hypot(pr.obs[i].w[0]*d.X, pr.obs[i].w[1]*d.X+pr.obs[i].w[2]*d.Y)
		}
	}
	return out
}

// suspects is how many points without tries to leave out: those farthest off. A wild
// click pulls the view towards itself, but never so much that this many others lie farther off.
const suspects = 6

// without is the best fit with one point less, which point that is, and the
// cost of the next best choice.
func (pr *problem) without(f *fitted, off []float64) (at int, next fitted, rival float64) {
	order := make([]int, len(off))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(i, j int) int { return cmp.Compare(off[j], off[i]) })
	at, rival = -1, math.Inf(1)
	best := math.Inf(1)
	for _, i := range order[:min(suspects, len(order))] {
		if !f.used[i] {
			continue
		}
		g := fitted{used: slices.Clone(f.used), stray: 1}
		g.used[i] = false
		if !pr.spans(g.used) || pr.fitModes(&g) != nil {
			continue
		}
		if g.cost < best {
			at, next, best, rival = i, g, g.cost, best
		} else {
			rival = min(rival, g.cost)
		}
	}
	return at, next, rival
}

// spans says whether the points in use still reach over half of what all do.
func (pr *problem) spans(used []bool) bool {
	all := make([]bool, len(used))
	for i := range all {
		all[i] = true
	}
	return pr.reach(used) > 0.3*pr.reach(all)
}

// contradiction names the points that disagree most.
func (pr *problem) contradiction(f *fitted) string {
	l := f.at.lens()
	var names []string
	for i := range pr.obs {
		d := pr.obs[i].off(&l, &f.at)
		if math.Hypot(d.X, d.Y) > 2*pr.obs[i].noise && len(names) < 4 {
			names = append(names, pr.names[i])
		}
	}
	s := "The points contradict each other, and it does not show which is wrong"
	if len(names) > 0 {
		s += fmt.Sprintf(" (most: %s)", strings.Join(names, ", "))
	}
	return s + ": click them again. Until then sizes are uncertain."
}
