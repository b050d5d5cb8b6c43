package outline

import (
	"cmp"
	"math"
	"slices"

	"wornwood/annotate/shape"
)

// strip is one half of the body's edge as it runs on the front, from the neck
// joint to the end pin: points in mm and the length up to each.
type strip struct {
	line []shape.Pt
	run  []float64
	tip  shape.Pt // of the horn
}

// length is the true length of the edge in mm.
func (st strip) length() float64 { return st.run[len(st.run)-1] }

// at is the point of the front that lies s mm along the edge.
func (st strip) at(s float64) shape.Pt {
	i, _ := slices.BinarySearch(st.run, s)
	i = max(1, min(i, len(st.run)-1))
	a, b := st.run[i-1], st.run[i]
	return shape.Lerp(st.line[i-1], st.line[i], math.Max(0, math.Min(1, (s-a)/(b-a))))
}

// reach is the length along the edge to the first point for which ok holds.
func (st strip) reach(ok func(shape.Pt) bool) float64 {
	for i, p := range st.line {
		if ok(p) {
			return st.run[i]
		}
	}
	return st.length()
}

// strip unrolls the edge of one side.
func (pl *plan) strip(side Side) strip {
	end := cutAt{}
	lowest := math.Inf(-1)
	for _, at := range cuts(pl.body, func(p shape.Pt) float64 { return p.X }) {
		if p := pl.body[at.curve].At(at.t); p.Y > lowest {
			end, lowest = at, p.Y
		}
	}
	var curves []shape.Curve
	if side == TrebleSide {
		curves = piece(pl.body, pl.treble, end)
	} else {
		curves = piece(pl.body, end, pl.bass)
		slices.Reverse(curves)
		for i, c := range curves {
			curves[i] = c.Reversed()
		}
	}
	st := strip{line: shape.FromCurves(curves, false).FlattenOpen(0.002)[0]}
	// A ring that starts at the end pin is cut within rounding of a node.
	st.line = slices.CompactFunc(st.line, func(a, b shape.Pt) bool { return shape.Dist(a, b) < 1e-9 })
	st.run = make([]float64, len(st.line))
	for i := 1; i < len(st.line); i++ {
		st.run[i] = st.run[i-1] + shape.Dist(st.line[i-1], st.line[i])
	}
	st.tip = slices.MinFunc(st.line, func(a, b shape.Pt) int { return cmp.Compare(a.Y, b.Y) })
	return st
}

// horned says whether a horn rises beside the neck on this side.
func (st strip) horned() bool { return st.tip.Y < st.line[0].Y-5 }

// turns are the lengths along the edge of the horn's tip and, behind it, of
// every place where the body stops growing wider or narrower.
func (st strip) turns() []float64 {
	var out []float64
	past := st.tip == st.line[0]
	for i := 1; i+1 < len(st.line); i++ {
		a, p, b := math.Abs(st.line[i-1].X), math.Abs(st.line[i].X), math.Abs(st.line[i+1].X)
		switch {
		case st.line[i] == st.tip:
			past = true
			out = append(out, st.run[i])
		case past && (p-a)*(b-p) < 0:
			out = append(out, st.run[i])
		}
	}
	return out
}
