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
func (h Hatch) Lines(area shape.Path) shape.Path { return h.linesIn(area.Flatten(0.25)) }

func (h Hatch) linesIn(rings [][]shape.Pt) shape.Path {
	var out shape.Path
	h.addLines(&out, rings, h.Angle)
	if h.Cross {
		h.addLines(&out, rings, h.Angle+90)
	}
	return out
}

// addLines turns the rings so that the hatch runs along X, notes where each
// edge crosses each line and turns the pieces between crossings back.
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
	if !(hi > lo) || math.IsInf(hi-lo, 0) {
		return
	}
	gap := math.Max(h.Gap, (hi-lo)/maxHatchLines)
	first := math.Ceil(lo / gap)
	rows := make([][]float64, int(math.Ceil(hi/gap)-first)+1)
	for _, r := range turned {
		for i, p := range r {
			addCrossings(rows, first, gap, p, r[(i+1)%len(r)])
		}
	}
	for k, xs := range rows {
		y := (first + float64(k)) * gap
		slices.Sort(xs)
		for i := 0; i+1 < len(xs); i += 2 {
			if xs[i+1]-xs[i] > h.Width {
				out.MoveTo(back.Apply(shape.Pt{X: xs[i], Y: y}))
				out.LineTo(back.Apply(shape.Pt{X: xs[i+1], Y: y}))
			}
		}
	}
}

// addCrossings notes where the edge pq crosses the lines y = (first + k) gap.
// An edge owns its upper end only, so that a corner on a line counts once.
func addCrossings(rows [][]float64, first, gap float64, p, q shape.Pt) {
	if p.Y > q.Y {
		p, q = q, p
	}
	for k := int(math.Ceil(p.Y/gap) - first); k < len(rows); k++ {
		y := (first + float64(k)) * gap
		if y >= q.Y {
			return
		}
		rows[k] = append(rows[k], p.X+(y-p.Y)/(q.Y-p.Y)*(q.X-p.X))
	}
}
