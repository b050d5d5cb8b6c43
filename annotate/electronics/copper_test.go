package electronics

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"wornwood/capture/record"
)

func q(v, u float64) record.Quantity { return record.Quantity{Value: v, Uncertainty: u} }

// Worked by hand with 0.00393 at 20 °C: 7.50 kilohms at 30 °C are 7.50/1.0393 =
// 7.216 at 20 °C; at 20 °C nothing changes; at 10 °C they are 7.50/0.9607 =
// 7.807.
func TestCopperByHand(t *testing.T) {
	for _, c := range [][3]float64{{7.5, 30, 7.2164}, {7.5, 20, 7.5}, {7.5, 10, 7.8068}, {12.751, 50, 11.4062}} {
		got, ok := At20(q(c[0], 0), q(c[1], 0))
		if !ok || math.Abs(got.Value-c[2]) > 5e-5 {
			t.Errorf("%v at %v °C is %v at 20 °C, want %v", c[0], c[1], got.Value, c[2])
		}
	}
}

// Handbooks on motors give the same law another way: resistances of copper are
// as 234.5 plus the temperatures (from memory). The two agree to 0.01 % in any
// room.
func TestCopperBesideTheHandbooks(t *testing.T) {
	for c := float64(ColdestRoom); c <= HottestRoom; c++ {
		got, ok := At20(q(8, 0), q(c, 0))
		want := 8 * (234.5 + 20) / (234.5 + c)
		if !ok || math.Abs(got.Value/want-1) > 1e-4 {
			t.Errorf("at %v °C: %v, by 234.5 it is %v", c, got.Value, want)
		}
	}
}

// By hand: 7.42 ± 0.02 at 25 ± 1 °C. 7.42/1.01965 = 7.2770; parts of the
// uncertainty 0.02/1.01965 = 0.0196 and 7.2770/1.01965 x 0.00393 = 0.0280,
// together 0.0342.
func TestCopperUncertainty(t *testing.T) {
	got, _ := At20(q(7.42, 0.02), q(25, 1))
	if math.Abs(got.Value-7.2770) > 5e-5 || math.Abs(got.Uncertainty-0.0342) > 5e-5 {
		t.Errorf("7.42 ± 0.02 at 25 ± 1 °C is %v ± %v", got.Value, got.Uncertainty)
	}
	if got, _ := At20(q(7.42, 0), q(25, 0)); got.Uncertainty != 0 {
		t.Errorf("an uncertainty of %v is made up", got.Uncertainty)
	}
}

// The warmer the room, the less is left at 20 °C; more ohms stay more; and the
// spread of simulated readings is the stated one.
func TestCopperProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := rapid.Float64Range(0.5, 30).Draw(t, "r")
		a := rapid.Float64Range(ColdestRoom, HottestRoom-0.1).Draw(t, "a")
		b := rapid.Float64Range(a+0.05, HottestRoom).Draw(t, "b")
		x, okX := At20(q(r, 0.01), q(a, 0.5))
		y, okY := At20(q(r, 0.01), q(b, 0.5))
		z, _ := At20(q(r*1.01, 0.01), q(a, 0.5))
		if !okX || !okY || y.Value >= x.Value || z.Value <= x.Value || x.Uncertainty <= 0 {
			t.Fatalf("%v at %v and %v °C: %v, %v", r, a, b, x, y)
		}
		du := 1e-4
		up, _ := At20(q(r, 0), q(a+du, 0))
		if slope := (up.Value - x.Value) / du; math.Abs(x.Uncertainty-math.Hypot(0.01/(1+CopperCoefficient*(a-20)), slope*0.5)) > 1e-4 {
			t.Fatalf("the uncertainty %v is not that of the slope %v", x.Uncertainty, slope)
		}
	})
}

func TestCopperRefuses(t *testing.T) {
	for _, c := range [][2]float64{{Open, 20}, {0, 20}, {7, 72}, {7, -40}} {
		if got, ok := At20(q(c[0], 0), q(c[1], 0)); ok {
			t.Errorf("%v at %v °C is %v at 20 °C", c[0], c[1], got.Value)
		}
	}
	r, amb := q(7, 0), q(25, 0)
	for _, ty := range record.PickupTypes() {
		_, ok := PickupAt20(&record.Pickup{Type: ty, Resistance: &r, Ambient: &amb})
		if want := ty == record.SingleCoil || ty == record.DoubleCoil; ok != want {
			t.Errorf("%s: corrected is %v", ty, ok)
		}
	}
}
