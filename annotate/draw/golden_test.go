package draw

import (
	"flag"
	"math"
	"os"
	"path/filepath"
	"testing"

	"wornwood/annotate/grade"
	"wornwood/annotate/outline"
	"wornwood/annotate/shape"
	"wornwood/capture/record"
)

var update = flag.Bool("update", false, "write the golden files anew")

func golden(t *testing.T, name, got string) {
	t.Helper()
	file := filepath.Join("testdata", name+".txt")
	if *update {
		if err := os.WriteFile(file, []byte(got), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(file)
	if err != nil {
		t.Fatalf("%v (run with -update to write it)", err)
	}
	if got != string(want) {
		t.Errorf("%s differs from the golden file; got\n%s", name, got)
	}
}

// The operations of the sample marks, on screen and on paper.
func TestGoldenMarks(t *testing.T) {
	golden(t, "shapes-screen", Shapes(outline.Front, sampleMarks(), 3, ScreenLight()).String())
	golden(t, "shapes-paper", Shapes(outline.Front, sampleMarks(), 0, Paper()).String())
	var l List
	a := shape.Translate(shape.Pt{X: 200, Y: 130}).Then(shape.Scale(0.5, 0.5))
	for _, p := range Layout(ToView(Anchors(outline.Front, sampleMarks(), 3), a), 10, shape.Rect{Max: shape.Pt{X: 200, Y: 420}}) {
		l = append(l, PinOps(p, 10, Paper())...)
	}
	golden(t, "pins-paper", l.String())
}

// A made-up side with one region of each look.
func TestGoldenOutline(t *testing.T) {
	box := func(x, y, w, h float64) shape.Path {
		return shape.Polygon(shape.Pt{X: x, Y: y}, shape.Pt{X: x + w, Y: y}, shape.Pt{X: x + w, Y: y + h}, shape.Pt{X: x, Y: y + h})
	}
	sd := &outline.SideDrawing{
		Side: outline.Front, Silhouette: box(-50, 0, 100, 200),
		Regions: []outline.Region{
			{ID: "body", Part: record.FrontFinish, Path: box(-50, 0, 100, 200)},
			{ID: "board", Part: record.Fingerboard, Path: box(-20, 0, 40, 90)},
			{ID: "fret", Part: record.Frets, Path: box(-20, 50, 40, 2)},
			{ID: "guard", Part: record.Guard, Path: box(10, 100, 30, 60)},
			{ID: "bridge", Part: record.Bridge, Path: box(-20, 160, 40, 12)},
		},
		Detail: []outline.Stroke{
			{Path: shape.Polyline(shape.Pt{X: 0, Y: 0}, shape.Pt{X: 0, Y: 160}), Weight: 0.3},
			{Path: box(-46, 4, 92, 192), Weight: 0.3, Dash: []float64{4, 4}},
			{Path: shape.Circle(shape.Pt{X: 15, Y: 105}, 2), Weight: 0.6, Filled: true},
		},
	}
	golden(t, "outline-screen", Outline(sd, ScreenLight()).String())
	golden(t, "outline-paper", Outline(sd, Paper()).String())
}

// A pin's level is the rubric's intensity: by depth when nothing was measured,
// by the reading where the kind is judged by one. Readings: flakes up to 3 and
// up to 10 mm, fret crowns above 1.0 and above 0.9 mm (the product's rule).
func TestLevel(t *testing.T) {
	q := func(k record.ReadingKind, v float64) *record.MarkReading {
		return &record.MarkReading{Kind: k, Quantity: record.Quantity{Value: v}}
	}
	kindOf := func(k record.ReadingKind) record.Kind {
		for _, i := range grade.Default().Kinds() {
			if i.Reading == k {
				return i.Kind
			}
		}
		t.Fatalf("no kind is judged by %q", k)
		return ""
	}
	flake, crown := kindOf(record.FlakeReading), kindOf(record.CrownReading)
	for _, c := range []struct {
		name string
		m    record.Mark
		want int
	}{
		{"nothing judged", record.Mark{Kind: "ding"}, 0},
		{"in the finish", record.Mark{Kind: "ding", Depth: record.InFinish}, 0},
		{"through", record.Mark{Kind: "ding", Depth: record.Through}, 1},
		{"into the wood", record.Mark{Kind: "ding", Depth: record.IntoWood}, 2},
		{"flake of 3 mm overrules the depth", record.Mark{Kind: flake, Depth: record.IntoWood, Reading: q(record.FlakeReading, 3)}, 0},
		{"flake of 9 mm", record.Mark{Kind: flake, Reading: q(record.FlakeReading, 9)}, 1},
		{"flake of 11 mm", record.Mark{Kind: flake, Reading: q(record.FlakeReading, 11)}, 2},
		{"crown of 1.1 mm", record.Mark{Kind: crown, Reading: q(record.CrownReading, 1.1)}, 0},
		{"crown of 0.95 mm", record.Mark{Kind: crown, Reading: q(record.CrownReading, 0.95)}, 1},
		{"crown of 0.8 mm", record.Mark{Kind: crown, Reading: q(record.CrownReading, 0.8)}, 2},
	} {
		if got := Level(c.m); got != c.want {
			t.Errorf("%s: level %d, want %d", c.name, got, c.want)
		}
	}
}

// relLuminance and contrast are after WCAG 2.2, "relative luminance" and
// "contrast ratio" (formula from memory; black on white must give 21).
func relLuminance(i Ink) float64 {
	lin := func(v uint8) float64 {
		s := float64(v) / 255
		if s <= 0.04045 {
			return s / 12.92
		}
		return math.Pow((s+0.055)/1.055, 2.4)
	}
	return 0.2126*lin(i.R) + 0.7152*lin(i.G) + 0.0722*lin(i.B)
}

func contrast(a, b Ink) float64 {
	x, y := relLuminance(a), relLuminance(b)
	return (max(x, y) + 0.05) / (min(x, y) + 0.05)
}

// In black and white the three levels keep clearly different greys, figures
// stay readable in their discs (4.5:1, WCAG 2.2 success criterion 1.4.3) and
// rings stand out from the discs' halo (3:1, criterion 1.4.11).
func TestPinsWithoutColour(t *testing.T) {
	if c := contrast(Hex(0), Hex(0xFFFFFF)); math.Abs(c-21) > 1e-9 {
		t.Fatalf("black on white gives %.3f", c)
	}
	for name, st := range map[string]Style{"light": ScreenLight(), "dark": ScreenDark(), "photo": OnPhoto(), "paper": Paper()} {
		for i := range 3 {
			if c := contrast(st.PinFill[i], st.PinFigure[i]); c < 4.5 {
				t.Errorf("%s: figure of level %d has contrast %.2f", name, i, c)
			}
			if i > 0 {
				if c := contrast(st.PinFill[i-1], st.PinFill[i]); c < 1.6 {
					t.Errorf("%s: levels %d and %d have contrast %.2f", name, i-1, i, c)
				}
			}
		}
		if c := contrast(st.PinRing[0], Hex(0xFFFFFF)); c < 3 {
			t.Errorf("%s: the hollow pin's ring has contrast %.2f", name, c)
		}
	}
	paper := Paper()
	for _, i := range append(paper.PinFill[:], paper.Edge[:]...) {
		if max(i.R, i.G, i.B)-min(i.R, i.G, i.B) > 4 {
			t.Errorf("paper ink %v is not grey", i)
		}
	}
}
