package circuit

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// plain is a usual single coil with its controls open.
func plain() Chain {
	return Chain{Name: "neck", Cable: 500e-12, Load: 1e6,
		Sources: []Source{{Pickup: Pickup{Name: "neck", Resistance: 6200, Inductance: 2.4, Capacitance: 110e-12}}},
		Shared:  Controls{Volume: &Pot{250e3, Logarithmic, 10}, Tones: []Tone{{Pot{250e3, Logarithmic, 10}, 22e-9}}}}
}

func near(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance) {
		t.Errorf("%s is %.9g, not %.9g", what, got, want)
	}
}

// With nothing connected, and no capacitance of its own, a pickup's voltage is
// its source's at every frequency.
func TestNoLoadIsFlat(t *testing.T) {
	c := Chain{Sources: []Source{{Pickup: Pickup{Resistance: 6200, Inductance: 2.4}}}}
	for _, v := range c.Response(Frequencies(50)) {
		near(t, "level", v, 0, 1e-9)
	}
	if _, _, ok := c.Resonance(); ok {
		t.Error("a flat response has a peak")
	}
	if hz := c.MinusThree(); hz != 0 {
		t.Errorf("a flat response is 3 dB down at %g Hz", hz)
	}
	if w := c.Words(); w != "no peak, not 3 dB down anywhere up to 200 kHz" {
		t.Error(w)
	}
}

// A pickup and a capacitance are the second-order low-pass of the textbooks:
// |H|² = 1/((1−x²)² + (x/Q)²) with x = f/f0, f0 = 1/(2π√(LC)), Q = √(L/C)/R;
// the peak stands at f0·√(1−1/(2Q²)) with the height Q/√(1−1/(4Q²)).
func TestSecondOrderLowPass(t *testing.T) {
	const r, l, cap = 12e3, 2.4, 610e-12
	c := Chain{Cable: 500e-12, Sources: []Source{{Pickup: Pickup{Resistance: r, Inductance: l, Capacitance: 110e-12}}}}
	f0, q := 1/(2*math.Pi*math.Sqrt(l*cap)), math.Sqrt(l/cap)/r
	for _, f := range Frequencies(40) {
		x := f / f0
		near(t, "level", c.level(f), -10*math.Log10((1-x*x)*(1-x*x)+x*x/(q*q)), 1e-9)
	}
	hz, dB, ok := c.Resonance()
	if !ok {
		t.Fatal("no peak")
	}
	near(t, "peak frequency", hz, f0*math.Sqrt(1-1/(2*q*q)), 1e-4*f0)
	near(t, "peak height", dB, 20*math.Log10(q/math.Sqrt(1-1/(4*q*q))), 1e-6)
	// Without loss the peak goes to f0 itself: 4159.6 Hz.
	c.Sources[0].Pickup.Resistance = 200
	hz, _, _ = c.Resonance()
	near(t, "peak frequency without loss", hz, 1/(2*math.Pi*math.Sqrt(l*cap)), 0.5)
	near(t, "f0 by hand", f0, 4159.6, 0.1)
}

// A resistor across the capacitance, worked by hand from the voltage divider:
// H = Z2/(R + jωL + Z2), Z2 = R2/(1 + jωCR2). At 0 Hz that is R2/(R + R2).
func TestLoadedByHand(t *testing.T) {
	c := Chain{Cable: 500e-12, Load: 100e3, Sources: []Source{{Pickup: Pickup{Resistance: 10e3, Inductance: 4, Capacitance: 100e-12}}}}
	near(t, "level at 0 Hz", c.level(0), 20*math.Log10(100.0/110), 1e-9)
	for _, f := range []float64{20, 1000, 3000, 12000} {
		w := 2 * math.Pi * f
		z2 := complex(100e3, 0) / complex(1, w*600e-12*100e3)
		h := z2 / (complex(10e3, w*4) + z2)
		near(t, "level", c.level(f), 10*math.Log10(real(h)*real(h)+imag(h)*imag(h)), 1e-9)
	}
}

// A volume control divides at 0 Hz as its share says, and at its ends a
// contact's ohm remains.
func TestVolumeDivides(t *testing.T) {
	for _, x := range []struct {
		taper   Taper
		setting float64
		share   float64
	}{{Linear, 5, 0.5}, {Logarithmic, 5, 0.15}, {Logarithmic, 2.5, 0.075}, {Logarithmic, 7.5, 0.575}, {Reverse, 5, 0.85}, {Linear, 10, 1}, {Logarithmic, 0, 0}, {"", 3, 0.3}} {
		p := Pot{500e3, x.taper, x.setting}
		near(t, string(x.taper)+" share", p.Share(), x.share, 1e-12)
		c := Chain{Sources: []Source{{Pickup: Pickup{Resistance: 1, Inductance: 2}}}, Shared: Controls{Volume: &p}}
		low, high := max(500e3*x.share, 1), max(500e3*(1-x.share), 1)
		near(t, "level", c.level(0), 20*math.Log10(low/(1+low+high)), 1e-9)
	}
}

// With the tone control at 0 the resonance goes down to that of the inductance
// and the tone capacitor.
func TestToneShutMovesThePeak(t *testing.T) {
	c := plain().At(10, 0)
	hz, _, ok := c.Resonance()
	want := 1 / (2 * math.Pi * math.Sqrt(2.4*(22e-9+610e-12)))
	if !ok || math.Abs(hz-want) > 0.1*want {
		t.Errorf("peak at %.0f Hz, not near %.0f", hz, want)
	}
	if open := plain().MinusThree(); c.MinusThree() > open/3 {
		t.Errorf("3 dB down at %.0f Hz open and %.0f Hz shut", open, c.MinusThree())
	}
}

// A treble bleed keeps the treble that a half-closed volume control loses, and
// the old wiring keeps it too.
func TestTrebleIsKept(t *testing.T) {
	loses := func(c Chain) float64 { return c.level(200) - c.level(4000) }
	c := plain().At(5, 10)
	with := c
	with.Shared.Bleed = &Bleed{Capacitance: 1e-9}
	if !(loses(with) < loses(c)-1) {
		t.Errorf("a treble bleed keeps %.1f dB", loses(c)-loses(with))
	}
	if old := c.OldWiring(); !(loses(old) < loses(c)) {
		t.Errorf("the old wiring loses %.2f dB, the usual %.2f", loses(old), loses(c))
	}
	open := plain()
	for _, f := range Frequencies(20) {
		near(t, "old wiring wide open", open.OldWiring().level(f), open.level(f), 0.01)
	}
	if plain().Shared.ToneAfter {
		t.Error("the wiring of the chain itself was changed")
	}
}

// Two equal pickups in parallel are one of half the inductance and resistance
// and twice the capacitance.
func TestTwoAlike(t *testing.T) {
	two := plain()
	two.Sources = append(two.Sources, two.Sources[0])
	one := plain()
	p := &one.Sources[0].Pickup
	p.Resistance, p.Inductance, p.Capacitance = p.Resistance/2, p.Inductance/2, 2*p.Capacitance
	for _, f := range Frequencies(30) {
		near(t, "level", two.level(f), one.level(f), 1e-9)
	}
}

// More cable never raises a resonance that stands out. With a load R across the
// capacitance C of a coil L the peak is at ω² = 1/(LC) − 1/(2R²C²), which falls
// with C as soon as R·√(C/L) > 1, that is from a height of 1.25 dB; a flatter
// hump that a heavy load has all but drowned may move up while it rises.
func TestMoreCableNeverRaisesThePeak(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := Chain{
			Cable: rapid.Float64Range(10e-12, 3e-9).Draw(t, "cable"), Load: rapid.Float64Range(100e3, 10e6).Draw(t, "load"),
			Sources: []Source{{Pickup: Pickup{
				Resistance: rapid.Float64Range(100, 20e3).Draw(t, "resistance"), Inductance: rapid.Float64Range(0.1, 12).Draw(t, "inductance"),
				Capacitance: rapid.Float64Range(20e-12, 400e-12).Draw(t, "capacitance"), Loss: rapid.Float64Range(100e3, 10e6).Draw(t, "loss")}}},
			Shared: Controls{
				Volume: &Pot{rapid.Float64Range(100e3, 2e6).Draw(t, "volume"), Logarithmic, 10},
				Tones:  []Tone{{Pot{rapid.Float64Range(100e3, 2e6).Draw(t, "tone"), Logarithmic, 10}, 22e-9}}},
		}
		f, dB, ok := c.Resonance()
		c.Cable += rapid.Float64Range(1e-12, 2e-9).Draw(t, "more")
		g, _, still := c.Resonance()
		if ok && still && dB > 1.5 && g > f*(1+1e-6) {
			t.Fatalf("with more cable the peak went from %.1f to %.1f Hz", f, g)
		}
	})
}

// No chain within the limits of Check makes a curve that is no number, and none
// of its words.
func TestAlwaysANumber(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 6))
	for range 300 {
		c := random(r).At(r.Float64()*10, r.Float64()*10)
		for i, v := range c.Response(Frequencies(25)) {
			if math.IsNaN(v) || v < floor || v > 200 {
				t.Fatalf("level %d is %g: %s", i, v, c.Netlist())
			}
		}
		if w := c.Words(); strings.Contains(w, "NaN") || strings.Contains(w, "Inf") {
			t.Fatal(w)
		}
	}
}

func TestRefused(t *testing.T) {
	for name, spoil := range map[string]func(*Chain){
		"no pickup":      func(c *Chain) { c.Sources = nil },
		"no resistance":  func(c *Chain) { c.Sources[0].Pickup.Resistance = 0 },
		"no number":      func(c *Chain) { c.Sources[0].Pickup.Inductance = math.NaN() },
		"below nothing":  func(c *Chain) { c.Cable = -1e-12 },
		"endless load":   func(c *Chain) { c.Load = math.Inf(1) },
		"setting of 11":  func(c *Chain) { c.Shared.Volume.Setting = 11 },
		"pot of nothing": func(c *Chain) { c.Shared.Tones[0].Pot.Total = 0 },
		"huge capacitor": func(c *Chain) { c.Shared.Tones[0].Capacitance = 1 },
		"bad bleed":      func(c *Chain) { c.Shared.Bleed = &Bleed{Capacitance: -1} },
		"100 pickups":    func(c *Chain) { c.Sources = make([]Source, 100) },
		"100 tones":      func(c *Chain) { c.Sources[0].Tones = make([]Tone, 100) },
	} {
		c := plain()
		spoil(&c)
		if c.Check() == nil || c.Response(Frequencies(3)) != nil || c.Netlist() != "" || c.MinusThree() != 0 || !strings.HasPrefix(c.Words(), "no curve: ") {
			t.Errorf("%s is computed: %v, %s", name, c.Check(), c.Words())
		}
	}
}

func TestWords(t *testing.T) {
	c := plain()
	if w := c.Words(); w != "peak +4.1 dB at 3.8 kHz, −3 dB at 6.1 kHz" {
		t.Error(w)
	}
	for hz, want := range map[float64]string{310.4: "310 Hz", 999.6: "1.0 kHz", 3140: "3.1 kHz", 9960: "10 kHz", 12345: "12 kHz"} {
		if got := Hertz(hz); got != want {
			t.Errorf("%g Hz is written %q", hz, got)
		}
	}
	for v, want := range map[float64]string{250e3: "250 kΩ", 1e6: "1 MΩ", 2.4: "2.4 Ω", 22e-9: "22 nΩ", 500e-12: "500 pΩ", 999.7: "1 kΩ", 0: "0 Ω"} {
		if got := SI(v, "Ω"); got != want {
			t.Errorf("%g is written %q", v, got)
		}
	}
	f := Frequencies(4)
	if f[0] != 20 || math.Abs(f[1]-200) > 1e-9 || f[3] != 20000 {
		t.Error(f)
	}
}

// A curve of 200 points is well under 5 ms, and so is a sentence.
func BenchmarkCurve(b *testing.B) {
	c, f := plain(), Frequencies(200)
	for b.Loop() {
		c.Response(f)
	}
}

func BenchmarkWords(b *testing.B) {
	c := plain()
	for b.Loop() {
		_ = c.Words()
	}
}
