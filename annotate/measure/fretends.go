package measure

import (
	"fmt"
	"image"
	"math"
	"slices"

	"wornwood/annotate/shape"
)

// FretEnd is one end of a fret or of the nut, where its line meets the edge of the board.
type FretEnd struct {
	Fret   int      // 0 is the nut
	Treble bool     // the treble side's end
	At     shape.Pt // pixels
	Sigma  float64  // standard uncertainty in each direction, pixels; 0: not found on its edges, as clicked
}

// What no number of places along an edge makes better, mm: a wire's two flanks
// shine differently; the board's edge is rolled.
const (
	wireFloor = 0.12
	rollFloor = 0.12
)

// RefineFretEnds finds the ends of frets where the middle of the wire meets the
// edge of the board. ends are clicks; both ends of a fret, and two frets at least on each side, are needed for
// a line to follow. pxPerMM is the scale at the board, to 10 %. The nut's ends only move onto the
// board's edge: its own edge is rounded and stands above the board, so a hand finds it better.
//
// An end that is not found keeps its click, with Sigma 0. The error is a
// sentence, for when none was found.
func RefineFretEnds(img *image.Gray, ends []FretEnd, pxPerMM float64) ([]FretEnd, error) {
	out := slices.Clone(ends)
	if img == nil || !(pxPerMM > 0) || math.IsInf(pxPerMM, 0) {
		return out, fmt.Errorf("there is no picture, or no scale, to find frets with")
	}
	if pxPerMM < 1.5 {
		return out, fmt.Errorf("a fret is less than 4 pixels wide in this photo, too small to find its edges: the ends stay as clicked")
	}
	for _, e := range ends {
		if !e.At.Finite() || math.Abs(e.At.X) > farthest || math.Abs(e.At.Y) > farthest {
			return out, fmt.Errorf("an end of fret %d is not at an ordinary place", e.Fret)
		}
	}
	b := brightness{img}
	var rims [2]*seam
	for i, treble := range []bool{false, true} {
		rims[i] = b.rim(ends, treble, pxPerMM)
	}
	found := 0
	for i := range out {
		rim := rims[0]
		if out[i].Treble {
			rim = rims[1]
		}
		if rim != nil && b.endOn(&out[i], rim, b.wire(ends, out[i].Fret, pxPerMM), pxPerMM) {
			found++
		}
	}
	if found == 0 {
		return out, fmt.Errorf("no fret and board edge stand out clearly there: the ends stay as clicked")
	}
	return out, nil
}

// endOn moves an end to where the fret's wire meets the board's rim.
func (b brightness) endOn(e *FretEnd, rim, wire *seam, pxPerMM float64) bool {
	d := shape.Sub(rim.b, rim.a)
	u := (d.X*(e.At.X-rim.a.X) + d.Y*(e.At.Y-rim.a.Y)) / (rim.length * rim.length)
	p, along := rim.at(u), ClickNoise
	if e.Fret != 0 {
		if wire == nil {
			return false
		}
		t := 0.0
		if e.Treble {
			t = 1
		}
		var ok bool
		if p, t, u, ok = wire.meet(rim, t, u); !ok {
			return false
		}
		along = math.Hypot(wire.sigma(t), math.Hypot(edgeFloor, wireFloor*pxPerMM))
	}
	if shape.Dist(p, e.At) > 4*pxPerMM+4 {
		return false
	}
	across := math.Hypot(rim.sigma(u), math.Hypot(edgeFloor, rollFloor*pxPerMM))
	e.At, e.Sigma = p, math.Sqrt((along*along+across*across)/2)
	return true
}

// rim is the edge of the board on one side, through the ends clicked there. It
// is the clearest edge near them, or the outer of two that lie close together.
func (b brightness) rim(ends []FretEnd, treble bool, pxPerMM float64) *seam {
	var on []FretEnd
	for _, e := range ends {
		if e.Treble == treble {
			on = append(on, e)
		}
	}
	if len(on) < 2 {
		return nil
	}
	slices.SortStableFunc(on, func(p, q FretEnd) int { return p.Fret - q.Fret })
	m := newSeam(on[0].At, on[len(on)-1].At)
	if m.length < 40 {
		return nil
	}
	reach := max(4, 1.6*pxPerMM)
	// A little way from the nut, which is often wider or narrower than the board.
	groups := b.crossings(&m, 0.02, 0.98, reach)
	tol := max(1.2, 0.002*m.length)
	apart := edgesNear(m, groups, tol)
	if len(apart) == 0 {
		return nil
	}
	// Outwards is away from the other side's ends.
	out := 1.0
	for _, e := range ends {
		if e.Treble != treble && shape.Side(m.a, m.b, e.At) > 0 {
			out = -1
		}
	}
	best := &apart[0]
	for i := range apart {
		// A rolled edge shows as two lines less than a millimetre apart.
		p, q := out*(apart[i].offset(0)-apart[0].offset(0)), out*(apart[i].offset(1)-apart[0].offset(1))
		if min(p, q) > 0 && max(p, q) < pxPerMM && p+q > out*(best.offset(0)-apart[0].offset(0)+best.offset(1)-apart[0].offset(1)) {
			best = &apart[i]
		}
	}
	if !best.polish(groups, tol) {
		return nil
	}
	return best
}

// wire is the middle line of a fret between its two clicked ends; nil where it is not clear.
func (b brightness) wire(ends []FretEnd, fret int, pxPerMM float64) *seam {
	var bass, treble *shape.Pt
	for i, e := range ends {
		switch {
		case e.Fret == fret && e.Treble:
			treble = &ends[i].At
		case e.Fret == fret:
			bass = &ends[i].At
		}
	}
	if bass == nil || treble == nil || fret == 0 {
		return nil
	}
	m := newSeam(*bass, *treble)
	if m.length < 20*pxPerMM/2 || m.length < 24 {
		return nil
	}
	reach := max(4, 2.4*pxPerMM)
	groups := b.crossings(&m, 0.04, 0.96, reach)
	return wireOf(m, groups, max(1, 0.003*m.length), pxPerMM)
}

// wireOf is the line midway between the two flanks of a wire: where it gets brighter
// and darker again, or the other way round, a wire's width apart.
func wireOf(m seam, groups [][]crossing, tol, pxPerMM float64) *seam {
	up, okUp := findSeam(m, groups, brighter, tol)
	down, okDown := findSeam(m, groups, darker, tol)
	if !okUp || !okDown || min(up.score, down.score) < faintest {
		return nil
	}
	if !up.polish(groups, tol) || !down.polish(groups, tol) {
		return nil
	}
	wide := math.Abs(up.offset(0.5)-down.offset(0.5)) / pxPerMM
	if wide < 0.9 || wide > 3.6 {
		return nil
	}
	mid := m
	for i := range mid.c {
		mid.c[i] = (up.c[i] + down.c[i]) / 2
		for j := range mid.cov[i] {
			mid.cov[i][j] = (up.cov[i][j] + down.cov[i][j]) / 4
		}
	}
	return &mid
}
