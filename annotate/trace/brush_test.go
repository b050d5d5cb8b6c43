package trace

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"wornwood/annotate/shape"
)

// under are the pixels of a stroke.
func under(s Stroke, w, h int, visit func(i int)) {
	shape.FillCapsules(shape.Grid{Cell: 1, W: w, H: h}, s.Points, s.Radius, func(y, x0, x1 int) {
		for x := x0; x < x1; x++ {
			visit(y*w + x)
		}
	})
}

// dab is what a person paints next: a dab of the brush in the middle of the largest place that is
// wrong, as wide as that. add says with which brush.
func dab(got, truth []bool, w, h int) (s Stroke, add bool) {
	wrong := make([]bool, len(got))
	for i := range got {
		wrong[i] = got[i] != truth[i]
	}
	label, all := piecesOf(wrong, w, h)
	off := apart(wrong, w, h)
	best := -1
	for i, l := range label {
		if l == all[0].id && (best < 0 || off[i] > off[best]) {
			best = i
		}
	}
	at := shape.Pt{X: float64(best%w) + 0.5, Y: float64(best/w) + 0.5}
	return Stroke{Points: []shape.Pt{at}, Radius: math.Max(1.5, float64(off[best])/3-1)}, truth[best]
}

// With a few dabs of both brushes the silhouettes that failed come right, and every dab is kept to.
func TestBrushesBringBadSilhouettesRight(t *testing.T) {
	all := stamps(t, 400, 600)
	for _, c := range []struct {
		stamp int
		name  string
		least float64 // after six dabs
		b     func(s *stamp, rnd *rand.Rand) backdrop
	}{
		{3, "electric on its own dark", 0.90, func(s *stamp, rnd *rand.Rand) backdrop { return graded(s.w, s.h, s.near(-30), rnd) }},
		{5, "violin on stripes", 0.97, func(s *stamp, rnd *rand.Rand) backdrop { return stripes(s.w, s.h, light, s.near(10), rnd) }},
		{4, "bass on planks", 0.97, func(s *stamp, rnd *rand.Rand) backdrop { return planks(s.w, s.h, oak, rnd) }},
	} {
		s := all[c.stamp]
		rnd := rand.New(rand.NewPCG(7, 2))
		img, truth := s.over(c.b(s, rnd), 2, rnd), s.truth()
		var o Options
		var scores []float64
		for range 7 {
			r, err := Silhouette(context.Background(), img, o)
			if err != nil {
				t.Fatal(err)
			}
			got := filled(r, s.w, s.h)
			scores = append(scores, iou(got, truth))
			checkStrokes(t, o, got, s.w, s.h)
			d, add := dab(got, truth, s.w, s.h)
			if add {
				o.Add = append(o.Add, d)
			} else {
				o.Erase = append(o.Erase, d)
			}
		}
		t.Logf("%s: intersection over union with 0 to 6 dabs %.3f", c.name, scores)
		if last := scores[len(scores)-1]; last < c.least {
			t.Errorf("%s: %.3f after six dabs", c.name, last)
		}
	}
}

// checkStrokes tells whether what was painted holds, but for the pixel about a dab's rim that the smoothed
// ring may round off.
func checkStrokes(t *testing.T, o Options, got []bool, w, h int) {
	t.Helper()
	for k, strokes := range [2][]Stroke{o.Add, o.Erase} {
		for _, s := range strokes {
			s.Radius -= 2
			broken := 0
			under(s, w, h, func(i int) {
				if got[i] != (k == 0) {
					broken++
				}
			})
			if broken > 0 {
				t.Errorf("%d pixels under a stroke at %v are not as painted", broken, s.Points[0])
			}
		}
	}
}

// A card flush against the neck is taken for part of it; one stroke of the erase brush over it
// takes it away, one of both brushes at a place counts as erased.
func TestEraseBrushTakesASwallowedCardAway(t *testing.T) {
	s := stamps(t, 600, 900)[1]
	rnd := rand.New(rand.NewPCG(3, 3))
	b := plain(s.w, s.h, light)
	long, short := 0.075*900, 0.047*900
	x, y := s.besideAt(0, long, short, math.Pi/2)
	b.lay(s.w, s.h, x, y, long, short, math.Pi/2, beige, charcoal)
	img, truth := s.over(b, 2, rnd), s.truth()
	score := func(o Options) float64 {
		r, err := Silhouette(context.Background(), img, o)
		if err != nil {
			t.Fatal(err)
		}
		got := filled(r, s.w, s.h)
		checkStrokes(t, Options{Erase: o.Erase}, got, s.w, s.h)
		overlay(t, fmt.Sprintf("flush-%d", len(o.Erase)), img, got, truth)
		return iou(got, truth)
	}
	before := score(Options{})
	stroke := Stroke{Points: []shape.Pt{{X: x, Y: y - long/3}, {X: x, Y: y + long/3}}, Radius: 0.42 * short}
	after := score(Options{Erase: []Stroke{stroke}, Add: []Stroke{{Points: stroke.Points, Radius: 3}}})
	t.Logf("%.3f, erased %.3f", before, after)
	if before > 0.97 {
		t.Errorf("the card was not swallowed (%.3f): the test proves nothing", before)
	}
	if after < 0.97 {
		t.Errorf("%.3f after erasing the card, %.3f before", after, before)
	}
}
