package electronics

import (
	"testing"

	"pgregory.net/rapid"

	"wornwood/capture/record"
)

func TestTyped(t *testing.T) {
	for _, c := range []struct {
		text, unit string
		v, u       float64
	}{
		{"7.2", "kΩ", 7.2, 0}, {"7,2", "kΩ", 7.2, 0}, {" 7.2 ± 0.05 ", "kΩ", 7.2, 0.05}, {"7,2+-0,05", "kΩ", 7.2, 0.05}, {"7.2 +/- .05 kΩ", "kΩ", 7.2, 0.05}, {"7200 Ω", "kΩ", 7.2, 0},
		{"7200 ± 50 ohm", "kΩ", 7.2, 0.05}, {"1M", "kΩ", 1000, 0}, {"250k", "kΩ", 250, 0}, {"open", "kΩ", Open, 0}, {"OL", "kΩ", Open, 0}, {"∞", "kΩ", Open, 0},
		{"-4", "°C", -4, 0}, {"23 °C", "°C", 23, 0}, {"−4 ± 1", "°C", -4, 1}, {"22n", "nF", 22, 0}, {"470 pF", "nF", 0.47, 0}, {"0.022 µF", "nF", 22, 0}, {"2400 mH", "H", 2.4, 0},
		{"9.1V", "V", 9.1, 0}, {"350 µA", "mA", 0.35, 0}, {"12 months", "months", 12, 0}, {"3", "", 3, 0},
	} {
		q, err := Typed(c.text, c.unit)
		if err != nil || q == nil || !near(q.Value, c.v) || !near(q.Uncertainty, c.u) {
			t.Errorf("%q in %s is %v (%v), want %v ± %v", c.text, c.unit, q, err, c.v, c.u)
		}
	}
	for _, c := range [][2]string{{"much", "kΩ"}, {"-7", "kΩ"}, {"7.2.1", "kΩ"}, {"7 V", "kΩ"}, {"open", "nF"}, {"7 ± x", "kΩ"}, {"7 ± -1", "kΩ"}, {"1e400", "V"}, {"NaN", "V"}, {"±", "V"}} {
		if q, err := Typed(c[0], c[1]); err == nil {
			t.Errorf("%q in %s is %v", c[0], c[1], q)
		}
	}
	if q, err := Typed("  ", "kΩ"); q != nil || err != nil {
		t.Errorf("an empty field is %v, %v", q, err)
	}
	for text, want := range map[string]float64{"4K7": 4.7, "250": 250, "": 0, "2M2": 2200, "500k": 500} {
		if v, err := Figure(text, "kΩ"); err != nil || !near(v, want) {
			t.Errorf("%q is %v (%v)", text, v, err)
		}
	}
	if v, err := Figure("4n7", "nF"); err != nil || v != 4.7 {
		t.Errorf("4n7 is %v (%v)", v, err)
	}
	for _, bad := range []string{"open", "7 ± 1", "-3", "x"} {
		if v, err := Figure(bad, "kΩ"); err == nil {
			t.Errorf("a nominal value of %q is %v", bad, v)
		}
	}
}

// What a field shows is read back as the same.
func TestShownIsTyped(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		q := &record.Quantity{Value: float64(rapid.IntRange(0, 9e8).Draw(t, "v")) / 1000, Uncertainty: float64(rapid.IntRange(0, 9000).Draw(t, "u")) / 1000}
		unit := rapid.SampledFrom([]string{"kΩ", "nF", "V", "°C", "H"}).Draw(t, "unit")
		back, err := Typed(Shown(q, unit), unit)
		if err != nil || !near(back.Value, q.Value) || !near(back.Uncertainty, q.Uncertainty) {
			t.Fatalf("%v is shown %q and read %v (%v)", q, Shown(q, unit), back, err)
		}
	})
	if s := Shown(&record.Quantity{Value: Open}, "kΩ"); s != "open" {
		t.Errorf("open is shown %q", s)
	}
}
