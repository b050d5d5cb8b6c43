package suggest

import (
	"cmp"
	"context"
	"image"
	"math"
	"slices"

	"wornwood/annotate/shape"
	"wornwood/capture/record"
)

// lineScales is how many times the picture is halved for wider checks, less one.
const lineScales = 2

// Search is an area filtered once, ready to be read at any place of the
// slider. It holds some 15 bytes a pixel; drop it with the area. It is
// immutable and may be used from several goroutines.
type Search struct {
	ground  *ground
	ridges  []*ridges
	insides [][]uint8
	pits    []pit
	texture texture
}

// Prepare does the slow part of Find. Options.Sensitivity is not used.
func Prepare(ctx context.Context, img image.Image, area []shape.Pt, opt Options) (*Search, error) {
	g, err := prepare(img, area, opt)
	if err != nil {
		return nil, err
	}
	s := &Search{ground: g}
	p, inside, step := g.log, g.inside, 1.0
	for range lineScales {
		r, err := findRidges(ctx, p, inside, step)
		if err != nil {
			return nil, err
		}
		s.ridges, s.insides = append(s.ridges, r), append(s.insides, inside)
		p, inside, step = p.halved(), halvedMask(inside, p.w, p.h), step*2
	}
	var level float64
	if s.pits, level, err = findPits(ctx, g); err != nil {
		return nil, err
	}
	s.texture = textureOf(s.ridges[0].ground, level)
	return s, nil
}

// At gives the suggestions at a place of the slider, 0..1; a place outside is
// taken to the nearer end.
func (s *Search) At(sensitivity float64) *Result {
	k := strictness(sensitivity)
	held := s.texture.grainy() && k < 1
	if held {
		k = 1 // further right the figures on grain fall under 0.8 right
	}
	b := boundsAt(k)
	res := &Result{Grainy: s.texture.grainy(), Shrunk: s.ground.shrunk,
		FaintestCheck: s.texture.faintestCheck(k), FaintestDing: s.texture.faintestDing(k)}
	lines, ruled := dropRuled(s.lines(b))
	pits := s.goodPits(b, ruled)
	lines = slices.DeleteFunc(lines, func(l stretch) bool { return l.onPit(pits) })
	pits = slices.DeleteFunc(pits, func(p pit) bool { return p.onLine(lines) })
	res.Ruled = ruled.lines
	if res.FaintestCheck > 0 {
		for _, l := range lines {
			res.Ghosts = append(res.Ghosts, s.ground.ghostOfLine(l))
		}
	}
	if res.FaintestDing > 0 {
		for _, p := range pits {
			res.Ghosts = append(res.Ghosts, s.ground.ghostOfPit(p))
		}
	}
	slices.SortStableFunc(res.Ghosts, func(a, b Ghost) int { return cmp.Compare(b.Score, a.Score) })
	all := len(res.Ghosts)
	res.Ghosts = res.Ghosts[:min(all, MostGhosts)]
	res.Note = s.note(res, all, held)
	return res
}

// strictness is 2 at the slider's left end, 1 in its middle and 0.66 at its
// right end, past which nearly all suggestions are wrong.
func strictness(sensitivity float64) float64 {
	switch {
	case !(sensitivity > 0):
		return 2
	case sensitivity < 0.5:
		return math.Exp2(1 - 2*sensitivity)
	}
	return math.Exp2(1.2 * (0.5 - min(sensitivity, 1)))
}

// lines are the check-like lines of all scales.
func (s *Search) lines(b bounds) []stretch {
	var all []stretch
	for i, r := range s.ridges {
		all = append(all, r.stretches(s.insides[i], b)...)
	}
	return tidy(all, b.least)
}

// ghostOfLine thins the line's points to those that a person needs to drag.
func (g *ground) ghostOfLine(l stretch) Ghost {
	out := Ghost{Kind: Check, Shape: record.LineShape, Contrast: l.contrast, Score: l.weigh() / (l.weigh() + halfScore)}
	for _, p := range shape.Thin(l.at, thinTo) {
		out.Points = append(out.Points, g.toPhoto(p))
	}
	return out
}

func (g *ground) ghostOfPit(p pit) Ghost {
	w := 100 * p.weigh()
	return Ghost{Kind: Ding, Shape: record.PointShape, Points: []shape.Pt{g.toPhoto(p.at)}, Radius: p.radius * g.scale,
		Contrast: p.contrast, Score: w / (w + halfScore)}
}

const (
	halfScore = 20.0 // weight that makes a score of a half
	thinTo    = 0.8  // pixels that a thinned line may stray
)
