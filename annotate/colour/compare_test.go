package colour

import (
	"errors"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"wornwood/capture/icc"
	"wornwood/capture/record"
)

// scene is one photo with a reference, a faded and a grey patch side by side.
func scene(was, faded, grey *surface, k *camera, r *rand.Rand) *raster {
	p := &raster{w: 3 * side, h: side, px: make([]Linear, 3*side*side)}
	for i, s := range []*surface{was, faded, grey} {
		q := k.shoot(s.light(), r)
		for y := range side {
			copy(p.px[y*p.w+i*side:], q.px[y*side:][:side])
		}
	}
	return p
}

func readThree(t *testing.T, m *Image) (a, b, c Reading) {
	t.Helper()
	var out [3]Reading
	for i := range out {
		x := float64(i * side)
		r, err := Read(m, box(x+margin, margin, x+side-margin, side-margin))
		if err != nil {
			t.Fatal(err)
		}
		out[i] = r
	}
	return out[0], out[1], out[2]
}

// From one photo to what the examination keeps and what is printed.
func TestOnePhotoToTheRecord(t *testing.T) {
	r := rand.New(rand.NewPCG(31, 1))
	w := woods[3]
	m := open(t, scene(&surface{base: w.was, seed: 1}, &surface{base: w.faded, seed: 2}, card(), &camera{ev: -0.3, noise: 0.01}, r).jpeg(t))
	a, b, c := readThree(t, m)
	v := compare(t, a, b, &c)
	if !v.Reliable || v.NoChange || v.Step != "2" || len(v.Reasons) != 0 {
		t.Fatalf("%+v", v)
	}
	f, q := v.Record()
	if f.Reference.Photo != m.ID || len(f.Faded.Ring) != 4 || f.Grey == nil || f.Step != "2" || f.DE2000 != v.DE2000 || f.Floor != v.Floor {
		t.Errorf("record %+v", f)
	}
	if q.Kind != record.FadeReading || q.Value != v.DEab.Value || q.Uncertainty != v.DEab.Uncertainty || q.How != "two patches, grey card" {
		t.Errorf("reading %+v", q)
	}
	if words := Words(&f); words != "ΔE00 5.4 ± 0.1, grey-scale step 2" || v.Words() != words {
		t.Errorf("%q", words)
	}
	details := strings.Join(Details(&f), "\n")
	for _, want := range []string{"ΔE*ab 6.6 ± 0.1", "tone curve may hide or add up to ΔE00 1.6", icc.NoProfile} {
		if !strings.Contains(details, want) {
			t.Errorf("%q is missing in %q", want, details)
		}
	}
}

func TestNoChange(t *testing.T) {
	r := rand.New(rand.NewPCG(32, 1))
	w := woods[7]
	m := scene(&surface{base: w.was, seed: 1}, &surface{base: w.faded, seed: 2}, card(), &camera{ev: -0.3, noise: 0.01}, r).sixteen()
	a, b, c := readThree(t, m)
	v := compare(t, a, b, &c)
	if !v.NoChange || v.Step != "" || !strings.HasPrefix(v.Words(), "no change shown (ΔE00 0.8 ± 0.1)") {
		t.Errorf("%+v: %s", v.DEab, v.Words())
	}
	if Limit(0.2) != Visible || Limit(2) != 4 {
		t.Errorf("limits %g, %g", Limit(0.2), Limit(2))
	}
	// The same patch twice is no change, and twice its own noise neither.
	same := compare(t, a, a, &c)
	if same.DE2000.Value != 0 || !same.NoChange {
		t.Errorf("one patch against itself: %+v", same.DE2000)
	}
}

// Two patches of one colour that repeat badly, because they are small and the
// photo is noisy, show no change however far they are read apart.
func TestPoorRepeatabilityShowsNoChange(t *testing.T) {
	r := rand.New(rand.NewPCG(33, 1))
	light := (&surface{base: woods[6].was, seed: 5}).light()
	k := camera{ev: -1, noise: 0.1}
	small := func() Reading {
		m, err := Read(k.shoot(light, r).sixteen(), box(20, 20, 32, 32))
		if err != nil {
			t.Fatal(err)
		}
		return m
	}
	const n = 40
	apart, none := 0, 0
	for range n {
		v := compare(t, small(), small(), nil)
		if v.DEab.Value >= Visible {
			apart++
		}
		if v.NoChange && v.Step == "" {
			none++
		}
	}
	t.Logf("of %d pairs of one colour %d were read further apart than %.1f, and %d show no change", n, apart, Visible, none)
	if apart < n/2 || none < n*9/10 {
		t.Errorf("%d of %d pairs are apart, %d show no change", apart, n, none)
	}
}

// Without a grey card the uncertainty is widened so that it covers what
// exposure and white balance do: the truth is within twice of it nearly always.
func TestWithoutAGreyCard(t *testing.T) {
	r := rand.New(rand.NewPCG(34, 1))
	inside, n, least, most := 0, 0, math.Inf(1), 0.0
	for _, w := range woods {
		a0, b0 := (&surface{base: w.was, seed: 1}).light(), (&surface{base: w.faded, seed: 2}).light()
		truth := DE2000(w.was.Lab(), w.faded.Lab())
		for range 6 {
			k := anyCamera(r)
			k.ev += 0.6
			a, errA := Read(k.shoot(a0, r).sixteen(), inner())
			b, errB := Read(k.shoot(b0, r).sixteen(), inner())
			if errA != nil || errB != nil {
				continue // a pale wood, overexposed
			}
			v := compare(t, a, b, nil)
			n++
			if math.Abs(v.DE2000.Value-truth) <= 2*v.DE2000.Uncertainty {
				inside++
			}
			least, most = min(least, v.DE2000.Uncertainty), max(most, v.DE2000.Uncertainty)
			if !strings.Contains(v.Words(), "no grey card") {
				t.Errorf("%q", v.Words())
			}
		}
	}
	t.Logf("truth within twice the stated uncertainty %d times of %d; stated %.2f to %.2f", inside, n, least, most)
	if n < 40 || inside < n*88/100 {
		t.Errorf("only %d of %d", inside, n)
	}
}

func TestDoubts(t *testing.T) {
	r := rand.New(rand.NewPCG(35, 1))
	w := woods[1]
	k := &camera{ev: -0.5, noise: 0.01}
	veiled := &surface{base: w.faded, seed: 2, sheen: func(x, _ float64) float64 { return 0.12 * x }}
	m := scene(&surface{base: w.was, seed: 1}, veiled, card(), k, r).eight()
	a, b, c := readThree(t, m)
	v := compare(t, a, b, &c)
	f, q := v.Record()
	if v.Reliable || Unreliable(&f) != "broad sheen" || !strings.HasSuffix(v.Words(), "; unreliable: broad sheen") || !strings.Contains(q.How, "unreliable: broad sheen") {
		t.Errorf("%s; %+v; %+v", v.Words(), q, f.Warnings)
	}
	for _, line := range Details(&f) {
		if strings.HasPrefix(line, "unreliable") {
			t.Errorf("said twice: %q", line)
		}
	}

	other := a
	other.Photo = "another"
	if v := compare(t, other, a, &c); v.Reliable || v.Reasons[0] != "two photos" {
		t.Errorf("two photos: %v", v.Reasons)
	}
	if v := compare(t, a, a, &other); v.Reliable || !strings.Contains(strings.Join(v.Warnings, " "), "is it the grey card?") || !strings.Contains(strings.Join(v.Warnings, " "), "in another photo") {
		t.Errorf("a grey card of wood: %v, %v", v.Reasons, v.Warnings)
	}
	clipped := a
	clipped.Clipped = clipped.Pixels / 10
	if v := compare(t, clipped, a, &c); !v.Reliable || !strings.Contains(strings.Join(v.Warnings, " "), "10 % of the reference patch is clipped") {
		t.Errorf("a tenth clipped: %v, %v", v.Reasons, v.Warnings)
	}
	clipped.Clipped = clipped.Pixels / 3
	if v := compare(t, clipped, a, &c); v.Reliable {
		t.Error("a third clipped is called reliable")
	}
}

func TestCompareRefusals(t *testing.T) {
	a := read(t, flat(side, side, Linear{0.2, 0.1, 0.05}).sixteen())
	black := read(t, flat(side, side, Linear{0.0006, 0.0006, 0.0006}).sixteen())
	if _, err := Compare(a, Reading{}, nil, Options{}); !errors.Is(err, errReadings) {
		t.Errorf("an empty reading: %v", err)
	}
	if _, err := Compare(a, a, &Reading{}, Options{}); !errors.Is(err, errReadings) {
		t.Errorf("an empty grey patch: %v", err)
	}
	if _, err := Compare(a, a, &black, Options{}); !errors.Is(err, errGrey) {
		t.Errorf("a black grey patch: %v", err)
	}
}

// The card's stated reflectance is the light that it is put to.
func TestReflectanceOfTheCard(t *testing.T) {
	w := woods[2]
	for _, reflectance := range []float64{0.18, 0.20, 0.50} {
		m := scene(&surface{base: w.was}, &surface{base: w.faded}, &surface{base: Linear{reflectance, reflectance, reflectance}}, &camera{ev: -0.7, noise: 0.005}, rand.New(rand.NewPCG(36, 1))).sixteen()
		a, b, c := readThree(t, m)
		v, err := Compare(a, b, &c, Options{GreyReflectance: reflectance})
		if err != nil {
			t.Fatal(err)
		}
		if d := DEab(v.RefLab, w.was.Lab()); d > 0.5 {
			t.Errorf("%g: the reference patch is read as %v, %.2f from %v", reflectance, v.RefLab, d, w.was.Lab())
		}
	}
}

// ISO 105-A02, from its table (annotate/grade/testdata/grey_scale.csv is tested
// where the scale is kept): spot values and the limits between them.
func TestGreySteps(t *testing.T) {
	for dE, want := range map[float64]string{0: "5", 0.8: "4-5", 1.7: "4", 2.5: "3-4", 3.4: "3", 4.8: "2-3", 6.8: "2", 9.6: "1-2", 13.6: "1", 2.09: "4", 2.11: "3-4"} {
		if got := GreyStep(dE); got != want {
			t.Errorf("%g: step %s, want %s", dE, got, want)
		}
	}
}

func TestHelpHasTheFigures(t *testing.T) {
	for _, want := range []string{"plain: 99 %", "grained: 99 %", "two hues: 100 %", "23 % of clean patches"} {
		if !strings.Contains(SheenHelp(), want) {
			t.Errorf("%q is missing in the help:\n%s", want, SheenHelp())
		}
	}
	if !strings.Contains(Help(), "18 per cent") || !strings.Contains(Help(), "30 %") {
		t.Errorf("help:\n%s", Help())
	}
}
