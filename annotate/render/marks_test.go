package render

import (
	"image"
	"math"
	"slices"
	"testing"

	"wornwood/annotate/outline"
	"wornwood/capture/record"
)

// The same photo with and without the marks must differ at the marks' places,
// and nowhere else.
func TestMarksAreWhereTheyAreSaid(t *testing.T) {
	d, err := outline.New(outline.Params{ScaleLength: demoScale})
	if err != nil {
		t.Fatal(err)
	}
	p, err := newPlan(d)
	if err != nil {
		t.Fatal(err)
	}
	clean := &Studio{newModel(p, nil)}
	found := map[int]bool{}
	for _, file := range []string{"front.jpg", "back.jpg", "board.jpg", "head-front.jpg"} {
		v := view(t, file)
		width := v.Width / 3
		k := float64(width) / float64(v.Width)
		with := photo(t, studio(t), v, Options{Width: width, Samples: 6})
		without := photo(t, clean, v, Options{Width: width, Samples: 6})
		seen := studio(t).Truth(v).Marks
		for _, m := range seen {
			found[m.Number] = true
			// A check or a scratch is a few thin lines in its area: what counts
			// is the tenth of the pixels that changes most.
			got := change(with, without, 0.1, func(x, y float64) bool { return inMark(m, x/k, y/k, 6) })
			if got < 6 {
				t.Errorf("%s: mark %d, %s, changes the picture by %.1f levels at its place", file, m.Number, m.Kind, got)
			}
		}
		all := everyMark(studio(t).model, v)
		rest := change(with, without, 1, func(x, y float64) bool {
			for _, m := range all {
				if inMark(m, x/k, y/k, 60) {
					return false
				}
			}
			return true
		})
		if rest > 0.15 {
			t.Errorf("%s: away from all marks the picture changes by %.2f levels", file, rest)
		}
	}
	if n := len(DemoMarks()); len(found) != n {
		t.Errorf("only %d of %d marks are seen in these photos", len(found), n)
	}
}

// inMark tells whether a pixel of the full picture is in a mark or at most
// grow pixels from it. A point counts with the size of a small ding.
func inMark(m SeenMark, x, y, grow float64) bool {
	ring := make([]pt, len(m.Points))
	for i, p := range m.Points {
		ring[i] = pt(p)
	}
	switch m.Shape {
	case record.PointShape:
		return hypot(x-ring[0].X, y-ring[0].Y) < 4+grow
	case record.LineShape:
		d, _ := lineDistance(ring, pt{x, y})
		return d < grow
	}
	return ringDistance(ring, pt{x, y}) < grow
}

// everyMark projects all marks, hidden or not: half of an area may show.
func everyMark(m *model, v View) []SeenMark {
	w, cam, _ := v.setUp(m, v.Width)
	var out []SeenMark
	for i, k := range m.marks {
		pts, _ := m.seen(w, &cam, k)
		out = append(out, SeenMark{i + 1, k.Kind, k.Shape, pts})
	}
	return out
}

// change is the mean difference of two pictures in levels, over the share of
// the chosen pixels that differ most.
func change(a, b *image.RGBA, share float64, in func(x, y float64) bool) float64 {
	var all []float64
	for y := range a.Rect.Dy() {
		for x := range a.Rect.Dx() {
			if !in(float64(x)+0.5, float64(y)+0.5) {
				continue
			}
			i, d := a.PixOffset(x, y), 0.0
			for c := range 3 {
				d += math.Abs(float64(a.Pix[i+c]) - float64(b.Pix[i+c]))
			}
			all = append(all, d/3)
		}
	}
	slices.Sort(all)
	all = all[len(all)-max(1, int(share*float64(len(all)))):]
	sum := 0.0
	for _, d := range all {
		sum += d
	}
	return sum / float64(len(all))
}
