package shape

import (
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"
)

// cells collects a fill and fails on a cell that comes twice or lies outside.
func cells(t *rapid.T, g Grid, fill func(visit func(y, x0, x1 int))) []bool {
	got := make([]bool, g.W*g.H)
	lastY, lastX := -1, 0
	fill(func(y, x0, x1 int) {
		if y < 0 || y >= g.H || x0 < 0 || x1 > g.W || x0 >= x1 {
			t.Fatalf("span y %d x %d..%d is outside the grid %d x %d or empty", y, x0, x1, g.W, g.H)
		}
		if y < lastY || (y == lastY && x0 < lastX) {
			t.Fatalf("span y %d x %d after y %d x %d: out of order", y, x0, lastY, lastX)
		}
		lastY, lastX = y, x1
		for x := x0; x < x1; x++ {
			if got[y*g.W+x] {
				t.Fatalf("cell %d,%d came twice", x, y)
			}
			got[y*g.W+x] = true
		}
	})
	return got
}

func smallGrid(t *rapid.T) Grid {
	return Grid{
		Origin: Pt{X: rapid.Float64Range(-60, 0).Draw(t, "ox"), Y: rapid.Float64Range(-60, 0).Draw(t, "oy")},
		Cell:   rapid.SampledFrom([]float64{0.5, 1, 2.3, 7}).Draw(t, "cell"),
		W:      rapid.IntRange(0, 40).Draw(t, "w"), H: rapid.IntRange(0, 40).Draw(t, "h"),
	}
}

func randomLine(t *rapid.T, most int) []Pt {
	n := rapid.IntRange(1, most).Draw(t, "points")
	line := make([]Pt, n)
	for i := range line {
		line[i] = Pt{X: rapid.Float64Range(-70, 70).Draw(t, "x"), Y: rapid.Float64Range(-70, 70).Draw(t, "y")}
	}
	return line
}

func TestFillPolygonAgainstEveryCentre(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		g, ring := smallGrid(t), randomLine(t, 8)
		got := cells(t, g, func(v func(y, x0, x1 int)) { FillPolygon(g, [][]Pt{ring}, v) })
		for i, in := range got {
			c := g.Center(i%g.W, i/g.W)
			if in != PointInPolygon(c, ring) && DistToPolyline(c, append(slices.Clone(ring), ring[0])) > 1e-9 {
				t.Fatalf("cell at %v: filled %v, the point test says %v", c, in, !in)
			}
		}
	})
}

// Two polygons that share an edge share no cell and leave none out.
func TestFillPolygonDividesWithoutGap(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		g := Grid{Cell: 1, W: 40, H: 40}
		a := Pt{X: rapid.Float64Range(0, 40).Draw(t, "ax")}
		b := Pt{X: rapid.Float64Range(0, 40).Draw(t, "bx"), Y: 40}
		left := []Pt{{}, a, b, {Y: 40}}
		right := []Pt{a, {X: 40}, {X: 40, Y: 40}, b}
		l := cells(t, g, func(v func(y, x0, x1 int)) { FillPolygon(g, [][]Pt{left}, v) })
		r := cells(t, g, func(v func(y, x0, x1 int)) { FillPolygon(g, [][]Pt{right}, v) })
		for i := range l {
			if l[i] == r[i] {
				t.Fatalf("cell %d belongs to both or to neither: %v", i, l[i])
			}
		}
	})
}

func TestFillCapsulesAgainstEveryCentre(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		g, line := smallGrid(t), randomLine(t, 7)
		radius := rapid.Float64Range(0.1, 30).Draw(t, "radius")
		got := cells(t, g, func(v func(y, x0, x1 int)) { FillCapsules(g, line, radius, v) })
		for i, in := range got {
			c := g.Center(i%g.W, i/g.W)
			if d := DistToPolyline(c, line); in != (d <= radius) && math.Abs(d-radius) > 1e-9 {
				t.Fatalf("cell at %v is %g from the line, radius %g, filled %v", c, d, radius, in)
			}
		}
		wider := cells(t, g, func(v func(y, x0, x1 int)) { FillCapsules(g, line, radius*1.3, v) })
		for i := range got {
			if got[i] && !wider[i] {
				t.Fatalf("a larger radius lost cell %d", i)
			}
		}
	})
}

// The halo of a point: a disc of 10 mm has 314 mm2.
func TestFillCapsulesDisc(t *testing.T) {
	g := GridOver(Rect{Min: Pt{X: -20, Y: -20}, Max: Pt{X: 20, Y: 20}}, 0.5)
	n := 0
	FillCapsules(g, []Pt{{X: 0.13, Y: 0.2}}, 10, func(_, x0, x1 int) { n += x1 - x0 })
	if got := float64(n) * g.CellArea(); math.Abs(got-math.Pi*100) > 2 {
		t.Errorf("disc of %.1f mm2, want 314.2", got)
	}
}

func TestFillNothing(t *testing.T) {
	g := Grid{Cell: 1, W: 10, H: 10}
	never := func(y, x0, x1 int) { t.Errorf("visited row %d, %d..%d", y, x0, x1) }
	nan, inf := math.NaN(), math.Inf(1)
	FillPolygon(g, nil, never)
	FillPolygon(g, [][]Pt{{}, {{X: 1, Y: 1}}}, never)
	FillPolygon(g, [][]Pt{{{X: nan, Y: 1}, {X: inf, Y: nan}, {X: 3, Y: -inf}}}, never)
	FillCapsules(g, nil, 3, never)
	FillCapsules(g, []Pt{{X: 5, Y: 5}}, 0, never)
	FillCapsules(g, []Pt{{X: 5, Y: 5}}, nan, never)
	FillCapsules(g, []Pt{{X: 5, Y: 5}}, inf, never)
	FillCapsules(g, []Pt{{X: nan, Y: 5}, {X: inf, Y: 2}}, 3, never)
	FillCapsules(Grid{Cell: 1}, []Pt{{X: 5, Y: 5}}, 3, never)
}

func TestGridOver(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p, q := point(t, "p"), point(t, "q")
		r := RectAround(p, q)
		cell := rapid.SampledFrom([]float64{0.5, 1, 3}).Draw(t, "cell")
		g := GridOver(r, cell)
		if r.Dx() < 1e-6 || r.Dy() < 1e-6 {
			return // thinner than rounding can place
		}
		end := Add(g.Origin, Pt{X: float64(g.W) * cell, Y: float64(g.H) * cell})
		if g.Origin.X > r.Min.X || g.Origin.Y > r.Min.Y || end.X < r.Max.X || end.Y < r.Max.Y {
			t.Fatalf("grid from %v to %v does not cover %v", g.Origin, end, r)
		}
		x, y, ok := g.CellAt(r.Center())
		if !ok || math.Abs(g.Center(x, y).X-r.Center().X) > cell/2+1e-9 {
			t.Fatalf("cell of the middle is %d,%d %v", x, y, ok)
		}
	})
	if _, _, ok := (Grid{Cell: 1, W: 2, H: 2}).CellAt(Pt{X: 2, Y: 1}); ok {
		t.Error("the far edge belongs to the grid")
	}
}

func BenchmarkFillCapsules(b *testing.B) {
	g := Grid{Origin: Pt{X: -200}, Cell: 0.5, W: 800, H: 2000}
	line := make([]Pt, 200)
	for i := range line {
		s, c := math.Sincos(float64(i) / 9)
		line[i] = Pt{X: 90 * s, Y: 400 + 2*float64(i)*c}
	}
	for b.Loop() {
		n := 0
		FillCapsules(g, line, 10, func(_, x0, x1 int) { n += x1 - x0 })
	}
}
