// Package suggest points at likely finish checks and likely dings in a chosen
// area of a photo, for a person to accept or dismiss one by one. It decides
// nothing and adds nothing to a record.
package suggest

import (
	"cmp"
	"context"
	"image"
	"slices"

	"wornwood/annotate/shape"
	"wornwood/capture/record"
)

// The kinds that are suggested, as the rubric names them.
const (
	Check record.Kind = "finish check"
	Ding  record.Kind = "ding"
)

// Options say how to search.
type Options struct {
	Sensitivity float64  // 0 few and sure, 1 many and doubtful
	Offset      shape.Pt // photo pixels of the corner of the picture's pixel (0,0)
	Scale       float64  // photo pixels to a pixel of the picture; 0 is 1
}

// Ghost is one suggestion.
type Ghost struct {
	Kind     record.Kind
	Shape    record.Shape
	Points   []shape.Pt // pixels of the whole upright photo
	Radius   float64    // of a ding's ring, photo pixels: to draw it, not a size; 0 for a line
	Score    float64    // 0..1, only to sort by
	Contrast float64    // share by which it is darker or lighter than the finish round it
}

// Result is what was found.
type Result struct {
	Ghosts []Ghost // best first
	Grainy bool
	Note   string
}

// Find searches the area.
func Find(ctx context.Context, img image.Image, area []shape.Pt, opt Options) (*Result, error) {
	g, err := prepare(img, area, opt)
	if err != nil {
		return nil, err
	}
	b := boundsAt(opt.Sensitivity)
	var all []stretch
	p, inside, step := g.log, g.inside, 1.0
	for range 2 {
		r, err := findRidges(ctx, p, inside, step)
		if err != nil {
			return nil, err
		}
		all = append(all, r.stretches(inside, b)...)
		p, inside, step = p.halved(), halvedMask(inside, p.w, p.h), step*2
	}
	res := &Result{}
	pits, err := findPits(ctx, g)
	if err != nil {
		return nil, err
	}
	kept, ruled := dropRuled(tidy(all, b.least))
	_ = ruled
	pits = alone(slices.DeleteFunc(pits, func(p pit) bool { return !p.reaches(b) }))
	lines := slices.DeleteFunc(kept, func(s stretch) bool { return s.onPit(pits) })
	pits = slices.DeleteFunc(pits, func(p pit) bool { return p.onLine(lines) })
	for _, s := range lines {
		gh := Ghost{Kind: Check, Shape: record.LineShape, Contrast: s.contrast, Score: s.weigh() / (s.weigh() + 20)}
		for _, q := range s.at {
			gh.Points = append(gh.Points, g.toPhoto(q))
		}
		res.Ghosts = append(res.Ghosts, gh)
	}
	for _, p := range pits {
		res.Ghosts = append(res.Ghosts, Ghost{Kind: Ding, Shape: record.PointShape, Points: []shape.Pt{g.toPhoto(p.at)}, Radius: p.radius * g.scale, Contrast: p.contrast, Score: p.weigh() / (p.weigh() + 20)})
	}
	slices.SortStableFunc(res.Ghosts, func(a, b Ghost) int { return cmp.Compare(b.Score, a.Score) })
	return res, nil
}

func halvedMask(m []uint8, w, h int) []uint8 {
	hw, hh := max(1, w/2), max(1, h/2)
	out := make([]uint8, hw*hh)
	for y := range hh {
		for x := range hw {
			out[y*hw+x] = m[2*y*w+2*x]
		}
	}
	return out
}
