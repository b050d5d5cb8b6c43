// Package trace finds the silhouette of an instrument in a photo on a plain
// backdrop and makes of it the outline that a record keeps: a smooth closed
// curve with few nodes.
//
// Start with Silhouette, which gives mask and ring and says how far they can be
// relied on; then PlaceByAxis or a scale's own map brings the ring into
// millimetres, BodyOf cuts neck and head off it, and FitCurve puts nodes on it,
// which MoveNode, AddNode and RemoveNode edit.
//
// It does not promise the right silhouette: where backdrop and instrument are
// alike nothing in the photo tells them apart. It says so then, and brushes and
// nodes are there to correct it. A silhouette is what the camera sees, with the
// sides of the body that perspective shows.
package trace

import (
	"context"
	"errors"
	"fmt"
	"image"

	"wornwood/annotate/shape"
)

// Options say what a person painted over the photo. The strokes are binding, and
// what lies under them is learned from for their surroundings.
type Options struct {
	Add   []Stroke // belongs to the instrument
	Erase []Stroke // does not; counts where both were painted
}

// Result is a silhouette. Pixels of the photo are counted from the outer corner
// of its first pixel.
type Result struct {
	Mask    *image.Alpha // 255 inside; of the size the photo was worked at, at most 1.5 megapixels
	PerMask shape.Pt     // pixels of the photo a pixel of Mask, across and down
	Ring    []shape.Pt   // around the instrument, clockwise as seen, pixels of the photo
	Holes   [][]shape.Pt // loops that show the backdrop, the other way round

	Reliable bool     // false when the backdrop leaves too much to chance
	Warnings []string // sentences for the person; there may be some on a reliable one
	Figures  Figures  // what the judgement rests on
}

// Bounds of what is traced, in pixels.
const (
	workingPixels = 1_500_000
	mostPixels    = 400_000_000
	leastSide     = 24
)

// Silhouette finds the instrument in the photo: the largest thing that stands
// out from what the photo's border shows and is not a rectangle, such as a card
// or a ruler lying beside it. The photo may have any size up to 400 megapixels; it is
// averaged down to at most 1.5 first, and what is allocated besides the photo
// stays under 300 MB in all.
//
// The error is ErrNothing when nothing stands out, one sentence about a photo of
// a size that cannot be traced, or the context's own.
func Silhouette(ctx context.Context, img image.Image, opt Options) (*Result, error) {
	if img == nil {
		return nil, errors.New("trace silhouette: there is no photo to trace")
	}
	b := img.Bounds()
	if b.Dx() < 1 || b.Dy() < 1 || b.Dx() > mostPixels || b.Dy() > mostPixels || b.Dx()*b.Dy() > mostPixels {
		return nil, fmt.Errorf("trace silhouette: the photo has %d x %d pixels, and at most %d million can be traced; make a smaller copy of it", b.Dx(), b.Dy(), mostPixels/1_000_000)
	}
	w, h := workingSize(b.Dx(), b.Dy(), workingPixels)
	if min(w, h) < leastSide {
		return nil, fmt.Errorf("trace silhouette: the photo has %d x %d pixels, too few to trace an instrument; use a larger one", b.Dx(), b.Dy())
	}
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	p, err := reduced(ctx, img, w, h)
	if err != nil {
		return nil, err
	}
	per := shape.Pt{X: float64(b.Dx()) / float64(w), Y: float64(b.Dy()) / float64(h)}
	f, err := segment(ctx, p, seedsOf(&opt, w, h, per.X, per.Y))
	if err != nil {
		return nil, err
	}
	return f.result(per)
}

func (f *found) result(per shape.Pt) (*Result, error) {
	r := &Result{Mask: image.NewAlpha(image.Rect(0, 0, f.pic.w, f.pic.h)), PerMask: per}
	for i, is := range f.mask {
		if is {
			r.Mask.Pix[i] = 255
		}
	}
	rings := ringsOf(f.mask, f.pic.w, f.pic.h)
	if len(rings) == 0 {
		return nil, ErrNothing
	}
	var what side
	r.Figures, what = f.judge(rings[0])
	r.Reliable, r.Warnings = r.Figures.words(what)
	for i, ring := range rings {
		for j, p := range ring {
			ring[j] = shape.Pt{X: p.X * per.X, Y: p.Y * per.Y}
		}
		if i == 0 {
			r.Ring = ring
		} else if turnsLeft(ring) {
			r.Holes = append(r.Holes, ring)
		}
	}
	return r, nil
}

// turnsLeft says whether the ring runs against the clock as seen.
func turnsLeft(ring []shape.Pt) bool {
	return shape.SignedArea(ring) < 0
}
