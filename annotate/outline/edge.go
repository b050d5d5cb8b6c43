package outline

import (
	"cmp"
	"math"
	"slices"

	"wornwood/annotate/shape"
	"wornwood/capture/record"
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
	st.run = make([]float64, len(st.line))
	for i := 1; i < len(st.line); i++ {
		st.run[i] = st.run[i-1] + shape.Dist(st.line[i-1], st.line[i])
	}
	st.tip = slices.MinFunc(st.line, func(a, b shape.Pt) int { return cmp.Compare(a.Y, b.Y) })
	return st
}

// edge is the sheet of one side of the body. Seen with the head up, the front
// of a right-handed instrument is on the right when one looks at its bass
// side, on the left at its treble side.
func (pl *plan) edge(side Side) SideDrawing {
	st := pl.strips[side]
	// Drawn with the front on the right.
	s := newSheet(side, (side == TrebleSide) != pl.p.LeftHanded)
	half, long := pl.thickness.mm*pl.bulk/2, st.length()
	whole := shape.Polygon(stripCorners(half, long)...)
	s.add("edge", string(side), record.SidesFinish, 0, whole)
	round := half - pl.roundover.mm*pl.bulk
	for _, x := range []float64{-round, round} {
		s.dashed(thin, shape.Polyline(shape.Pt{X: x}, shape.Pt{X: x, Y: long}))
	}
	pl.strokeTicks(s, st, half)
	k := pl.size
	if side == TrebleSide {
		jackY := pl.onBody(pl.jack.at()).Y
		c := shape.Pt{Y: st.reach(func(p shape.Pt) bool { return p.Y >= jackY })}
		box := rectAt(c, pl.jackWidth.mm*k/2, pl.jackLength.mm*k/2)
		s.add("jack", "jack", record.Electronics, pl.jackPiece(), shape.RoundRect(box, 9*k))
		s.stroke(medium, shape.Circle(c, 7*k))
		s.stroke(thin, shape.Circle(c, 3.2*k))
		s.screw(shape.Pt{Y: box.Min.Y + 5*k}, 1.8*k)
		s.screw(shape.Pt{Y: box.Max.Y - 5*k}, 1.8*k)
	} else {
		c := shape.Pt{Y: st.reach(func(p shape.Pt) bool { return p == st.tip })}
		s.stroke(medium, shape.Circle(c, 7*k))
		s.screw(c, 2.4*k)
	}
	s.stroke(medium, halfDisc(shape.Pt{Y: long}, 7*k))
	return s.done(whole)
}

// strokeTicks marks on both edges of the strip where the horn's tip, the
// widest of the upper bout, the waist and the widest of the lower bout are.
func (pl *plan) strokeTicks(s *sheet, st strip, half float64) {
	long := 3 * pl.bulk
	for _, y := range st.turns() {
		s.stroke(thin, shape.Polyline(shape.Pt{X: -half, Y: y}, shape.Pt{X: -half + long, Y: y}))
		s.stroke(thin, shape.Polyline(shape.Pt{X: half - long, Y: y}, shape.Pt{X: half, Y: y}))
	}
}

// turns are the lengths along the edge of the horn's tip and, behind it, of
// every place where the body stops growing wider or narrower.
func (st strip) turns() []float64 {
	var out []float64
	past := false
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

func stripCorners(half, long float64) []shape.Pt {
	c := corners(shape.Rect{Min: shape.Pt{X: -half}, Max: shape.Pt{X: half, Y: long}})
	return c[:]
}

// halfDisc is the upper half of a circle: the end pin's half on this side.
func halfDisc(c shape.Pt, r float64) shape.Path {
	rings := shape.Circle(c, r).Rings(true)
	return shape.FromCurves(rings[0][2:], false)
}

// inset is the ring or run of curves as points d mm to its inner side, the
// right-hand side of travel for a clockwise ring.
func inset(curves []shape.Curve, d float64) []shape.Pt {
	var line []shape.Pt
	for _, c := range curves {
		steps := 4 + int(shape.Dist(c.P[0], c.P[3])/2)
		for i := range steps {
			t := (float64(i) + 0.5) / float64(steps)
			before, after := c.At(t-0.01), c.At(t+0.01)
			l := shape.Dist(before, after)
			if l == 0 {
				continue
			}
			n := shape.Pt{X: -(after.Y - before.Y) / l, Y: (after.X - before.X) / l}
			line = append(line, shape.Add(c.At(t), shape.Mul(n, d)))
		}
	}
	return line
}
