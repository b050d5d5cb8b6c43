package draw

import (
	"math"
	"slices"

	"wornwood/annotate/shape"
)

// maxHatchLines bounds the work on an area that is enormous in view units,
// which a deep zoom makes of any area; beyond it the gap grows.
const maxHatchLines = 2000

// Lines is the hatch clipped to the inside of the path by the even-odd rule,
// as open straight lines. Lines lie on whole multiples of the gap from the
// view's origin, so that neighbouring areas hatch alike.
func (h Hatch) Lines(area shape.Path) shape.Path {
	rings := area.Flatten(0.25)
	var out shape.Path
	h.addLines(&out, rings, h.Angle)
	if h.Cross {
		h.addLines(&out, rings, h.Angle+90)
	}
	return out
}

// addLines turns the rings so that the hatch runs along X, cuts them row by
// row and turns the pieces back.
func (h Hatch) addLines(out *shape.Path, rings [][]shape.Pt, angle float64) {
	turn := shape.Rotate(-angle * math.Pi / 180)
	back := shape.Rotate(angle * math.Pi / 180)
	turned := make([][]shape.Pt, len(rings))
	lo, hi := math.Inf(1), math.Inf(-1)
	for i, r := range rings {
		turned[i] = turn.ApplyAll(r)
		for _, p := range turned[i] {
			lo, hi = math.Min(lo, p.Y), math.Max(hi, p.Y)
		}
	}
	if !(hi > lo) {
		return
	}
	gap := math.Max(h.Gap, (hi-lo)/maxHatchLines)
	for k := math.Ceil(lo / gap); k*gap < hi; k++ {
		y := k * gap
		xs := crossings(turned, y)
		for i := 0; i+1 < len(xs); i += 2 {
			if xs[i+1]-xs[i] > h.Width {
				out.MoveTo(back.Apply(shape.Pt{X: xs[i], Y: y}))
				out.LineTo(back.Apply(shape.Pt{X: xs[i+1], Y: y}))
			}
		}
	}
}

// crossings are the X at which the rings' edges pass the height y, ascending.
func crossings(rings [][]shape.Pt, y float64) []float64 {
	var xs []float64
	for _, r := range rings {
		for i, p := range r {
			q := r[(i+1)%len(r)]
			if (p.Y > y) != (q.Y > y) {
				xs = append(xs, p.X+(y-p.Y)/(q.Y-p.Y)*(q.X-p.X))
			}
		}
	}
	slices.Sort(xs)
	return xs
}
