package draw

import (
	"image"
	"image/color"
	"image/draw"
	"math"
	"math/rand/v2"
	"testing"

	"pgregory.net/rapid"

	"wornwood/annotate/shape"
)

// crowded are pins in a disc, as far as it lies in the view.
func crowded(n int, c shape.Pt, r float64, seed uint64, beside bool, view shape.Rect) []Pin {
	rnd := rand.New(rand.NewPCG(seed, 1))
	pins := make([]Pin, n)
	for i := range pins {
		a, d := rnd.Float64()*2*math.Pi, r*math.Sqrt(rnd.Float64())
		p := shape.Pt{X: clamp(c.X+d*math.Cos(a), view.Min.X, view.Max.X), Y: clamp(c.Y+d*math.Sin(a), view.Min.Y, view.Max.Y)}
		pins[i] = Pin{Number: i + 1, Level: i % 3, Anchor: p, At: p, Beside: beside}
	}
	return pins
}

// reading is how well laid out pins can be read.
type reading struct{ overlaps, covered, crossings, buried int }

func readingOf(pins []Pin, r float64) reading {
	var out reading
	for i, p := range pins {
		for k, q := range pins {
			switch {
			case k == i:
				continue
			case shape.Dist(p.At, q.Anchor) < r:
				out.covered++
			}
			if p.Leader && distToSegment(q.At, p.Anchor, p.At) < r {
				out.buried++
			}
			if k < i {
				continue
			}
			if shape.Dist(p.At, q.At) < 2*r {
				out.overlaps++
			}
			if p.Leader && q.Leader && shape.Crosses(p.Anchor, p.At, q.Anchor, q.At) {
				out.crossings++
			}
		}
	}
	return out
}

// Sixty pins about one spot (an outline fitted to a window shows 0.7 to 1.5
// units to the millimetre, so 40 mm are 14 to 30 units round their middle)
// never overlap, never cross leaders and never cover what another points at,
// and where there is room on all sides few leaders run under a disc; in a corner
// of the view some have to.
func TestLayoutUntiesKnots(t *testing.T) {
	view := shape.Rect{Max: shape.Pt{X: 500, Y: 700}}
	const r = 10.5
	for _, c := range []struct {
		name   string
		at     shape.Pt
		size   float64
		beside bool
		buried int // leaders under discs, of 60
	}{
		{"40 mm on a fitted outline", shape.Pt{X: 250, Y: 400}, 14, false, 0},
		{"40 mm on a larger one", shape.Pt{X: 250, Y: 350}, 30, false, 2},
		{"40 mm on a close photo", shape.Pt{X: 250, Y: 400}, 80, true, 40},
		{"thinner", shape.Pt{X: 250, Y: 350}, 150, true, 6},
		{"at the edge", shape.Pt{X: 490, Y: 300}, 40, true, 50},
		{"in the corner", shape.Pt{X: 10, Y: 10}, 15, false, 60},
	} {
		t.Run(c.name, func(t *testing.T) {
			for seed := range uint64(10) {
				out := Layout(crowded(60, c.at, c.size, seed, c.beside, view), r, view)
				got := readingOf(out, r)
				if got.overlaps+got.covered+got.crossings > 0 || got.buried > c.buried {
					t.Errorf("seed %d: %+v", seed, got)
				}
				for _, p := range out {
					if !view.Grow(-r + 1e-9).Contains(p.At) {
						t.Errorf("seed %d: pin %d at %v reaches out of the view", seed, p.Number, p.At)
					}
				}
				if seed == 0 {
					m := image.NewRGBA(image.Rect(0, 0, 500, 700))
					draw.Draw(m, m.Rect, image.NewUniform(color.RGBA{150, 140, 130, 255}), image.Point{}, draw.Src)
					Paint(m, PinsOps(out, r, OnPhoto()), shape.Identity())
					savePNG(t, "knot "+c.name, m)
				}
			}
		})
	}
}

// Two knots and single pins about them.
func TestLayoutOfSeveralKnots(t *testing.T) {
	view := shape.Rect{Max: shape.Pt{X: 1200, Y: 800}}
	pins := crowded(30, shape.Pt{X: 300, Y: 300}, 20, 1, true, view)
	pins = append(pins, crowded(30, shape.Pt{X: 800, Y: 500}, 25, 2, true, view)...)
	pins = append(pins, crowded(20, shape.Pt{X: 600, Y: 400}, 380, 3, true, view)...)
	for i := range pins {
		pins[i].Number = i + 1
	}
	got := readingOf(Layout(pins, 10.5, view), 10.5)
	if got.overlaps+got.covered > 0 || got.crossings > 2 || got.buried > 16 {
		t.Errorf("%+v", got)
	}
}

// The assignment costs what the best of all permutations costs.
func TestAssign(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 5).Draw(t, "rows")
		m := rapid.IntRange(n, 6).Draw(t, "columns")
		cost := make([][]float64, n)
		for i := range cost {
			cost[i] = rapid.SliceOfN(rapid.Float64Range(0, 100), m, m).Draw(t, "row")
		}
		used := make([]bool, m)
		var least func(row int) float64
		least = func(row int) float64 {
			if row == n {
				return 0
			}
			best := math.Inf(1)
			for j := range m {
				if !used[j] {
					used[j] = true
					best = math.Min(best, cost[row][j]+least(row+1))
					used[j] = false
				}
			}
			return best
		}
		sum, seen := 0.0, map[int]bool{}
		for i, j := range assign(cost) {
			if seen[j] {
				t.Fatalf("column %d was given twice", j)
			}
			seen[j] = true
			sum += cost[i][j]
		}
		if want := least(0); math.Abs(sum-want) > 1e-9*math.Max(1, want) {
			t.Fatalf("cost %v, the best of all is %v", sum, want)
		}
	})
}

// BenchmarkLayoutKnot is what one frame pays for sixty pins about one spot.
func BenchmarkLayoutKnot(b *testing.B) {
	view := shape.Rect{Max: shape.Pt{X: 500, Y: 700}}
	for _, c := range []struct {
		name string
		at   shape.Pt
		size float64
	}{{"middle", shape.Pt{X: 250, Y: 350}, 14}, {"photo", shape.Pt{X: 250, Y: 350}, 80}, {"edge", shape.Pt{X: 490, Y: 300}, 40}, {"corner", shape.Pt{X: 10, Y: 10}, 15}} {
		pins := crowded(60, c.at, c.size, 5, true, view)
		b.Run(c.name, func(b *testing.B) {
			for b.Loop() {
				Layout(pins, 10.5, view)
			}
		})
	}
}
