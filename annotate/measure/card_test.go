package measure

import (
	"math"
	"math/rand/v2"
	"testing"

	"wornwood/annotate/shape"
)

func TestRefineCornersOnDemo(t *testing.T) {
	r := rand.New(rand.NewPCG(8, 8))
	for file, d := range demoPhotos(t) {
		img := demoGray(t, file)
		for round := range 3 {
			var clicks [4]shape.Pt
			mid := shape.Mul(shape.Add(d.Card.Corners[0], d.Card.Corners[2]), 0.5)
			for i, c := range d.Card.Corners {
				if round == 2 { // on the rounded corner itself
					in := shape.Sub(mid, c)
					c = shape.Add(c, shape.Mul(in, 1.3*d.PxPer/math.Hypot(in.X, in.Y)))
				}
				clicks[i] = shape.Add(c, shape.Pt{X: 2 * r.NormFloat64(), Y: 2 * r.NormFloat64()})
			}
			got, sigma, err := RefineCorners(img, clicks)
			if err != nil {
				t.Errorf("%s: %v", file, err)
				continue
			}
			for i := range got {
				t.Logf("%-18s %d corner %d off %.2f (%.2f) px", file, round, i, shape.Dist(got[i], d.Card.Corners[i]), sigma[i])
			}
		}
	}
}
