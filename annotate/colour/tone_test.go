package colour

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"
)

// toneCurves are what cameras do to light, as far as can be said without naming
// one: highlights rolled off from three heights on, contrast raised about middle
// grey with a roll-off, and a curve that is straight in the middle and soft at
// both ends.
func toneCurves() []func(v float64) float64 {
	shoulder := func(knee float64) func(v float64) float64 {
		return func(v float64) float64 {
			if v > knee {
				return knee + (1-knee)*(1-math.Exp(-(v-knee)/(1-knee)))
			}
			return v
		}
	}
	out := []func(v float64) float64{shoulder(0.6), shoulder(0.4), shoulder(0.25)}
	for _, g := range []float64{1.1, 1.2, 1.3} {
		out = append(out, func(v float64) float64 { return shoulder(0.5)(0.18 * math.Pow(v/0.18, g)) },
			func(v float64) float64 {
				p := math.Pow(v/0.18, g/0.82)
				return p / (p + 0.82/0.18)
			})
	}
	return out
}

// toneErrors are the errors of differences read through the curves, as shares
// of the true CIEDE2000: eight pairs at three strengths and three exposures, with
// a grey card.
func toneErrors(t *testing.T) (share, absolute []float64) {
	t.Helper()
	r := rand.New(rand.NewPCG(15, 1))
	for _, curve := range toneCurves() {
		for _, w := range woods {
			for _, f := range []float64{0.3, 0.6, 1} {
				faded := w.was.times(1 - f).plus(w.faded.times(f))
				truth := DE2000(w.was.Lab(), faded.Lab())
				for _, ev := range []float64{-0.5, 0, 0.5} {
					k := camera{ev: ev, curve: curve}
					b, err := balanceOn(k.see(Linear{0.18, 0.18, 0.18}, r), GreyReflectance)
					if err != nil {
						t.Fatal(err)
					}
					d := DE2000(b.of(k.see(w.was, r)).Lab(), b.of(k.see(faded, r)).Lab()) - truth
					share, absolute = append(share, d/truth), append(absolute, d)
				}
			}
		}
	}
	return share, absolute
}

// ToneShare is what 95 of 100 differences stay within, to a twentieth.
func TestToneShare(t *testing.T) {
	share, absolute := toneErrors(t)
	slices.Sort(absolute)
	var size []float64
	for _, s := range share {
		size = append(size, math.Abs(s))
	}
	slices.Sort(size)
	slices.Sort(share)
	at := func(v []float64, q float64) float64 { return v[int(q*float64(len(v)-1))] }
	t.Logf("%d differences: share of the truth %.2f to %.2f (5 to 95 per cent), 95 per cent within %.2f; in CIEDE2000 %.2f to %.2f, median %.2f",
		len(share), at(share, 0.05), at(share, 0.95), at(size, 0.95), at(absolute, 0.05), at(absolute, 0.95), at(absolute, 0.5))
	if q := at(size, 0.95); q > ToneShare || q < ToneShare-0.05 {
		t.Errorf("95 per cent are within %.3f of the truth, and %.2f is stated", q, ToneShare)
	}
}

// Through a camera's JPEG, tone curve and all, the truth is within the floor
// and the stated uncertainty.
func TestFloorOfACamerasFile(t *testing.T) {
	r := rand.New(rand.NewPCG(16, 1))
	held, n := 0, 0
	for i, curve := range toneCurves() {
		w := woods[i%7]
		ref := &surface{base: w.was, grain: 0.5, seed: r.Uint64()}
		faded := &surface{base: w.faded, grain: 0.5, seed: r.Uint64()}
		k := anyCamera(r)
		k.curve = curve
		a := read(t, open(t, k.shoot(ref.light(), r).jpeg(t)))
		b := read(t, open(t, k.shoot(faded.light(), r).jpeg(t)))
		c := read(t, open(t, k.shoot(card().light(), r).jpeg(t)))
		v := compare(t, a, b, &c)
		truth := DE2000(ref.truth().Lab(), faded.truth().Lab())
		n++
		if math.Abs(v.DE2000.Value-truth) <= v.Floor+2*v.DE2000.Uncertainty {
			held++
		}
		if v.Floor != ToneShare*v.DE2000.Value || a.Linear {
			t.Errorf("%s: floor %.2f of a difference of %.2f", w.name, v.Floor, v.DE2000.Value)
		}
	}
	if held < n-1 {
		t.Errorf("the truth was within floor and uncertainty %d times of %d", held, n)
	}
}

// Without a curve a camera's 8-bit JPEG gives the truth too.
func TestDifferenceOfAFlatJPEG(t *testing.T) {
	r := rand.New(rand.NewPCG(17, 1))
	for _, w := range woods {
		ref := &surface{base: w.was, grain: 0.5, seed: r.Uint64()}
		faded := &surface{base: w.faded, grain: 0.5, seed: r.Uint64()}
		k := anyCamera(r)
		a := read(t, open(t, k.shoot(ref.light(), r).jpeg(t)))
		b := read(t, open(t, k.shoot(faded.light(), r).jpeg(t)))
		c := read(t, open(t, k.shoot(card().light(), r).jpeg(t)))
		v, err := Compare(a, b, &c, Options{Flat: true})
		if err != nil {
			t.Fatal(err)
		}
		truth := DE2000(ref.truth().Lab(), faded.truth().Lab())
		t.Logf("%-16s %s; true %.2f", w.name, v.Words(), truth)
		if math.Abs(v.DE2000.Value-truth) > 0.5 || v.Floor != 0 {
			t.Errorf("%s: %.2f read, %.2f true, floor %.2f", w.name, v.DE2000.Value, truth, v.Floor)
		}
	}
}
