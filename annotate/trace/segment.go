package trace

import (
	"context"
	"errors"
)

// ErrNothing says that nothing in the photo stands out from its border.
var ErrNothing = errors.New("nothing in the photo stands out from the backdrop; photograph the instrument on a plain backdrop of another colour, or paint it in with the brush")

// coarsePixels bounds the size of the picture of the coarse stage.
const coarsePixels = 130_000

// leastInst is the least number of coarse pixels that an instrument has.
const leastInst = 30

// rounds is how often models and mask are found from each other.
const rounds = 3

// found is a segmented picture.
type found struct {
	pic     *picture
	mask    []bool
	scene   *scene
	w       int // of the mask
	k       int // pixels of the picture a side of a pixel of the scene's
	sort    sorting
	shaky   float64 // share of the instrument that a small change of evidence moves
	drowned float64 // share of the instrument that looks more like backdrop
}

// segment tells the instrument from the backdrop: a coarse cut of a small
// picture by colours, twice refined along its border by local colours at full
// size; then it picks the pieces that are the instrument.
func segment(ctx context.Context, p *picture, seeds []int8) (*found, error) {
	k := 1
	for ((p.w+k-1)/k)*((p.h+k-1)/k) > coarsePixels {
		k++
	}
	f := &found{pic: p, w: p.w, k: k}
	s := &scene{pic: p.shrunk(k), seeds: shrunkSeeds(seeds, p.w, p.h, k), edge: p.edges(k)}
	f.scene = s
	s.brush = [2]*brushed{learnBrush(s.pic, s.seeds, said), learnBrush(s.pic, s.seeds, saidNot)}
	s.start()
	var err error
	for range rounds {
		if n := count(s.mask); n < leastInst || n == len(s.mask) {
			return nil, ErrNothing
		}
		s.relight()
		s.learn()
		if s.mask, err = s.cut(ctx, 0); err != nil {
			return nil, err
		}
	}
	if count(s.mask) < leastInst {
		return nil, ErrNothing
	}
	if err := f.doubt(ctx); err != nil {
		return nil, err
	}
	r := &refiner{pic: p, seeds: seeds, scene: s, k: k}
	f.mask = enlarged(s.mask, s.pic.w, k, p.w, p.h)
	if f.mask, err = r.refine(ctx, f.mask, 3*k, 2*k); err != nil {
		return nil, err
	}
	if f.mask, err = r.refine(ctx, f.mask, k+2, 2); err != nil {
		return nil, err
	}
	f.mask, f.sort = sortPieces(f.mask, seeds, p.w, p.h)
	fillHoles(f.mask, seeds, p.w, p.h, f.passes)
	if count(f.mask) < leastInst {
		return nil, ErrNothing
	}
	return f, nil
}

// shakyBias is the change of evidence, in nats, whose effect says how much of the
// cut is a matter of luck.
const shakyBias = 2

// doubt measures how firmly the coarse cut stands.
func (f *found) doubt(ctx context.Context) error {
	s := f.scene
	more, err := s.cut(ctx, shakyBias)
	if err != nil {
		return err
	}
	less, err := s.cut(ctx, -shakyBias)
	if err != nil {
		return err
	}
	moved, drowned := 0, 0
	for i, c := range s.pic.px {
		if more[i] != less[i] {
			moved++
		}
		if s.mask[i] && s.looksBack(c, i) > s.looksInst(c, i) {
			drowned++
		}
	}
	n := float64(count(s.mask))
	f.shaky, f.drowned = float64(moved)/n, float64(drowned)/n
	return nil
}
