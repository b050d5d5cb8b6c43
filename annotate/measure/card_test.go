package measure

import (
	"maps"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"wornwood/annotate/shape"
)

// The cards in the rendered demo photos, whose corners are known to the hundredth
// of a pixel, from 10 hands each: half of them click where the edges meet, half on
// the rounded corner itself, all with 2 pixels of noise.
func TestRefineCornersOnDemo(t *testing.T) {
	const hands = 10
	photos := demoPhotos(t)
	tried, refused, wrong, worst := 0, 0, 0, 0.0
	for _, file := range slices.Sorted(maps.Keys(photos)) {
		d, img := photos[file], demoGray(t, file)
		mid := shape.Mul(shape.Add(d.Card.Corners[0], d.Card.Corners[2]), 0.5)
		for hand := range hands {
			r := rand.New(rand.NewPCG(uint64(hand), 8))
			var clicks [4]shape.Pt
			for i, c := range d.Card.Corners {
				if in := shape.Sub(mid, c); hand%2 == 1 {
					c = shape.Add(c, shape.Mul(in, 1.3*d.PxPer/math.Hypot(in.X, in.Y)))
				}
				clicks[i] = shape.Add(c, shape.Pt{X: 2 * r.NormFloat64(), Y: 2 * r.NormFloat64()})
			}
			tried++
			got, sigma, err := RefineCorners(img, clicks)
			if err != nil {
				refused++
				if got != clicks {
					t.Errorf("%s: refused, and the clicks came back changed", file)
				}
				continue
			}
			off := 0.0
			for i := range got {
				e := shape.Dist(got[i], d.Card.Corners[i])
				off = max(off, e)
				if sigma[i] < 0.05 || sigma[i] > 0.4 {
					t.Errorf("%s: corner %d states %.2f px", file, i+1, sigma[i])
				}
			}
			if off > 0.8 { // five times what is stated
				wrong++
			} else {
				worst = max(worst, off)
			}
		}
	}
	t.Logf("%d cards: %d refused, %d found wrongly, the others within %.2f px", tried, refused, wrong, worst)
	if refused*100 > tried || wrong*200 > tried || worst > 0.8 {
		t.Errorf("%d of %d refused, %d found wrongly", refused, tried, wrong)
	}
}
