package outline

import (
	"math"
	"testing"

	"wornwood/annotate/shape"
)

// Fanned frets: on each outer string every fret lies where twelve equal
// semitones put it on that string's own length; the straight fret is square;
// nut and saddles lie at the ends. Computed here from S (1 - 2^(-n/12)).
func TestFannedFrets(t *testing.T) {
	for _, straight := range []int{0, 7, 12} {
		for _, left := range []bool{false, true} {
			d := drawing(t, Params{ScaleLength: 648, BassScale: 686, StraightFret: straight, LeftHanded: left, Strings: 7, Frets: 24})
			for _, q := range []struct {
				n     int
				scale float64
			}{{1, 648}, {7, 686}} {
				nut, saddle := d.StringLine(q.n)
				if got := saddle.Y - nut.Y; math.Abs(got-q.scale) > 1e-9 {
					t.Errorf("string %d is %.4f mm along the board, want %g", q.n, got, q.scale)
				}
				for n := 0; n <= 24; n++ {
					want := nut.Y + q.scale*(1-math.Pow(2, -float64(n)/12))
					b, tr := d.FretLine(n)
					x := nut.X + (saddle.X-nut.X)*(want-nut.Y)/q.scale
					got := b.Y + (tr.Y-b.Y)*(x-b.X)/(tr.X-b.X)
					// The string is not quite straight up the board: its place
					// across changes by hundredths between the two lines.
					if math.Abs(got-want) > 0.02 {
						t.Errorf("straight %d: fret %d crosses string %d at %.3f, want %.3f", straight, n, q.n, got, want)
					}
				}
			}
			if b, tr := d.FretLine(straight); math.Abs(b.Y-tr.Y) > 1e-9 {
				t.Errorf("fret %d leans by %g mm", straight, tr.Y-b.Y)
			}
			b, tr := d.FretLine(24)
			if sign := map[bool]float64{false: 1, true: -1}[left]; b.Y <= tr.Y || sign*b.X >= sign*tr.X {
				t.Errorf("the bass end of fret 24 is at %v, the treble end at %v", b, tr)
			}
		}
	}
}

// Fret lines end at the edges of the fingerboard, fanned or not.
func TestFretLinesEndAtTheBoard(t *testing.T) {
	for _, p := range []Params{{}, {BassScale: 680, StraightFret: 5}, {Class: "mandolin teardrop"}} {
		d := drawing(t, p)
		r, _ := d.Region("front/board")
		for n := 1; n <= d.Frets; n++ {
			a, b := d.FretLine(n)
			in := func(t float64) bool { return r.Path.Contains(shape.Lerp(a, b, t)) }
			if !in(0.001) || !in(0.999) || in(-0.001) || in(1.001) {
				t.Errorf("%+v: fret %d from %v to %v does not span the board", p, n, a, b)
			}
		}
		if a, b := d.FretLine(d.Frets + 1); a != (shape.Pt{}) || b != (shape.Pt{}) {
			t.Error("a fret that the instrument has not")
		}
	}
}

func TestFanRefusals(t *testing.T) {
	for _, p := range []Params{{BassScale: 1000}, {BassScale: 500}, {BassScale: 670, StraightFret: 23}, {BassScale: math.NaN()}, {BodyWidth: 900}, {BodyLength: 100}} {
		if _, err := New(p); err == nil {
			t.Errorf("%+v was drawn", p)
		}
	}
}

// Pairs of strings lie closer to each other than to the next pair.
func TestPairs(t *testing.T) {
	d := drawing(t, Params{Class: "mandolin teardrop"})
	var xs []float64
	for n := 8; n >= 1; n-- {
		_, s := d.StringLine(n)
		xs = append(xs, s.X)
	}
	for i := 1; i < 8; i++ {
		gap := xs[i] - xs[i-1]
		if want := map[bool]float64{true: 3, false: 8.8}[i%2 == 1]; math.Abs(gap-want) > 0.01 {
			t.Errorf("strings %d and %d are %.2f mm apart, want %.2f", i, i+1, gap, want)
		}
	}
}
