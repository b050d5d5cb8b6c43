package suggest

import (
	"math"

	"wornwood/annotate/shape"
)

// The profile across a line tells a check from an edge: a check has finish of
// the same brightness on both sides, and is thin. It is averaged over a stretch
// along the line, so that noise does not decide.
const (
	profileReach = 10   // pixels to each side
	longStretch  = 9    // points before and after that are averaged for the verdict
	shortStretch = 2    // points before and after that show whether the line is there at all
	evenSides    = 0.5  // least share of the deeper side that the shallower has
	edgeStep     = 0.35 // log measure: a step this large within reach makes an edge
	mendGap      = 6    // points by which two good stretches may be apart
	there        = 0.4  // share of a line's depth that a short stretch must show
	thereShare   = 0.6  // share of the points that must show it
)

// across is one profile, from one side to the other.
type across [2*profileReach + 1]float64

// sampleAcross takes the profile at each point of a line.
func sampleAcross(p *plane, line []shape.Pt) []across {
	out := make([]across, len(line))
	for i, at := range line {
		a, b := line[max(0, i-4)], line[min(len(line)-1, i+4)]
		l := math.Max(math.Hypot(b.X-a.X, b.Y-a.Y), 1e-9)
		nx, ny := -(b.Y-a.Y)/l, (b.X-a.X)/l
		for o := range out[i] {
			d := float64(o - profileReach)
			out[i][o] = float64(p.sample(at.X+d*nx, at.Y+d*ny))
		}
	}
	return out
}

// averaged is the mean of each profile with those up to reach before and after.
func averaged(raw []across, reach int) []across {
	out := make([]across, len(raw))
	for o := range len(across{}) {
		sum, n := 0.0, 0
		for i := -reach; i < len(raw); i++ {
			if j := i + reach; j < len(raw) {
				sum, n = sum+raw[j][o], n+1
			}
			if j := i - reach - 1; j >= 0 {
				sum, n = sum-raw[j][o], n-1
			}
			if i >= 0 {
				out[i][o] = sum / float64(n)
			}
		}
	}
	return out
}

// dip is what a profile shows, turned so that a line lies under its sides.
type dip struct {
	left, right, middle float64 // log measure, negated for a light line
	width               float64 // pixels at half depth
	edge                float64 // difference of the far sides
}

func (a across) dip(isDark bool) (d dip) {
	const r = profileReach
	if !isDark {
		for i := range a {
			a[i] = -a[i]
		}
	}
	d.middle = math.Min(a[r], math.Min(a[r-1], a[r+1]))
	d.left = (a[r-5] + a[r-4] + a[r-3]) / 3
	d.right = (a[r+5] + a[r+4] + a[r+3]) / 3
	d.edge = math.Abs(a[0]+a[1]+a[2]-a[2*r]-a[2*r-1]-a[2*r-2]) / 3
	half := 0.5 * (d.middle + 0.5*(d.left+d.right))
	for i := r - 6; i <= r+6; i++ {
		if a[i] < half {
			d.width++
		}
	}
	return d
}

// depth is how far the middle lies under its sides.
func (d dip) depth() float64 { return 0.5*(d.left+d.right) - d.middle }

// isLine says that both sides are alike and no edge is near.
func (d dip) isLine() bool {
	shallow, deep := min(d.left, d.right)-d.middle, max(d.left, d.right)-d.middle
	return shallow > 0 && shallow >= evenSides*deep && d.edge < edgeStep+0.5*shallow
}
