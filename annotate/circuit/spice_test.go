package circuit

import (
	"bufio"
	"bytes"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
)

// random is a chain of one to three pickups with whatever controls chance gives
// it, over the whole range of values that such parts have.
func random(r *rand.Rand) Chain {
	between := func(lo, hi float64) float64 { return lo * math.Pow(hi/lo, r.Float64()) }
	some := func() bool { return r.IntN(2) == 0 }
	pot := func() Pot {
		return Pot{between(10e3, 2e6), []Taper{Linear, Logarithmic, Reverse, ""}[r.IntN(4)], math.Round(r.Float64()*100) / 10}
	}
	controls := func() Controls {
		var k Controls
		if some() {
			p := pot()
			k.Volume = &p
			if some() {
				k.Bleed = &Bleed{Capacitance: between(50e-12, 5e-9), Series: some()}
				if some() {
					k.Bleed.Resistance = between(10e3, 1e6)
				}
			}
		}
		for range r.IntN(3) {
			k.Tones = append(k.Tones, Tone{pot(), between(1e-9, 100e-9)})
		}
		k.ToneAfter = some()
		return k
	}
	c := Chain{Name: "random", Cable: between(50e-12, 5e-9), Shared: controls()}
	if some() {
		c.Load = between(20e3, 10e6)
	}
	for range 1 + r.IntN(3) {
		s := Source{Pickup: Pickup{Name: "a", Resistance: between(50, 30e3), Inductance: between(0.01, 12), Capacitance: between(20e-12, 400e-12)}, Controls: controls()}
		if some() {
			s.Pickup.Loss = between(100e3, 5e6)
		}
		c.Sources = append(c.Sources, s)
	}
	return c
}

// spice runs a circuit simulator on a netlist and reads its table: frequencies
// in hertz and levels in decibels.
func spice(t testing.TB, netlist string) (freqs, dB []float64) {
	t.Helper()
	file := filepath.Join(t.TempDir(), "chain.cir")
	if err := os.WriteFile(file, []byte(netlist), 0o600); err != nil {
		t.Fatal(err)
	}
	cmd := exec.Command("ngspice", "-b", file)
	cmd.Env = append(os.Environ(), "SPICE_NO_DATASEG_CHECK=1")
	out, err := cmd.CombinedOutput()
	if err != nil {
		t.Fatalf("ngspice (Debian package ngspice): %v\n%s\n%s", err, netlist, out)
	}
	for sc := bufio.NewScanner(bytes.NewReader(out)); sc.Scan(); {
		var i int
		var f, v float64
		if n, _ := fmt.Sscan(sc.Text(), &i, &f, &v); n == 3 && i == len(freqs) {
			freqs, dB = append(freqs, f), append(dB, v)
		}
	}
	if len(freqs) != 61 {
		t.Fatalf("ngspice printed %d frequencies, not 61:\n%s\n%s", len(freqs), netlist, out)
	}
	return freqs, dB
}

// The curves agree with the circuit simulator ngspice, which solves the same
// components by modified nodal analysis of its own: 60 chains at 61
// frequencies.
func TestAgreesWithSpice(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	worst, most, least := 0.0, -1e9, 1e9
	for k := range 60 {
		c := random(r)
		if err := c.Check(); err != nil {
			t.Fatalf("chain %d: %v", k, err)
		}
		freqs, want := spice(t, c.Netlist())
		got := c.Response(freqs)
		for i := range freqs {
			worst = max(worst, math.Abs(got[i]-want[i]))
			most, least = max(most, want[i]), min(least, want[i])
			if math.Abs(got[i]-want[i]) > 0.001 {
				t.Fatalf("chain %d at %.1f Hz: %.5f dB, ngspice has %.5f\n%s", k, freqs[i], got[i], want[i], c.Netlist())
			}
		}
	}
	t.Logf("60 chains, levels from %.1f to %.1f dB, largest difference %.2g dB", least, most, worst)
	if most < 3 || least > -40 {
		t.Errorf("the chains are all alike: levels from %.1f to %.1f dB", least, most)
	}
}

// The check can fail: a tenth of a henry more is seen.
func TestSpiceSeesAChange(t *testing.T) {
	c := plain()
	freqs, want := spice(t, c.Netlist())
	c.Sources[0].Pickup.Inductance += 0.1
	worst := 0.0
	for i, v := range c.Response(freqs) {
		worst = max(worst, math.Abs(v-want[i]))
	}
	if worst < 0.05 {
		t.Errorf("another inductance differs by %.3f dB only", worst)
	}
}

func TestNetlistNamesItsParts(t *testing.T) {
	n := plain().Netlist()
	for _, want := range []string{"vdb(out)", ".ac dec 20 20 20k", "Vpickup1", " 2.4\n", " 5e-10\n"} {
		if !strings.Contains(n, want) {
			t.Errorf("no %q in\n%s", want, n)
		}
	}
	if bad := (Chain{}).Netlist(); bad != "" {
		t.Errorf("a chain of nothing has the netlist %q", bad)
	}
}
