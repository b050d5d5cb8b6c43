package colour

import (
	"math"
	"math/rand/v2"
	"testing"
)

// grains are the surfaces that the figures of this package are measured on.
var grains = []struct {
	name        string
	grain, hues float64
}{
	{"plain", 0, 0},
	{"grained", 0.7, 0},
	{"grained, of two hues", 1, 0.12},
}

// anyCamera is within half a stop and 15 per cent of white balance of a photo
// that is exposed for its brightest part.
func anyCamera(r *rand.Rand) *camera {
	loose := func() float64 { return 1 + 0.15*(2*r.Float64()-1) }
	return &camera{ev: -0.6 + r.Float64() - 0.5, balance: [3]float64{loose(), 1, loose()}, noise: 0.01}
}

func read(t testing.TB, m *Image) Reading {
	t.Helper()
	r, err := Read(m, inner())
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func compare(t testing.TB, ref, faded Reading, grey *Reading) Result {
	t.Helper()
	r, err := Compare(ref, faded, grey, Options{})
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// With a grey patch the same pair gives the same difference over half a stop of
// exposure and 15 per cent of white balance each way: one standard deviation of
// CIEDE2000 under 0.15, in 8-bit files of sRGB and in linear ones of 16 bits.
func TestDifferenceHoldsOverExposureAndBalance(t *testing.T) {
	r := rand.New(rand.NewPCG(11, 1))
	worst, without, stated, met := 0.0, 0.0, 0.0, 0.0
	for _, g := range grains[:2] {
		for _, w := range woods {
			ref := (&surface{base: w.was, grain: g.grain, seed: r.Uint64()}).light()
			faded := (&surface{base: w.faded, grain: g.grain, seed: r.Uint64()}).light()
			grey := card().light()
			for _, file := range []func(*raster) *Image{(*raster).eight, (*raster).sixteen} {
				var d, bare, u []float64
				for range 6 {
					k := anyCamera(r)
					a, b, c := read(t, file(k.shoot(ref, r))), read(t, file(k.shoot(faded, r))), read(t, file(k.shoot(grey, r)))
					v := compare(t, a, b, &c)
					d, u = append(d, v.DE2000.Value), append(u, v.DE2000.Uncertainty)
					bare = append(bare, compare(t, a, b, nil).DE2000.Value)
				}
				s := deviation(d)
				if s > 0.15 {
					t.Errorf("%s, %s: standard deviation %.3f of %.2f", w.name, g.name, s, d)
				}
				worst, without = max(worst, s), max(without, deviation(bare))
				stated, met = stated+mean(u), met+s
			}
		}
	}
	t.Logf("worst standard deviation with a grey patch %.3f, without %.2f; mean %.3f, stated %.3f", worst, without, met/32, stated/32)
	if without < 0.5 {
		t.Errorf("without a grey patch the worst was only %.2f: the check does not check", without)
	}
}

func mean(v []float64) (m float64) {
	for _, x := range v {
		m += x / float64(len(v))
	}
	return m
}

func deviation(v []float64) float64 {
	m, s := mean(v), 0.0
	for _, x := range v {
		s += (x - m) * (x - m) / float64(len(v)-1)
	}
	return math.Sqrt(s)
}

// On linear files of 16 bits, through the file and back, the difference is
// within 0.5 of the truth, which is the difference of the mean light of the two
// surfaces without noise. How often the truth lies within the stated 95 per
// cent is looked at as well.
func TestDifferenceIsTrueOnLinearFiles(t *testing.T) {
	r := rand.New(rand.NewPCG(12, 1))
	worst, inside, n := 0.0, 0, 0
	for _, g := range grains {
		for _, w := range woods {
			for range 2 {
				ref := &surface{base: w.was, grain: g.grain, hues: g.hues, seed: r.Uint64()}
				faded := &surface{base: w.faded, grain: g.grain, hues: g.hues, seed: r.Uint64()}
				k := anyCamera(r)
				a := read(t, open(t, k.shoot(ref.light(), r).linearPNG(t)))
				b := read(t, open(t, k.shoot(faded.light(), r).linearPNG(t)))
				c := read(t, open(t, k.shoot(card().light(), r).linearPNG(t)))
				v := compare(t, a, b, &c)
				truth := DE2000(ref.truth().Lab(), faded.truth().Lab())
				off := math.Abs(v.DE2000.Value - truth)
				worst, n = max(worst, off), n+1
				if off <= 2*v.DE2000.Uncertainty {
					inside++
				}
				if off > 0.5 {
					t.Errorf("%s, %s: read %.2f, true %.2f", w.name, g.name, v.DE2000.Value, truth)
				}
				if v.Floor != 0 || !a.Linear {
					t.Errorf("%s: a floor of %.2f on a linear file", w.name, v.Floor)
				}
			}
		}
	}
	t.Logf("furthest from the truth %.3f; within twice the stated uncertainty %d of %d", worst, inside, n)
	if inside < n*85/100 {
		t.Errorf("the truth was within twice the stated uncertainty only %d times of %d", inside, n)
	}
}

// Small highlights, 1 to 5 per cent of the pixels, do not move a reading by
// more than 0.3.
func TestSmallHighlightsAreLeftOut(t *testing.T) {
	r := rand.New(rand.NewPCG(13, 1))
	worst, bare := 0.0, 0.0
	for _, g := range grains {
		for i, w := range woods {
			share := 0.01 + 0.04*float64(i)/float64(len(woods)-1)
			clean := (&surface{base: w.was, grain: g.grain, hues: g.hues, seed: r.Uint64()}).light()
			lit := withHighlights(clean, share, r)
			k := camera{ev: -0.6, noise: 0.01}
			a, b := read(t, k.shoot(clean, r).eight()), read(t, k.shoot(lit, r).eight())
			d := DE2000(a.Lab, b.Lab)
			worst = max(worst, d)
			bare = max(bare, DE2000(meanOf(clean).times(math.Exp2(-0.6)).Lab(), meanOf(lit).times(math.Exp2(-0.6)).Lab()))
			if d > 0.3 {
				t.Errorf("%s, %s: highlights on %.1f %% of the pixels move the reading by %.2f", w.name, g.name, 100*share, d)
			}
		}
	}
	t.Logf("moved by %.3f at most; a plain mean would have moved by up to %.1f", worst, bare)
	if bare < 2 {
		t.Errorf("a plain mean would have moved by only %.2f: the check does not check", bare)
	}
}

// withHighlights adds soft spots of mirrored light until they cover a share of
// the pixels.
func withHighlights(p *raster, share float64, r *rand.Rand) *raster {
	out := &raster{w: p.w, h: p.h, px: append([]Linear(nil), p.px...)}
	lit := map[int]bool{}
	for float64(len(lit)) < share*float64(p.w*p.h) {
		cx, cy, size, amp := r.Float64()*float64(p.w), r.Float64()*float64(p.h), 0.6+1.6*r.Float64(), 0.2+1.5*r.Float64()
		for i := range out.px {
			x, y := float64(i%p.w)-cx, float64(i/p.w)-cy
			m := amp * math.Exp(-(x*x+y*y)/(2*size*size))
			if m > 0.02 {
				out.px[i] = out.px[i].plus(Linear{m, m, m})
				lit[i] = true
			}
		}
	}
	return out
}

func meanOf(p *raster) Linear {
	var sum Linear
	for _, c := range p.px {
		sum = sum.plus(c)
	}
	return sum.times(1 / float64(len(p.px)))
}
