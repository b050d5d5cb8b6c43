package units

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

func parse(t interface{ Fatal(...any) }, s string, bare Unit) Length {
	l, err := Parse(s, bare)
	if err != nil {
		t.Fatal(err)
	}
	return l
}

// What the task's own examples and a repairer's habits ask for.
func TestWhatARepairerTypes(t *testing.T) {
	const in = 25.4
	for _, c := range []struct {
		text string
		bare Unit
		mm   float64
		step float64 // resolution, mm
		back string
	}{
		{"1.6", MM, 1.6, 0.1, "1.6 mm"}, {"1,6 mm", Inch, 1.6, 0.1, "1.6 mm"}, {"1.60", MM, 1.6, 0.01, "1.60 mm"}, {" 2 ", MM, 2, 1, "2 mm"},
		{"1.6mm", Inch, 1.6, 0.1, "1.6 mm"}, {"0.16 cm", MM, 1.6, 0.1, "0.16 cm"},
		{"0.063 in", MM, 0.063 * in, 0.0254, "0.063 in"}, {`.063"`, MM, 0.063 * in, 0.0254, ".063 in"}, {".063", Inch, 0.063 * in, 0.0254, ".063 in"},
		{"63 thou", MM, 63 * in / 1000, 0.0254, "63 thou"}, {"8 thousandths", MM, 8 * in / 1000, 0.0254, "8 thou"},
		{"1/16", MM, in / 16, in / 64, "1/16 in"}, {"4/64 in", MM, in / 16, in / 64, "4/64 in"}, {"5/64", Inch, 5 * in / 64, in / 64, "5/64 in"},
		{`1 3/16"`, MM, 19 * in / 16, in / 64, "1 3/16 in"}, {"1-3/16 in", MM, 19 * in / 16, in / 64, "1-3/16 in"}, {"1½″", MM, 1.5 * in, in / 64, "1 1/2 in"},
		{"9/128 in", MM, 9 * in / 128, in / 128, "9/128 in"}, {"5⁄64”", MM, 5 * in / 64, in / 64, "5/64 in"}, {"1/2 mm", Inch, 0.5, 0.5, "1/2 mm"},
		{"-0.05", MM, -0.05, 0.01, "-0.05 mm"}, {"−2 thou", MM, -2 * in / 1000, 0.0254, "-2 thou"}, {"+ 0.1", MM, 0.1, 0.1, "0.1 mm"}, {"-1/64", MM, -in / 64, in / 64, "-1/64 in"},
		{"0", MM, 0, 1, "0 mm"}, {"1.", MM, 1, 1, "1. mm"}, {"2 Inches", MM, 2 * in, in, "2 in"}, {"3 in.", MM, 3 * in, in, "3 in"},
	} {
		l, err := Parse(c.text, c.bare)
		if err != nil {
			t.Errorf("%q: %v", c.text, err)
			continue
		}
		if math.Abs(l.MM-c.mm) > 1e-12 || math.Abs(l.Resolution-c.step) > 1e-12 || strings.Replace(l.Text, ",", ".", 1) != c.back || l.Stated != 0 {
			t.Errorf("%q in %s: %+v, want %v mm by %v, %q", c.text, c.bare, l, c.mm, c.step, c.back)
		}
	}
}

// JCGM 100:2008, F.2.2.1 gives u = 0.29 δx for a reading to steps of δx (from
// memory).
func TestUncertainty(t *testing.T) {
	if u := parse(t, "1.6", MM).Uncertainty(); math.Abs(u-0.029) > 0.0002 {
		t.Errorf("1.6 mm to a tenth: %v", u)
	}
	for text, want := range map[string]float64{"1.6 ± 0.05": 0.05, "1.6 +- 0,05 mm": 0.05, "63 ± 2 thou": 2 * 0.0254, ".063 in ± .002": 0.002 * 25.4, "1.6 mm +/- 0.1 mm": 0.1, "5/64 ± .004 in": 0.004 * 25.4} {
		l := parse(t, text, MM)
		if math.Abs(l.Uncertainty()-want) > 1e-12 || l.Stated != l.Uncertainty() {
			t.Errorf("%q: %v, want %v", text, l.Uncertainty(), want)
		}
		if again := parse(t, l.Text, Inch); math.Abs(again.Uncertainty()-want) > 1e-12 || again.MM != l.MM {
			t.Errorf("%q is kept as %q", text, l.Text)
		}
	}
}

func TestNonsenseIsRefused(t *testing.T) {
	for text, word := range map[string]string{
		"": "no length", "low": "no length", "mm": "no length", "1.6 furlongs": "unit", "1.6 ft": "unit", "63 mil": "thousandth", "1,234.5": "no length", "1.2.3": "no length",
		"1/0": "fraction", "5/63": "fraction", "1/256": "fraction", "1 5/4": "one or more", "1 2": "no length", "/64": "no length", "5/": "no length", "1e3": "no length", "0x10": "no length",
		"99999 mm": "ten metres", "1.6 ±": "no length", "1.6 ± x": "no length", "1.6 ± 0": "uncertainty", "± 0.1": "no length", "1.6 ± -2": "uncertainty", "NaN": "no length", "inf": "no length",
		"99999999999999999999/64": "no length", "1 1 1/2": "no length", "--1": "no length", strings.Repeat("9", 400): "no length", strings.Repeat("9", 50): "ten metres",
	} {
		_, err := Parse(text, MM)
		if err == nil || !strings.Contains(err.Error(), word) || strings.Contains(err.Error(), "\n") {
			t.Errorf("%.30q: %v", text, err)
		}
	}
}

// Every 64th of an inch, as tables of decimal equivalents in engineers'
// handbooks list them: n/64 in is 0.015625 n in and 0.396875 n mm, exactly.
// Four rows are as such tables print them (from memory): 1/64 .015625 0.396875,
// 5/64 .078125 1.984375, 1/8 .125 3.175, 63/64 .984375 25.003125.
func TestEverySixtyfourth(t *testing.T) {
	for n := 1; n <= 192; n++ {
		mm := float64(n) * 0.396875
		text := Format(mm, Inch, Sixtyfourths)
		l := parse(t, text, MM)
		if l.MM != float64(n)*25.4/64 || math.Abs(l.MM-mm) > 1e-12 {
			t.Errorf("%d/64 is written %q and read as %v mm, want %v", n, text, l.MM, mm)
		}
		if d := parse(t, fmt.Sprintf("%.6f in", float64(n)*0.015625), MM); math.Abs(d.MM-mm) > 1e-12 {
			t.Errorf("%d/64 as a decimal: %v", n, d.MM)
		}
		// A repairer cancels fractions; it is the same length.
		num, den := n, 64
		for num%2 == 0 && den > 1 {
			num, den = num/2, den/2
		}
		if den > 1 {
			if c := parse(t, fmt.Sprintf("%d/%d", num, den), MM); c.MM != l.MM || c.Resolution != 25.4/64 {
				t.Errorf("%d/64 cancelled: %+v", n, c)
			}
		}
	}
	for text, row := range map[string][2]string{"1/64": {".015625", "0.396875"}, "5/64": {".078125", "1.984375"}, "1/8": {".125", "3.175"}, "63/64": {".984375", "25.003125"}} {
		l, d, m := parse(t, text, MM), parse(t, row[0], Inch), parse(t, row[1], MM)
		if math.Abs(l.MM-d.MM) > 1e-12 || math.Abs(l.MM-m.MM) > 1e-12 {
			t.Errorf("%s: %v, %v, %v", text, l.MM, d.MM, m.MM)
		}
	}
}

func TestFormat(t *testing.T) {
	for _, c := range []struct {
		mm    float64
		u     Unit
		s     Style
		wants string
	}{
		{1.6, MM, Sixtyfourths, "1.6 mm"}, {1.984375, MM, Sixtyfourths, "1.98 mm"}, {2, MM, Thousandths, "2 mm"}, {-0.001, MM, Thousandths, "0 mm"}, {-0.05, MM, Thousandths, "-0.05 mm"},
		{1.6, Inch, Sixtyfourths, "4/64 in"},  // 0.062992: 0.49 thou from 4/64
		{1.65, Inch, Sixtyfourths, ".065 in"}, // 2.5 thou beside it
		{25.4, Inch, Sixtyfourths, "1 in"}, {25.4 * 1.1875, Inch, Sixtyfourths, "1 12/64 in"}, {0, Inch, Sixtyfourths, "0 in"}, {-25.4 / 64, Inch, Sixtyfourths, "-1/64 in"},
		{0.2, Inch, Thousandths, ".008 in"}, {1.1, Inch, Thousandths, ".043 in"}, {-0.05, Inch, Thousandths, "-.002 in"}, {0.005, Inch, Thousandths, "0 in"}, {30, Inch, Thousandths, "1.181 in"},
	} {
		if got := Format(c.mm, c.u, c.s); got != c.wants {
			t.Errorf("%v mm: %q, want %q", c.mm, got, c.wants)
		}
	}
}

// What is written is read as the same length to half its last figure, and
// written alike again.
func TestRoundTrip(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		mm := rapid.Float64Range(-200, 200).Draw(t, "mm")
		u := rapid.SampledFrom([]Unit{MM, Inch}).Draw(t, "unit")
		s := rapid.SampledFrom([]Style{Sixtyfourths, Thousandths}).Draw(t, "style")
		text := Format(mm, u, s)
		l := parse(t, text, rapid.SampledFrom([]Unit{MM, Inch}).Draw(t, "bench"))
		step := 0.01
		if u == Inch {
			step = 0.0254
		}
		if math.Abs(l.MM-mm) > step/2+1e-9 {
			t.Fatalf("%v is written %q and read as %v", mm, text, l.MM)
		}
		// Rounded to a thousandth a length may come to lie at a 64th.
		if again := Format(l.MM, u, s); again != text && (s != Sixtyfourths || u != Inch || !strings.Contains(again, "/64")) {
			t.Fatalf("%q is written %q again", text, again)
		}
		if l.Text != text {
			t.Fatalf("%q is kept as %q", text, l.Text)
		}
		if bare := parse(t, Figure(mm, u, s), u); bare.MM != l.MM {
			t.Fatalf("%q bare in %s is %v", Figure(mm, u, s), u, bare.MM)
		}
	})
}

// Whatever is typed, it is a length within bounds or a sentence.
func FuzzParse(f *testing.F) {
	for _, s := range []string{"1.6", "5/64 in", `1 3/16"`, "63 ± 2 thou", "½", "", "1,2,3", "-", "\xff", "9/128"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		l, err := Parse(s, MM)
		if err != nil {
			if l != (Length{}) {
				t.Errorf("%q: refused and %+v", s, l)
			}
			return
		}
		if !(math.Abs(l.MM) <= most) || !(l.Resolution > 0) || l.Stated < 0 || l.Text == "" {
			t.Errorf("%q: %+v", s, l)
		}
		if again, err := Parse(l.Text, Inch); err != nil || math.Abs(again.MM-l.MM) > 1e-9 {
			t.Errorf("%q is kept as %q, which is %+v, %v", s, l.Text, again, err)
		}
	})
}

func TestAngle(t *testing.T) {
	for text, want := range map[string]float64{"8": 8, "7,5°": 7.5, "12 deg": 12, "0": 0, "90 degrees": 90} {
		if got, err := Angle(text); err != nil || got != want {
			t.Errorf("%q: %v, %v", text, got, err)
		}
	}
	for _, text := range []string{"", "a", "-3", "361", "1e2", "8 rad", "°"} {
		if v, err := Angle(text); err == nil {
			t.Errorf("%q is %v", text, v)
		}
	}
}

func TestParseUnit(t *testing.T) {
	for s, want := range map[string]Unit{"": MM, "mm": MM, "in": Inch} {
		if u, err := ParseUnit(s); err != nil || u != want {
			t.Errorf("%q: %v, %v", s, u, err)
		}
	}
	if _, err := ParseUnit("furlong"); err == nil {
		t.Error("a furlong is taken")
	}
}
