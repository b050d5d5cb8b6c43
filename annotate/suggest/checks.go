package suggest

import (
	"math"
	"slices"

	"wornwood/annotate/shape"
)

// bounds are what a line or a pit has to reach at one place of the slider.
type bounds struct {
	seed, keep float64 // rise over the bar: to start a line, to go on with it
	contrast   float64 // share by which a line or pit differs from its surroundings
	least      float64 // pixels: a shorter line is left out
	weight     float64 // as stretch.weigh has it
	pit        float64 // pit's rise over the ground times its standing over its surroundings
}

// boundsAt are the bounds for a strictness. They were set on marks painted with
// other seeds than those of the figures.
func boundsAt(k float64) bounds {
	return bounds{seed: 5.5 * k, keep: 3 * k, contrast: 0.05 * k, least: 24, weight: 6 * k, pit: 5.2 * k}
}

// stretch is a piece of a crest with a check's profile, in pixels of the
// picture that was searched.
type stretch struct {
	at       []shape.Pt
	rise     float64 // mean
	contrast float64
	dark     bool
}

// length of the piece in pixels.
func (s stretch) length() float64 { return shape.PolylineLength(s.at) }

// weigh is how much speaks for a line: its rise, and more of it the longer it
// is, as for means of a longer stretch; beyond 150 px more length adds nothing.
func (s stretch) weigh() float64 {
	return s.rise * math.Sqrt(math.Min(s.length(), 150)/40)
}

// stretches finds the check-like lines of one plane.
func (r *ridges) stretches(inside []uint8, b bounds) []stretch {
	w := &walker{ridges: r, inside: inside, seen: make([]uint8, len(inside)), low: float32(b.keep), high: float32(b.seed)}
	var out []stretch
	w.crests(func(c crest) {
		if float64(len(c.at))*r.step < b.least {
			return
		}
		for _, s := range r.split(c, b) {
			if s.length() >= b.least && s.weigh() >= b.weight && s.contrast >= b.contrast {
				out = append(out, s)
			}
		}
	})
	return out
}

// split keeps the pieces of a crest whose profile is that of a check.
func (r *ridges) split(c crest, b bounds) []stretch {
	raw := sampleAcross(r.src, c.at)
	long, short := averaged(raw, longStretch), averaged(raw, shortStretch)
	var out []stretch
	from, last := -1, -1
	end := func() {
		if from >= 0 {
			if s, ok := r.piece(c, long, short, from, last); ok {
				out = append(out, s)
			}
		}
		from = -1
	}
	for i := range c.at {
		if d := long[i].dip(c.dark); d.isLine() {
			if from < 0 {
				from = i
			}
			last = i
		} else if from >= 0 && i-last > mendGap {
			end()
		}
	}
	end()
	return out
}

// piece is the part of a crest from one point to another, less the ends at
// which only the filter's length makes a line. It must be there for most of its
// way, which a spot that the filter draws out is not.
func (r *ridges) piece(c crest, long, short []across, from, last int) (stretch, bool) {
	depths := make([]float64, 0, last-from+1)
	for i := from; i <= last; i++ {
		depths = append(depths, long[i].dip(c.dark).depth())
	}
	slices.Sort(depths)
	want := there * depths[len(depths)*3/4]
	shows := func(i int) bool { return short[i].dip(c.dark).depth() >= want }
	for from < last && !(shows(from) && shows(from+1)) {
		from++
	}
	for from < last && !(shows(last) && shows(last-1)) {
		last--
	}
	s := stretch{dark: c.dark}
	seen, widths, lines, sum := 0, 0.0, 0, 0.0
	for i := from; i <= last; i++ {
		s.at = append(s.at, shape.Pt{X: (c.at[i].X+0.5)*r.step - 0.5, Y: (c.at[i].Y+0.5)*r.step - 0.5})
		s.rise += c.rise[i] / float64(last-from+1)
		if shows(i) {
			seen++
		}
		if d := long[i].dip(c.dark); d.isLine() {
			widths, lines, sum = widths+d.width, lines+1, sum+d.contrast(c.dark)
		}
	}
	s.contrast = sum / float64(max(lines, 1))
	return s, lines > 0 && float64(seen) >= thereShare*float64(last-from+1) && widths/float64(lines)*r.step <= widest
}

// contrast is the share by which a line differs from its sides.
func (d dip) contrast(isDark bool) float64 {
	around := 0.5 * (d.left + d.right)
	if isDark {
		return contrastOf(-d.depth(), around)
	}
	return contrastOf(d.depth(), -around)
}

// widest is the width of the widest line that may be a check, in pixels of the
// picture.
const widest = 6.5
