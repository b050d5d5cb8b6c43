package colour

import (
	"math"
	"math/rand/v2"
	"testing"

	"wornwood/annotate/shape"
)

// veil is a broad sheen: the soft mirror image of a bright wall or window over a
// good part of the patch, or a ramp across it, of 2 to 12 per cent of white.
func veil(r *rand.Rand) func(x, y float64) float64 {
	amp := 0.02 + 0.10*r.Float64()
	if r.IntN(2) == 0 {
		cx, cy, size := r.Float64(), r.Float64(), 0.3+0.5*r.Float64()
		return func(x, y float64) float64 {
			return amp * math.Exp(-((x-cx)*(x-cx)+(y-cy)*(y-cy))/(2*size*size))
		}
	}
	s, c := math.Sincos(2 * math.Pi * r.Float64())
	return func(x, y float64) float64 { return amp * max(0, 0.5+(x-0.5)*c+(y-0.5)*s) }
}

// sheenTrial reads one surface, with a veil or without, all of it and a small
// patch, and says how far the first is from the truth. The light falls unevenly by up to 5 per cent across the patch, as it does.
func sheenTrial(t *testing.T, kind int, veiled bool, n int, r *rand.Rand) (whole, small Reading, off float64) {
	t.Helper()
	g, w := grains[kind], woods[n%len(woods)]
	s := &surface{base: w.was, grain: g.grain * (0.5 + 0.7*r.Float64()), hues: g.hues, seed: r.Uint64()}
	s.slope = [2]float64{0.05 * (2*r.Float64() - 1), 0.05 * (2*r.Float64() - 1)}
	if veiled {
		s.sheen = veil(r)
	}
	k := camera{ev: -0.6, noise: 0.01}
	m := k.shoot(s.light(), r).eight()
	whole = read(t, m)
	small, err := Read(m, []shape.Pt{{X: 20, Y: 20}, {X: 44, Y: 20}, {X: 44, Y: 44}, {X: 20, Y: 44}})
	if err != nil {
		t.Fatal(err)
	}
	return whole, small, DE2000(whole.Lab, s.truth().times(math.Exp2(-0.6)).Lab())
}

// How often a broad sheen is seen that spoils a reading (by 3 or more, and by 1
// to 3), and how often a clean patch is suspected: the figures of SheenRates.
func TestSheenRates(t *testing.T) {
	for kind, g := range grains {
		r := rand.New(rand.NewPCG(14, uint64(kind)))
		var hit, strong, faint, weak, suspected, small, quarters float64
		one := func(b bool) float64 {
			if b {
				return 1
			}
			return 0
		}
		const veiled, clean = 120, 80
		for n := range veiled {
			m, _, off := sheenTrial(t, kind, true, n, r)
			switch {
			case off >= 3:
				strong, hit = strong+1, hit+one(m.Sheen)
			case off >= 1:
				weak, faint = weak+1, faint+one(m.Sheen)
			}
		}
		for n := range clean {
			m, s, _ := sheenTrial(t, kind, false, n, r)
			suspected += one(m.Sheen) / clean
			small += one(s.Sheen) / clean
			quarters += one(m.Quarters > sheenQuarters) / clean
		}
		want := SheenRates()[kind]
		t.Logf("%-20s strong %.2f (of %.0f), weak %.2f (of %.0f), clean %.2f, small clean %.2f; by quarters alone %.2f of the clean",
			g.name, hit/strong, strong, faint/weak, weak, suspected, small, quarters)
		if want.Surface != g.name || math.Abs(want.Strong-hit/strong) > 0.02 || math.Abs(want.Weak-faint/weak) > 0.02 || math.Abs(want.Clean-suspected) > 0.02 {
			t.Errorf("%s: %.2f, %.2f, %.2f measured, %+v stated", g.name, hit/strong, faint/weak, suspected, want)
		}
		if small > want.Clean+0.05 {
			t.Errorf("%s: %.2f of small clean patches are suspected", g.name, small)
		}
	}
}
