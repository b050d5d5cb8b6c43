package trace

import (
	"context"
	"errors"
	"fmt"
	"image"

	"wornwood/annotate/shape"
)

type Options struct {
	Add, Erase []Stroke
	Pixels     int
}

type Stroke struct {
	Points []shape.Pt
	Radius float64
}

type Result struct {
	Mask *image.Alpha
	Ring []shape.Pt
}

var workingPixels = int(1e6 * env("WP", 1))
var coarsePixels = int(1e3 * env("CP", 100))

func Silhouette(ctx context.Context, img image.Image, opt Options) (*Result, error) {
	b := img.Bounds()
	w, h := workingSize(b.Dx(), b.Dy(), workingPixels)
	p, err := reduced(ctx, img, w, h)
	if err != nil {
		return nil, err
	}
	mask, _, err := segment(ctx, p, make([]int8, w*h))
	if err != nil {
		return nil, err
	}
	r := &Result{Mask: image.NewAlpha(image.Rect(0, 0, w, h))}
	for i, in := range mask {
		if in {
			r.Mask.Pix[i] = 255
		}
	}
	return r, nil
}

func segment(ctx context.Context, p *picture, seeds []int8) ([]bool, *scene, error) {
	k := 1
	for (p.w/k)*(p.h/k) > coarsePixels {
		k++
	}
	small := p.shrunk(k)
	s := &scene{pic: small, edge: p.edges(k), seeds: make([]int8, len(small.px))}
	s.start()
	n := 0
	for _, in := range s.mask {
		if in {
			n++
		}
	}
	if n < 20 {
		return nil, nil, errors.New("nothing")
	}
	var err error
	dbg("start", s.mask, small.w, small.h)
	dbg("soft0", s.soft, small.w, small.h)
	for r := range 3 {
		s.relight()
		s.learn()
		if s.mask, err = s.cut(ctx, 0); err != nil {
			return nil, nil, err
		}
		dbg("soft", s.soft, small.w, small.h)
		dbg([]string{"cut0", "cut1", "cut2"}[r], s.mask, small.w, small.h)
	}
	mask := enlarged(s.mask, small.w, k, p.w, p.h)
	f := &fineStage{pic: p, seeds: seeds, scene: s, k: k}
	if mask, err = f.refine(ctx, mask, 3*k, 2*k); err != nil {
		return nil, nil, err
	}
	if mask, err = f.refine(ctx, mask, k+2, 2); err != nil {
		return nil, nil, err
	}
	dbg("fine", mask, p.w, p.h)
	mask, what := sortPieces(mask, seeds, p.w, p.h)
	if debug {
		fmt.Printf("%+v\n", what)
	}
	fillHoles(mask, seeds, p.w, p.h, f.passes)
	return mask, s, nil
}

var dbg = func(name string, mask []bool, w, h int) {}
