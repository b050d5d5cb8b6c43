package measure

import (
	"math/rand/v2"
	"testing"

	"wornwood/annotate/outline"
	"wornwood/annotate/shape"
)

func TestRefineFretEndsOnDemo(t *testing.T) {
	r := rand.New(rand.NewPCG(9, 9))
	d, err := outline.New(outline.Params{ScaleLength: 648})
	if err != nil {
		t.Fatal(err)
	}
	marks := map[string]shape.Pt{}
	for _, l := range d.Landmarks() {
		marks[l.ID] = l.At
		t.Log(l.ID, l.At)
	}
	_ = d
	photos := demoPhotos(t)
	for file, frets := range map[string][]int{"board.jpg": {0, 1, 3, 5, 7, 9, 12, 15}, "whole.jpg": {0, 1, 3, 5, 7, 9, 12, 15}, "front.jpg": {16, 18, 20, 21}} {
		p := photos[file]
		cam := p.camera()
		img := demoGray(t, file)
		var ends []FretEnd
		var truth []shape.Pt
		a, b := marks["nut-bass"], marks["fret-22-bass"]
		for _, n := range frets {
			y := outline.FretPosition(648, n)
			half := -(a.X + (b.X-a.X)*y/b.Y)
			for _, treble := range []bool{false, true} {
				x := -half
				if treble {
					x = half
				}
				q := cam.see(shape.Pt{X: x, Y: y}, 9)
				truth = append(truth, q)
				ends = append(ends, FretEnd{Fret: n, Treble: treble, At: shape.Add(q, shape.Pt{X: 1.5 * r.NormFloat64(), Y: 1.5 * r.NormFloat64()})})
			}
		}
		got, err := RefineFretEnds(img, ends, p.PxPer)
		if err != nil {
			t.Fatal(err)
		}
		u := cam.see(shape.Pt{X: 0, Y: 200}, 9)
		v := cam.see(shape.Pt{X: 0, Y: 210}, 9)
		dir := shape.Sub(v, u)
		dir = shape.Mul(dir, 1/shape.Dist(u, v))
		for i, g := range got {
			e := shape.Sub(g.At, truth[i])
			t.Logf("%s fret %d %v along %.2f across %.2f px sigma %.2f", file, g.Fret, g.Treble, e.X*dir.X+e.Y*dir.Y, -e.X*dir.Y+e.Y*dir.X, g.Sigma)
		}
	}
}
