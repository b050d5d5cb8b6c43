package draw

import (
	"image"
	"math"
	"testing"

	"pgregory.net/rapid"

	"wornwood/annotate/shape"
)

// inkOn paints black operations on a clear picture and returns how many pixels
// of ink there are, parts of pixels counted as parts.
func inkOn(w, h int, l List, view shape.Affine) float64 {
	m := image.NewRGBA(image.Rect(0, 0, w, h))
	Paint(m, l, view)
	sum := 0.0
	for i := 3; i < len(m.Pix); i += 4 {
		sum += float64(m.Pix[i]) / 255
	}
	return sum
}

var black = Hex(0)

// The painted area is the area of plane geometry, whichever way it is drawn.
func TestPaintedArea(t *testing.T) {
	c := shape.Pt{X: 50, Y: 50}
	ring := shape.Circle(c, 40)
	hole := ring
	hole.Append(shape.Circle(c, 20))
	square := shape.Polygon(shape.Pt{X: 10, Y: 10}, shape.Pt{X: 90, Y: 10}, shape.Pt{X: 90, Y: 90}, shape.Pt{X: 10, Y: 90})
	slant := shape.Polyline(shape.Pt{X: 20, Y: 20}, shape.Pt{X: 80, Y: 65})
	for _, tc := range []struct {
		name string
		op   Op
		want float64
	}{
		{"disc", Op{Path: ring, Fill: black}, math.Pi * 1600},
		{"ring by the even-odd rule", Op{Path: hole, Fill: black}, math.Pi * 1200},
		{"stroked circle, 2 pi r w", Op{Path: ring, Stroke: black, Width: 3}, 2 * math.Pi * 40 * 3},
		{"slanting line with round ends", Op{Path: slant, Stroke: black, Width: 4}, 75*4 + math.Pi*4},
		{"slanting line, half of it dashes", Op{Path: slant, Stroke: black, Width: 4, Dash: []float64{5, 5}}, 40 * 4},
		{"square with round corners, perimeter times width less the corners", Op{Path: square, Stroke: black, Width: 6}, 320*6 - 4*9 + math.Pi*9},
		{"hatch, width over gap", Op{Path: square, Hatch: Hatch{Angle: 45, Gap: 8, Width: 1, Ink: black}}, 6400 / 8},
	} {
		t.Run(tc.name, func(t *testing.T) {
			got := inkOn(100, 100, List{tc.op}, shape.Identity())
			if math.Abs(got-tc.want) > 0.02*tc.want {
				t.Errorf("%.1f pixels of ink, geometry says %.1f", got, tc.want)
			}
		})
	}
}

// Widths do not grow with a zoom, geometry does.
func TestZoomKeepsWidths(t *testing.T) {
	line := List{{Path: shape.Polyline(shape.Pt{X: 2, Y: 10}, shape.Pt{X: 18, Y: 10}), Stroke: black, Width: 2, Dash: []float64{1000, 1}}}
	one := inkOn(200, 200, line, shape.Identity())
	ten := inkOn(200, 200, line, shape.Scale(10, 10))
	if math.Abs(one-32) > 0.7 || math.Abs(ten-320) > 3 {
		t.Errorf("%.1f and %.1f pixels of ink, want 32 and 320", one, ten)
	}
}

// A see-through line that meets itself is not darker there.
func TestStrokeIsOneCoat(t *testing.T) {
	m := image.NewRGBA(image.Rect(0, 0, 60, 60))
	cross := shape.Polyline(shape.Pt{X: 5, Y: 30}, shape.Pt{X: 55, Y: 30}, shape.Pt{X: 30, Y: 5}, shape.Pt{X: 30, Y: 55})
	Paint(m, List{{Path: cross, Stroke: Hex(0).Alpha(0.5), Width: 8}}, shape.Identity())
	for i := 3; i < len(m.Pix); i += 4 {
		if m.Pix[i] > 129 {
			t.Fatalf("alpha %d where one coat gives 128", m.Pix[i])
		}
	}
}

// What is far outside or enormous costs no panic and no wrong ink: a square
// that covers everything stays a full square at any zoom.
func TestPaintAnyZoom(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		k := math.Pow(10, rapid.Float64Range(-3, 7).Draw(t, "zoom"))
		at := shape.Pt{X: rapid.Float64Range(-1e7, 1e7).Draw(t, "x"), Y: rapid.Float64Range(-1e7, 1e7).Draw(t, "y")}
		a := shape.Translate(shape.Mul(at, -1)).Then(shape.Scale(k, k)).Then(shape.Translate(shape.Pt{X: 16, Y: 16}))
		s := 100 / k
		box := shape.Polygon(shape.Pt{X: at.X - s, Y: at.Y - s}, shape.Pt{X: at.X + s, Y: at.Y - s}, shape.Pt{X: at.X + s, Y: at.Y + s}, shape.Pt{X: at.X - s, Y: at.Y + s})
		st := ScreenLight()
		if got := inkOn(32, 32, List{{Path: box, Fill: black}}, a); math.Abs(got-1024) > 0.5 {
			t.Fatalf("%.1f pixels of ink in a full picture", got)
		}
		inkOn(32, 32, List{
			{Path: shape.Circle(shape.Pt{}, 1e7), Fill: black, Hatch: st.Hatching[2], Stroke: black, Width: 2, Dash: []float64{3, 2}},
			{Kind: TextOp, Text: "12", Size: 10, At: shape.Pt{X: 1e7}, Fill: black, Face: SemiBold},
		}, a)
	})
}

// Figures of IBM Plex Sans are 0.6 em wide (600 of 1000 units in the typeface's
// own hmtx table) and tabular, which is what figureSize counts on.
func TestTextWidth(t *testing.T) {
	for _, s := range []string{"1", "0", "8"} {
		if w := TextWidth(SemiBold, 100, s); math.Abs(w-60) > 0.6 {
			t.Errorf("%q is %.2f wide at 100, want 60", s, w)
		}
	}
	got := inkOn(60, 40, List{{Kind: TextOp, Text: "8", Size: 30, At: shape.Pt{X: 30, Y: 30}, Align: Centre, Fill: black, Face: SemiBold}}, shape.Identity())
	if got < 80 || got > 250 {
		t.Errorf("%.0f pixels of ink in a figure of 30 pixels", got)
	}
}

func BenchmarkPaintPins(b *testing.B) {
	m := image.NewRGBA(image.Rect(0, 0, 1200, 800))
	st := OnPhoto()
	var l List
	for i := range 50 {
		p := shape.Pt{X: float64(20 + i*23), Y: float64(20 + i*15)}
		l = append(l, PinOps(Pin{Number: i, Level: i % 3, Anchor: shape.Pt{X: p.X - 30, Y: p.Y + 9}, At: p, Tip: p, Leader: true, Beside: true}, 11, st)...)
	}
	for b.Loop() {
		Paint(m, l, shape.Identity())
	}
}
