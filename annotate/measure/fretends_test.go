package measure

import (
	"maps"
	"math/rand/v2"
	"slices"
	"testing"

	"wornwood/annotate/outline"
	"wornwood/annotate/shape"
)

// Nut and fret ends in the rendered demo photos. What is found lies within what
// is stated; what is not found stays where it was clicked.
func TestRefineFretEndsOnDemo(t *testing.T) {
	r := rand.New(rand.NewPCG(9, 9))
	d, err := outline.New(outline.Params{ScaleLength: 648})
	if err != nil {
		t.Fatal(err)
	}
	marks := map[string]shape.Pt{}
	for _, l := range d.Landmarks() {
		marks[l.ID] = l.At
	}
	photos := demoPhotos(t)
	frets := map[string][]int{"board.jpg": {0, 1, 3, 5, 7, 9, 12, 15}, "whole.jpg": {0, 1, 3, 5, 7, 9, 12, 15}, "front.jpg": {16, 18, 20, 21}}
	found := 0
	for _, file := range slices.Sorted(maps.Keys(frets)) {
		p := photos[file]
		cam := p.camera()
		img := demoGray(t, file)
		var ends []FretEnd
		var truth []shape.Pt
		a, b := marks["nut-bass"], marks["fret-22-bass"]
		for _, n := range frets[file] {
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
		for i, g := range got {
			off := shape.Dist(g.At, truth[i])
			switch {
			case g.Sigma == 0 && g.At != ends[i].At:
				t.Errorf("%s fret %d: not found, and moved", file, g.Fret)
			case g.Sigma > 0:
				found++
				if off > 3.3*g.Sigma || g.Sigma > 1 {
					t.Errorf("%s fret %d: %.2f px off, stated %.2f", file, g.Fret, off, g.Sigma)
				}
			}
		}
	}
	if found < 36 {
		t.Errorf("%d of 40 ends found on their edges", found)
	}
}
