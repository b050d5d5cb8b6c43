package electronics

import (
	"math"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

func near(a, b float64) bool { return math.Abs(a-b) <= 1e-9*math.Max(math.Abs(a), math.Abs(b)) }

// The series E24 of IEC 60063 as it is printed in handbooks (from memory); E12
// and E6 are every second and fourth value of it.
func TestPreferredValues(t *testing.T) {
	want := Series{10, 11, 12, 13, 15, 16, 18, 20, 22, 24, 27, 30, 33, 36, 39, 43, 47, 51, 56, 62, 68, 75, 82, 91}
	if !slices.Equal(E24, want) {
		t.Errorf("E24 is %v", E24)
	}
	for i, v := range E12 {
		if v != E24[2*i] {
			t.Errorf("E12's %d is not E24's", v)
		}
	}
	for i, v := range E6 {
		if v != E24[4*i] {
			t.Errorf("E6's %d is not E24's", v)
		}
	}
	// The standard's values follow 10^(i/24) within 5 %, the rounding that the
	// handbooks remark on (2.7 to 4.7, and 8.2, are off by one in the last figure).
	for i, v := range E24 {
		if r := float64(v) / 10 / math.Pow(10, float64(i)/24); math.Abs(r-1) > 0.05 {
			t.Errorf("E24's %d is %.1f %% from its place", v, 100*(r-1))
		}
	}
}

func TestNearest(t *testing.T) {
	for _, c := range []struct {
		s         Series
		v, p, off float64
	}{{E12, 250, 270, 250.0/270 - 1}, {E6, 500, 470, 500.0/470 - 1}, {E24, 50, 51, 50.0/51 - 1}, {E12, 0.022, 0.022, 0}, {E6, 9.9, 10, -0.01}, {E12, 95, 100, -0.05}, {E24, 1, 1, 0}} {
		p, off := c.s.Nearest(c.v)
		if !near(p, c.p) || math.Abs(off-c.off) > 1e-9 {
			t.Errorf("nearest to %v is %v (%+.3f), want %v (%+.3f)", c.v, p, off, c.p, c.off)
		}
	}
	for _, v := range []float64{0, -3, math.NaN(), math.Inf(1)} {
		if p, off := E12.Nearest(v); p != 0 || off != 0 {
			t.Errorf("nearest to %v is %v", v, p)
		}
	}
	rapid.Check(t, func(t *rapid.T) { // no other value of the series is nearer by ratio
		v := math.Pow(10, rapid.Float64Range(-6, 6).Draw(t, "log"))
		p, _ := E24.Nearest(v)
		for d := -7; d <= 7; d++ {
			for _, m := range E24 {
				if o := float64(m) * math.Pow10(d); math.Abs(math.Log(v/o)) < math.Abs(math.Log(v/p))-1e-9 {
					t.Fatalf("%v is nearer to %v than %v", o, v, p)
				}
			}
		}
	})
}

// Examples of the letter and digit code as IEC 60062 and the trade's tables
// have them (4K7, R47, 2M2, 4n7, p10 and so on: from memory), the three-digit
// code with the printed examples 103, 473, 474J, 105K and 2A474J of published
// tables of capacitor markings.
func TestCodes(t *testing.T) {
	for _, c := range []struct {
		code string
		want float64
		tol  Tolerance
		read func(string) (Reading, error)
	}{
		{"4K7", 4.7, Tolerance{}, Resistor}, {"4k7J", 4.7, Tolerance{5, 5}, Resistor}, {"R47", 0.00047, Tolerance{}, Resistor}, {"470R", 0.47, Tolerance{}, Resistor},
		{"2M2", 2200, Tolerance{}, Resistor}, {"100K", 100, Tolerance{}, Resistor}, {"1R0", 0.001, Tolerance{}, Resistor}, {"47 kΩ", 47, Tolerance{}, Resistor}, {"4,7k", 4.7, Tolerance{}, Resistor},
		{"220KK", 220, Tolerance{10, 10}, Resistor}, {"1M5M", 1500, Tolerance{20, 20}, Resistor}, {"332RF", 0.332, Tolerance{1, 1}, Resistor}, {"470 ohm", 0.47, Tolerance{}, Resistor},
		{"4n7", 4.7, Tolerance{}, Capacitor}, {"100n", 100, Tolerance{}, Capacitor}, {"2u2", 2200, Tolerance{}, Capacitor}, {"2µ2", 2200, Tolerance{}, Capacitor}, {"n47", 0.47, Tolerance{}, Capacitor},
		{"p10", 0.0001, Tolerance{}, Capacitor}, {"47p", 0.047, Tolerance{}, Capacitor}, {"22nK", 22, Tolerance{10, 10}, Capacitor}, {"100nF", 100, Tolerance{}, Capacitor}, {"22 nF", 22, Tolerance{}, Capacitor},
		{"223", 22, Tolerance{}, Capacitor}, {"223K", 22, Tolerance{10, 10}, Capacitor}, {"473J", 47, Tolerance{5, 5}, Capacitor}, {"104M", 100, Tolerance{20, 20}, Capacitor},
		{"103Z", 10, Tolerance{20, 80}, Capacitor}, {"474J", 470, Tolerance{5, 5}, Capacitor}, {"105K", 1000, Tolerance{10, 10}, Capacitor}, {"105K 330V", 1000, Tolerance{10, 10}, Capacitor},
		{"2A474J", 470, Tolerance{5, 5}, Capacitor}, {"223K100", 22, Tolerance{10, 10}, Capacitor}, {"101", 0.1, Tolerance{}, Capacitor}, {"479", 0.0047, Tolerance{}, Capacitor},
		{".022", 22, Tolerance{}, Capacitor}, {"0.047", 47, Tolerance{}, Capacitor}, {".05 MFD", 50, Tolerance{}, Capacitor}, {"0,1", 100, Tolerance{}, Capacitor}, {".02M", 20, Tolerance{20, 20}, Capacitor},
		{"47", 0.047, Tolerance{}, Capacitor}, {"22J", 0.022, Tolerance{5, 5}, Capacitor},
	} {
		r, err := c.read(c.code)
		if err != nil || !near(r.Nominal, c.want) || r.Tolerance != c.tol {
			t.Errorf("%q reads as %v %+v (%v), want %v %+v", c.code, r.Nominal, r.Tolerance, err, c.want, c.tol)
		}
	}
}

func TestCodesRefused(t *testing.T) {
	for code, read := range map[string]func(string) (Reading, error){
		"": Resistor, "470": Resistor, "K": Resistor, "4K7X": Resistor, "R": Resistor, "0K0": Resistor, "1234567K": Resistor, "137 7410": Resistor, "hello": Resistor,
		" ": Capacitor, "n": Capacitor, "000": Capacitor, "223X": Capacitor, "100n63": Capacitor, "1.5": Capacitor, "4.7.1n": Capacitor, strings.Repeat("9", 400): Capacitor, "orange drop": Capacitor,
	} {
		if r, err := read(code); err == nil {
			t.Errorf("%q reads as %v", code, r)
		} else if !strings.Contains(err.Error(), `"`) {
			t.Errorf("%q is refused without naming it: %v", code, err)
		}
	}
	if _, err := Resistor("470"); err == nil || !strings.Contains(err.Error(), "write 470R or 47R") {
		t.Errorf("470 is refused with %v", err)
	}
}

// 223K may be either; the preferred value comes first.
func TestDecodeBothWays(t *testing.T) {
	all, err := Decode("223K")
	if err != nil || len(all) != 2 || !all[0].Farads || all[0].String() != "22 nF ±10 %" || all[1].String() != "223 kΩ" {
		t.Errorf("223K reads as %v, %v", all, err)
	}
	all, err = Decode("yellow violet red gold")
	if err != nil || len(all) != 1 || all[0].String() != "4.7 kΩ ±5 %" {
		t.Errorf("the bands read as %v, %v", all, err)
	}
	if _, err := Decode("grey grey grey white"); err == nil || !strings.Contains(err.Error(), "from its other end") {
		t.Errorf("a resistor read backwards: %v", err)
	}
	if _, err := Decode("??"); err == nil {
		t.Error("?? reads as something")
	}
}

// The examples that every table of the colour code has: 4.7 kilohms of 5 %,
// 1 kilohm of 10 %, 10 ohms, 220 kilohms of 1 % in five bands (from memory).
func TestBands(t *testing.T) {
	for _, c := range []struct {
		bands string
		want  float64
		tol   float64
	}{{"yellow violet red gold", 4.7, 5}, {"brown black red silver", 1, 10}, {"brown black black", 0.01, 20}, {"red red black orange brown", 220, 1}, {"green-blue-gold-gold", 0.0056, 5},
		{"Gray, Red, Black, Gold", 0.082, 5}, {"purple green yellow red", 750, 2}, {"orange orange silver silver", 0.00033, 10}, {"brown black black pink green", 0.0001, 0.5}} {
		b, ok := SplitBands(c.bands)
		if !ok {
			t.Errorf("%q are no colours", c.bands)
		}
		r, err := Bands(b)
		if err != nil || !near(r.Nominal, c.want) || r.Tolerance != (Tolerance{c.tol, c.tol}) {
			t.Errorf("%q reads as %v (%v)", c.bands, r, err)
		}
	}
	for _, bad := range [][]string{nil, {"red", "red"}, {"gold", "red", "red", "red"}, {"red", "red", "mauve", "gold"}, {"red", "red", "red", "black"}, {"red", "red", "red", "red", "red", "red"}, {"black", "black", "black"}} {
		if r, err := Bands(bad); err == nil {
			t.Errorf("%v reads as %v", bad, r)
		}
	}
	if _, ok := SplitBands("4K7"); ok {
		t.Error("4K7 is taken for colours")
	}
}

// Whatever is written is read back as the same.
func TestDecodeOfEncode(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		farads := rapid.Bool().Draw(t, "farads")
		tol := rapid.SampledFrom(append([]Tolerance{{}}, func() (out []Tolerance) {
			for _, e := range toleranceLetters {
				out = append(out, e.t)
			}
			return
		}()...)).Draw(t, "tolerance")
		m, d := rapid.IntRange(10, 99).Draw(t, "figures"), rapid.IntRange(-4, 4).Draw(t, "power")
		r := Reading{Nominal: scaled(m, d), Farads: farads, Tolerance: tol}
		letters, err := r.Letters()
		if err != nil {
			t.Fatal(err)
		}
		read := Resistor
		if farads {
			read = Capacitor
		}
		if tol == (Tolerance{1, 1}) && farads && !strings.ContainsAny(letters[strings.IndexAny(letters, "pnu")+1:], "0123456789") {
			return // 100nF is read as the farad
		}
		back, err := read(letters)
		if err != nil || !near(back.Nominal, r.Nominal) || back.Tolerance != tol {
			t.Fatalf("%v is written %q and read as %v (%v)", r, letters, back, err)
		}
		if digits, err := r.Digits(); farads && err == nil {
			back, err := Capacitor(digits)
			if err != nil || !near(back.Nominal, r.Nominal) || back.Tolerance != tol {
				t.Fatalf("%v is written %q and read as %v (%v)", r, digits, back, err)
			}
		} else if farads && tol.Letter() != "N" && r.Nominal >= 1e-4 && r.Nominal < 9e5 {
			t.Fatalf("%v has no three digits: %v", r, err)
		}
		for n := 3; n <= 5 && !farads; n++ {
			bands, err := r.ColourBands(n)
			if err != nil {
				continue
			}
			back, err := Bands(bands)
			if err != nil || !near(back.Nominal, r.Nominal) || (n > 3 && back.Tolerance != tol) {
				t.Fatalf("%v is written %v and read as %v (%v)", r, bands, back, err)
			}
		}
		if _, err := r.ColourBands(4); !farads && tol == (Tolerance{5, 5}) && err != nil {
			t.Fatalf("%v has no bands: %v", r, err)
		}
	})
}

// Nothing that is typed makes a reader panic or gives a value below 0.
func FuzzCodes(f *testing.F) {
	for _, s := range []string{"4K7", "223K", ".022", "2A474J", "yellow violet red gold", "47\x00", "9999999999999999999999", "±", "1e999", "µ"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		all, err := Decode(s)
		if (err == nil) == (len(all) == 0) {
			t.Errorf("%q: %v, %v", s, all, err)
		}
		for _, r := range all {
			if !(r.Nominal > 0) || math.IsInf(r.Nominal, 0) {
				t.Errorf("%q reads as %v", s, r.Nominal)
			}
			_, _ = r.Letters()
			_, _ = r.Digits()
		}
		for _, unit := range []string{"kΩ", "nF", "°C", "V", ""} {
			if q, err := Typed(s, unit); err == nil && q != nil && (math.IsNaN(q.Value) || math.IsInf(q.Value, 0) || q.Uncertainty < 0) {
				t.Errorf("%q in %s is %v", s, unit, q)
			}
		}
	})
}
