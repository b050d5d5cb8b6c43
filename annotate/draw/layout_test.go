package draw

import (
	"fmt"
	"reflect"
	"testing"

	"pgregory.net/rapid"

	"wornwood/annotate/shape"
)

// drawPins are pins anywhere in a view, some of them crowded, some with an area.
func drawPins(t *rapid.T, bounds shape.Rect, most int) []Pin {
	n := rapid.IntRange(0, most).Draw(t, "pins")
	pins := make([]Pin, n)
	for i := range pins {
		p := shape.Pt{
			X: rapid.Float64Range(bounds.Min.X, bounds.Max.X).Draw(t, "x"),
			Y: rapid.Float64Range(bounds.Min.Y, bounds.Max.Y).Draw(t, "y"),
		}
		if i > 0 && rapid.IntRange(0, 3).Draw(t, "crowd") == 0 {
			// close to the one before, where real flaws are
			p = shape.Pt{X: clamp(pins[i-1].Anchor.X+rapid.Float64Range(-9, 9).Draw(t, "dx"), bounds.Min.X, bounds.Max.X), Y: pins[i-1].Anchor.Y}
		}
		pins[i] = Pin{Number: i + 1, Anchor: p, At: p, Beside: rapid.Bool().Draw(t, "beside")}
		if rapid.IntRange(0, 3).Draw(t, "figure") == 0 {
			s := rapid.Float64Range(1, 90).Draw(t, "size")
			pins[i].Drawn = []shape.Pt{{X: p.X - s, Y: p.Y - s}, {X: p.X + s, Y: p.Y - s}, {X: p.X + s, Y: p.Y + s}, {X: p.X - s, Y: p.Y + s}}
			pins[i].Area = true
		}
	}
	return pins
}

func clamp(v, lo, hi float64) float64 { return max(lo, min(hi, v)) }

// With room to spare (each pin needs far less than the 1/30 of the view that it
// gets here) discs overlap neither each other nor what another pin points at,
// stay in the view, and keep off their own flaw when asked to.
func TestLayoutKeepsApart(t *testing.T) {
	const r = 10.5
	bounds := shape.Rect{Max: shape.Pt{X: 700, Y: 520}}
	rapid.Check(t, func(t *rapid.T) {
		pins := Layout(drawPins(t, bounds, 30), r, bounds)
		for i, p := range pins {
			if !bounds.Grow(-r + 1e-9).Contains(p.At) {
				t.Fatalf("pin %d at %v reaches out of the view", p.Number, p.At)
			}
			for k, q := range pins {
				if k != i && shape.Dist(p.At, q.At) < 2*r {
					t.Fatalf("pins %d and %d overlap: %v %v", p.Number, q.Number, p.At, q.At)
				}
				if k != i && shape.Dist(p.At, q.Anchor) < r {
					t.Fatalf("pin %d at %v covers what pin %d points at, %v", p.Number, p.At, q.Number, q.Anchor)
				}
			}
			if p.Beside && p.isPoint() && shape.Dist(p.At, p.Anchor) < r {
				t.Fatalf("pin %d covers its own flaw", p.Number)
			}
			if p.isPoint() && p.At != p.Anchor && !p.Leader {
				t.Fatalf("pin %d was moved and has no leader", p.Number)
			}
		}
	})
}

func TestLayoutIsDeterministic(t *testing.T) {
	bounds := shape.Rect{Max: shape.Pt{X: 300, Y: 300}}
	rapid.Check(t, func(t *rapid.T) {
		in := drawPins(t, bounds, 25)
		if a, b := Layout(in, 10, bounds), Layout(in, 10, bounds); !reflect.DeepEqual(a, b) {
			t.Fatal("two layouts of the same pins differ")
		}
	})
}

// Without room pins may overlap, but they stay in the view and none is lost.
func TestLayoutWithoutRoom(t *testing.T) {
	bounds := shape.Rect{Max: shape.Pt{X: 120, Y: 80}}
	var pins []Pin
	for i := range 400 {
		p := shape.Pt{X: float64(i % 120), Y: float64(i % 80)}
		pins = append(pins, Pin{Number: i + 1, Anchor: p, Beside: i%2 == 0})
	}
	out := Layout(pins, 10, bounds)
	if len(out) != len(pins) {
		t.Fatalf("%d pins of %d came back", len(out), len(pins))
	}
	for _, p := range out {
		if !bounds.Grow(-10 + 1e-9).Contains(p.At) {
			t.Fatalf("pin %d at %v reaches out of the view", p.Number, p.At)
		}
	}
}

func TestLayoutCases(t *testing.T) {
	bounds := shape.Rect{Max: shape.Pt{X: 400, Y: 400}}
	mid := shape.Pt{X: 200, Y: 200}
	square := func(s float64) []shape.Pt {
		return []shape.Pt{{X: 200 - s, Y: 200 - s}, {X: 200 + s, Y: 200 - s}, {X: 200 + s, Y: 200 + s}, {X: 200 - s, Y: 200 + s}}
	}
	for _, c := range []struct {
		name         string
		pin          Pin
		obstacles    []shape.Rect
		stays, leads bool
	}{
		{"a lone point on an outline keeps its place", Pin{Number: 1, Anchor: mid}, nil, true, false},
		{"a point on a photo is left free", Pin{Number: 1, Anchor: mid, Beside: true}, nil, false, true},
		{"a large area holds its pin", Pin{Number: 1, Anchor: mid, Drawn: square(60), Area: true}, nil, true, false},
		{"a small area has it beside", Pin{Number: 1, Anchor: mid, Drawn: square(6), Area: true}, nil, false, false},
		{"a line has it beside", Pin{Number: 1, Anchor: mid, Drawn: []shape.Pt{{X: 100, Y: 100}, {X: 300, Y: 300}}}, nil, false, false},
		{"an obstacle pushes it away", Pin{Number: 1, Anchor: mid}, []shape.Rect{{Min: shape.Pt{X: 190, Y: 190}, Max: shape.Pt{X: 210, Y: 210}}}, false, true},
	} {
		t.Run(c.name, func(t *testing.T) {
			p := Layout([]Pin{c.pin}, 10, bounds, c.obstacles...)[0]
			if (p.At == mid) != c.stays || p.Leader != c.leads {
				t.Errorf("at %v, leader %v", p.At, p.Leader)
			}
			for _, o := range c.obstacles {
				if distToRect(p.At, o) < 10 {
					t.Errorf("at %v on the obstacle", p.At)
				}
			}
		})
	}
}

func BenchmarkLayout(b *testing.B) {
	bounds := shape.Rect{Max: shape.Pt{X: 1200, Y: 800}}
	for _, n := range []int{12, 50, 5000} {
		var pins []Pin
		for i := range n {
			pins = append(pins, Pin{Number: i + 1, Anchor: shape.Pt{X: float64(i*7919%1200) + 0.5, Y: float64(i*104729%800) + 0.5}, Beside: true})
		}
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			for b.Loop() {
				Layout(pins, 10.5, bounds)
			}
		})
	}
}
