//go:build ci

package look

import (
	"image"
	"math"
	"strings"
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/test"
)

// resonant is an invented response: a second-order low-pass with a peak.
func resonant(name string, f0, q, loss float64) Series {
	s := Series{Name: name}
	for i := range 200 {
		f := 20 * math.Pow(1000, float64(i)/199)
		x := f / f0
		s.Hz = append(s.Hz, f)
		s.DB = append(s.DB, -loss-10*math.Log10((1-x*x)*(1-x*x)+x*x/(q*q)))
	}
	return s
}

func fourSeries() []Series {
	return []Series{resonant("neck, open", 3800, 1.7, 0.5), resonant("neck, tone at 0", 690, 2.2, 0.4), resonant("volume at 5", 2900, 0.6, 16), resonant("both pickups", 5200, 1.4, 1)}
}

// Where the curve stands in the window of the test.
const inLeft, inTop = 20, 16

// Looked at in both themes and at twice the size; checked is that lines are
// where the numbers say, in the theme's ink.
func TestCurvePicture(t *testing.T) {
	a := test.NewTempApp(t)
	a.Settings().SetTheme(New(false))
	c := NewCurve(fourSeries()...)
	w := test.NewTempWindow(t, On(ground, Inset(inLeft, inTop, 20, 16, Flex(1, c))))
	w.SetPadded(false)
	for _, scale := range []float32{1, 2} {
		w.Canvas().(test.WindowlessCanvas).SetScale(scale)
		w.Resize(fyne.NewSize(640, 340))
		for _, dark := range []bool{false, true} {
			a.Settings().SetTheme(New(dark))
			m := copied(w.Canvas().Capture())
			savePNG(t, "curve"+map[float32]string{1: "", 2: "-2x"}[scale]+map[bool]string{false: "-light", true: "-dark"}[dark], m)
			for _, hz := range []float64{50, 300, 3100} {
				if !lineNear(c, m, float64(scale), hz, -0.5-10*math.Log10(math.Pow(1-hz*hz/3800/3800, 2)+math.Pow(hz/3800/1.7, 2)), dark) {
					t.Errorf("dark %v, scale %v: no line at %.0f Hz", dark, scale, hz)
				}
				if lineNear(c, m, float64(scale), hz, 5.5, dark) && hz < 1000 {
					t.Errorf("dark %v: a line where none is", dark)
				}
			}
		}
	}
}

// lineNear says whether a point in the colour of text lies within two units of
// a level.
func lineNear(c *Curve, m *image.RGBA, scale, hz, dB float64, dark bool) bool {
	x, y, w, h := c.field(c.Size())
	px := (inLeft + float64(x) + float64(w)*along(hz)) * scale
	py := (inTop + float64(y) + float64(h)*(c.high-dB)/(c.high-c.low)) * scale
	for d := -2 * scale; d <= 2*scale; d++ {
		g := m.RGBAAt(int(px), int(py+d)).G
		if (!dark && g < 90) || (dark && g > 160) {
			return true
		}
	}
	return false
}

// The axis encloses what is shown in whole steps, and does not follow a level
// into the ground.
func TestCurveAxis(t *testing.T) {
	test.NewTempApp(t).Settings().SetTheme(New(false))
	for name, x := range map[string]struct {
		dB              []float64
		low, high, step float64
	}{
		"nothing":  {nil, -18, 6, 3},
		"flat":     {[]float64{0, 0, 0}, -6, 0, 3},
		"peak":     {[]float64{-0.5, 4.2, -9}, -9, 6, 3},
		"wide":     {[]float64{-0.5, 4.2, -21}, -24, 6, 6},
		"deep":     {[]float64{5, 0, -300}, -36, 6, 6},
		"no value": {[]float64{math.NaN(), math.Inf(1), -4}, -9, -3, 3},
	} {
		s := Series{Name: name, DB: x.dB, Hz: []float64{20, 2000, 20000}[:len(x.dB)]}
		c := NewCurve(s)
		if c.low != x.low || c.high != x.high || c.step != x.step {
			t.Errorf("%s: axis from %g to %g by %g", name, c.low, c.high, c.step)
		}
		test.NewTempWindow(t, c).Canvas().Capture()
		last := c.levels[len(c.levels)-1].Text
		if !strings.HasSuffix(last, " dB") || c.levels[0].Text == last {
			t.Errorf("%s: labels from %q to %q", name, c.levels[0].Text, last)
		}
	}
}

// No label lies over another or outside, at the least size and at others, and
// names take a second row where one is too short.
func TestCurveLabels(t *testing.T) {
	test.NewTempApp(t).Settings().SetTheme(New(false))
	c := NewCurve(fourSeries()...)
	w := test.NewTempWindow(t, c)
	for _, size := range []fyne.Size{c.MinSize(), {Width: 420, Height: 200}, {Width: 900, Height: 500}} {
		w.Resize(size)
		c.Resize(size)
		w.Canvas().Capture()
		texts := append(append(append([]fyne.CanvasObject{}, objectsOf(c.hertz)...), objectsOf(c.levels)...), objectsOf(c.names)...)
		for i, a := range texts {
			ap, as := a.Position(), a.Size()
			if ap.X < -0.5 || ap.Y < -0.5 || ap.X+as.Width > size.Width+0.5 || ap.Y+as.Height > size.Height+0.5 {
				t.Errorf("at %v a label lies outside: %v %v", size, ap, as)
			}
			for _, b := range texts[:i] {
				bp, bs := b.Position(), b.Size()
				if ap.X < bp.X+bs.Width-0.5 && bp.X < ap.X+as.Width-0.5 && ap.Y < bp.Y+bs.Height-0.5 && bp.Y < ap.Y+as.Height-0.5 {
					t.Errorf("at %v two labels lie over one another: %v and %v", size, ap, bp)
				}
			}
		}
	}
	if c.nameRows(300) < 2 || c.nameRows(2000) != 1 {
		t.Errorf("names take %d rows at 300 and %d at 2000", c.nameRows(300), c.nameRows(2000))
	}
}

func objectsOf[T fyne.CanvasObject](s []T) (out []fyne.CanvasObject) {
	for _, v := range s {
		out = append(out, v)
	}
	return out
}

// Dashes keep their rhythm over corners, and lengths add up.
func TestBroken(t *testing.T) {
	pieces := broken([]spot{{0, 0}, {10, 0}, {10, 10}}, []float64{4, 2}, 1)
	want := [][]spot{{{0, 0}, {4, 0}}, {{6, 0}, {10, 0}}, {{10, 2}, {10, 6}}, {{10, 8}, {10, 10}}}
	if len(pieces) != len(want) {
		t.Fatalf("%v", pieces)
	}
	for i := range want {
		for j := range want[i] {
			if got := pieces[i][j]; math.Hypot(got.x-want[i][j].x, got.y-want[i][j].y) > 1e-9 {
				t.Errorf("piece %d is %v, not %v", i, pieces[i], want[i])
			}
		}
	}
	if got := broken(want[0], nil, 1); len(got) != 1 {
		t.Error("a whole line is broken")
	}
}

// A level that falls out of the plot is cut at its edge.
func TestCurveIsCutAtTheBottom(t *testing.T) {
	test.NewTempApp(t).Settings().SetTheme(New(false))
	c := NewCurve(Series{Name: "deep", Hz: []float64{20, 200, 2000, 20000}, DB: []float64{0, -100, 0, 0}}, Series{Name: "odd", Hz: []float64{5, 20}, DB: []float64{0}})
	p := &plot{w: 100, h: 100}
	runs := c.runs(p, c.series[0])
	if len(runs) != 2 || len(runs[0]) != 2 || len(runs[1]) != 3 {
		t.Fatalf("%v", runs)
	}
	for _, s := range []spot{runs[0][1], runs[1][0]} {
		if math.Abs(s.y-100) > 1e-9 {
			t.Errorf("cut at %v", s)
		}
	}
	if len(c.runs(p, c.series[1])) != 0 {
		t.Error("a single point makes a line")
	}
}

// Setting the same series again costs nothing, another few milliseconds.
func BenchmarkCurveSet(b *testing.B) {
	test.NewTempApp(b).Settings().SetTheme(New(false))
	c := NewCurve(fourSeries()...)
	w := test.NewTempWindow(b, c)
	w.Resize(fyne.NewSize(640, 340))
	w.Canvas().Capture()
	k := 0.0
	for b.Loop() {
		k += 0.01
		c.Set(resonant("a", 3000+k, 1.5, 0), resonant("b", 2000, 1, 0))
		c.picture(640, 340)
	}
}
