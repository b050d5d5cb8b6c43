package outline

import (
	"math"
	"testing"

	"wornwood/annotate/shape"
)

// Heights of the first class are those that its demonstration was rendered
// with: fingerboard 10 mm above the face, headstock's face 2.6, a flat body 44
// thick (the renderer's own figures).
func TestHeightsOfTheSolidBody(t *testing.T) {
	d := drawing(t, Params{})
	for what, c := range map[string]struct {
		side Side
		p    shape.Pt
		want float64
	}{
		"body":      {Front, shape.Pt{X: -100, Y: 640}, 0},
		"board":     {Front, shape.Pt{X: 4, Y: 200}, 10},
		"fret":      {Front, shape.Pt{X: 4, Y: FretPosition(648, 5)}, 11.1},
		"headstock": {Front, shape.Pt{X: -25, Y: -100}, 2.6},
		"back":      {Back, shape.Pt{X: -100, Y: 700}, 0},
		"neck back": {Back, shape.Pt{X: 0, Y: 100}, -33},
	} {
		h := d.HeightAt(c.side, c.p)
		if math.Abs(h.Value-c.want) > 2*h.Sigma+1e-9 || h.Sigma <= 0 || h.Sigma > 6 {
			t.Errorf("%s: %.1f +- %.1f mm, want %g", what, h.Value, h.Sigma, c.want)
		}
	}
}

// An arched plate is level with its edge at the edge and as high as the table
// says in the middle; every place of every class has a height that is a number
// and an honest uncertainty.
func TestHeightsOfEveryClass(t *testing.T) {
	for _, name := range Classes() {
		d := drawing(t, Params{Class: name, LeftHanded: true})
		for i := range d.Sides {
			s := &d.Sides[i]
			for x := s.Bounds.Min.X; x < s.Bounds.Max.X; x += 17 {
				for y := s.Bounds.Min.Y; y < s.Bounds.Max.Y; y += 19 {
					h := d.HeightAt(s.Side, shape.Pt{X: x, Y: y})
					if !(h.Sigma > 0) || math.IsNaN(h.Value) || math.Abs(h.Value) > 260 {
						t.Errorf("%s, %s %g,%g: %+v", name, s.Side, x, y, h)
					}
				}
			}
		}
	}
	v := drawing(t, Params{Class: "violin"})
	if h := v.HeightAt(Back, shape.Pt{X: 8, Y: 300}); math.Abs(h.Value-14) > 1 {
		t.Errorf("the middle of a violin's back stands %.1f mm up", h.Value)
	}
	if h := v.HeightAt(Back, shape.Pt{X: -102, Y: 424}); h.Value > 0.5 {
		t.Errorf("a violin's edge stands %.1f mm up", h.Value)
	}
}
