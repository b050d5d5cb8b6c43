package circuit

import (
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"wornwood/capture/record"
)

func pickup(place string, t record.PickupType) record.Component {
	return record.Component{ID: place, Kind: record.PickupComponent, Place: place, Pickup: &record.Pickup{Type: t}}
}

func control(place, role string, kilohms float64) record.Component {
	return record.Component{ID: place, Kind: record.PotComponent, Place: place, Pot: &record.Potentiometer{Role: role, Nominal: kilohms, Taper: "logarithmic"}}
}

func capacitor(place, role string, nanofarads float64) record.Component {
	return record.Component{ID: "c" + place, Kind: record.CapacitorComponent, Place: place, Capacitor: &record.Capacitor{Role: role, Nominal: nanofarads}}
}

func of(parts ...record.Component) *record.Record { return &record.Record{Components: parts} }

// wired says which controls each chain has: "neck: own 500/500·22; shared -".
func wired(c Chain) string {
	one := func(k Controls) string {
		s := "-"
		if k.Volume != nil {
			s = SI(k.Volume.Total, "")
		}
		for _, t := range k.Tones {
			s += " + " + SI(t.Pot.Total, "") + SI(t.Capacitance, "")
		}
		return strings.ReplaceAll(s, " k", "k")
	}
	var own []string
	for _, s := range c.Sources {
		own = append(own, s.Pickup.Name+" "+one(s.Controls))
	}
	return c.Name + ": " + strings.Join(own, ", ") + "; all " + one(c.Shared)
}

func TestWhatBelongsTogether(t *testing.T) {
	n, m, b := pickup("neck", record.SingleCoil), pickup("middle", record.SingleCoil), pickup("bridge", record.SingleCoil)
	for name, x := range map[string]struct {
		rec  *record.Record
		want []string
	}{
		"two volumes, two tones": {
			of(pickup("bridge", record.DoubleCoil), pickup("neck", record.DoubleCoil), control("neck volume", "volume", 500), control("bridge volume", "volume", 480),
				control("tone, neck", "", 510), control("tone (bridge)", "tone", 490), capacitor("neck tone", "tone", 22), capacitor("bridge tone", "tone", 33)),
			[]string{"neck: neck 500k + 510k22 n; all -", "bridge: bridge 480k + 490k33 n; all -", "neck and bridge: neck 500k + 510k22 n, bridge 480k + 490k33 n; all -"}},
		"one volume, two tones, one capacitor": {
			of(b, m, n, control("volume", "volume", 250), control("tone 1", "tone", 240), control("tone 2", "tone", 260), capacitor("tone", "tone", 47)),
			[]string{"neck: neck - + 240k47 n; all 250k", "middle: middle - + 260k47 n; all 250k", "bridge: bridge -; all 250k",
				"neck and middle: neck - + 240k47 n, middle - + 260k47 n; all 250k", "middle and bridge: middle - + 260k47 n, bridge -; all 250k"}},
		"one of each": {
			of(n, b, control("", "volume", 250), control("", "tone", 250), capacitor("", "", 100)),
			[]string{"neck: neck -; all 250k + 250k100 n", "bridge: bridge -; all 250k + 250k100 n", "neck and bridge: neck -, bridge -; all 250k + 250k100 n"}},
		"unmarked pair": {
			of(n, b, control("", "volume", 250), control("", "volume", 260), control("", "tone", 100)),
			[]string{"neck: neck 250k; all - + 100k22 n", "bridge: bridge 260k; all - + 100k22 n", "neck and bridge: neck 250k, bridge 260k; all - + 100k22 n"}},
		"master besides": {
			of(n, b, control("neck volume", "volume", 250), control("bridge volume", "volume", 260), control("master volume", "volume", 100), control("tone", "tone", 250)),
			[]string{"neck: neck 250k; all 100k + 250k22 n", "bridge: bridge 260k; all 100k + 250k22 n", "neck and bridge: neck 250k, bridge 260k; all 100k + 250k22 n"}},
		"nothing listed but a pickup": {of(n), []string{"neck: neck -; all 250k + 250k22 n"}},
		"no place at all":             {of(pickup("", record.DoubleCoil)), []string{"pickup 1: pickup 1 -; all 500k + 500k22 n"}},
	} {
		t.Run(name, func(t *testing.T) {
			chains, notes := FromRecord(x.rec)
			var got []string
			for _, c := range chains {
				got = append(got, wired(c))
			}
			if !slices.Equal(got, x.want) {
				t.Errorf("got\n%s\nwant\n%s", strings.Join(got, "\n"), strings.Join(x.want, "\n"))
			}
			t.Log(strings.Join(notes, "\n"))
		})
	}
}

// What was measured is computed with; everything else is named.
func TestAssumedIsNamed(t *testing.T) {
	p := pickup("neck", record.SingleCoil)
	p.Pickup.Resistance = &record.Quantity{Value: 5.8}
	c := control("volume", "volume", 250)
	c.Pot.Measured = &record.Quantity{Value: 243}
	chains, notes := FromRecord(of(p, c, control("tone", "tone", 250), capacitor("tone", "tone", 22)))
	if len(chains) != 1 || chains[0].Sources[0].Pickup.Resistance != 5800 || chains[0].Shared.Volume.Total != 243e3 {
		t.Fatalf("%+v", chains)
	}
	want := []string{"neck pickup: inductance not measured, 2.4 H assumed", "neck pickup: capacitance not measured, 110 pF assumed",
		"cable: capacitance not measured, 500 pF assumed", "amplifier: input resistance not measured, 1 MΩ assumed"}
	if !slices.Equal(chains[0].Assumed, want) || !slices.Equal(notes, want) {
		t.Errorf("assumed\n%s\nnotes\n%s", strings.Join(chains[0].Assumed, "\n"), strings.Join(notes, "\n"))
	}
	p.Pickup.Inductance, p.Pickup.Capacitance = &record.Quantity{Value: 2.2}, &record.Quantity{Value: 95}
	rec := of(p, c, control("tone", "tone", 250), capacitor("tone", "tone", 22))
	rec.Wiring = &record.Wiring{CableCapacitance: 420, Load: 470}
	chains, notes = FromRecord(rec)
	if len(notes) != 0 || chains[0].Cable != 420e-12 || chains[0].Load != 470e3 || chains[0].Sources[0].Pickup.Capacitance != 95e-12 {
		t.Errorf("all is known and yet %q: %+v", notes, chains[0])
	}
}

func TestWhatHasNoCurve(t *testing.T) {
	dead := pickup("middle", record.SingleCoil)
	dead.Works = "dead"
	gone := control("tone", "tone", 250)
	gone.State = record.Missing
	slip := pickup("neck", "")
	slip.Pickup.Inductance = &record.Quantity{Value: 2400}
	rec := of(pickup("bridge", record.Active), dead, slip, gone, control("blend", "blend", 250), control("bridge volume", "volume", 25),
		record.Component{ID: "r", Kind: record.ResistorComponent, Place: "cavity"}, record.Component{ID: "p", Kind: record.PreampComponent})
	rec.Instrument.Class = "thinline"
	chains, notes := FromRecord(rec)
	if len(chains) != 1 || chains[0].Sources[0].Pickup.Inductance != 4.4 {
		t.Fatalf("%+v", chains)
	}
	for _, want := range []string{"bridge pickup: active, so there is no curve", "middle pickup: dead", "type not said, passive double-coil assumed",
		"neck pickup: inductance measured as 2.4 kH, which no such part has, 4.4 H assumed", "no tone control listed", `"blend" is neither`,
		`"bridge volume" belongs to no pickup`, `resistor "cavity"`, "there is a preamplifier"} {
		if !strings.Contains(strings.Join(notes, "\n"), want) {
			t.Errorf("no %q in\n%s", want, strings.Join(notes, "\n"))
		}
	}
	if chains, notes := FromRecord(&record.Record{}); chains != nil || len(notes) != 1 || !strings.HasPrefix(notes[0], "no passive pickup") {
		t.Error(chains, notes)
	}
}

func TestBleedAndItsResistor(t *testing.T) {
	r := record.Component{ID: "r", Kind: record.ResistorComponent, Place: "treble bleed, in series", Resistor: &record.Resistor{Nominal: 130}}
	chains, notes := FromRecord(of(pickup("neck", record.SingleCoil), control("volume", "volume", 250), capacitor("volume", "treble bleed", 1.2), r))
	if len(chains) != 1 || chains[0].Shared.Bleed == nil || math.Abs(chains[0].Shared.Bleed.Capacitance-1.2e-9) > 1e-15 || *chains[0].Shared.Bleed != (Bleed{chains[0].Shared.Bleed.Capacitance, 130e3, true}) {
		t.Fatalf("%+v %q", chains, notes)
	}
}

// Whatever the components are, there is no panic, every chain can be computed
// and every sentence is one.
func TestAnyComponents(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 8))
	pick := func(s ...string) string { return s[r.IntN(len(s))] }
	values := []float64{0, 1e-9, 0.5, 7, 250, 1e9}
	q := func() *record.Quantity {
		if r.IntN(2) == 0 {
			return nil
		}
		return &record.Quantity{Value: values[r.IntN(len(values))] * float64(1-2*r.IntN(2))}
	}
	for range 2000 {
		rec := &record.Record{}
		for range r.IntN(25) {
			c := record.Component{Kind: record.ComponentKinds()[r.IntN(10)], Place: pick("", "neck", "bridge", "middle 2", "tone 9", "volume 1", "master", "neck volume", "treble bleed", "Neck", "…")}
			if r.IntN(4) > 0 {
				c.Pickup = &record.Pickup{Type: record.PickupType(pick("", string(record.SingleCoil), string(record.DoubleCoil), string(record.Piezo))), Resistance: q(), Inductance: q(), Capacitance: q()}
				c.Pot = &record.Potentiometer{Role: pick("", "volume", "tone", "blend"), Nominal: values[r.IntN(6)], Measured: q(), Taper: pick("", "linear", "reverse logarithmic", "odd")}
				c.Capacitor = &record.Capacitor{Role: pick("", "tone", "treble bleed", "coupling"), Nominal: values[r.IntN(6)], Measured: q()}
				c.Resistor = &record.Resistor{Nominal: values[r.IntN(6)], Measured: q()}
			}
			rec.Components = append(rec.Components, c)
		}
		chains, notes := FromRecord(rec)
		for _, c := range chains {
			if v := c.Response([]float64{20, 1000, 20000}); len(v) != 3 || c.Name == "" {
				t.Fatalf("%q: %v", c.Name, c.Check())
			}
			if len(c.Assumed) == 0 {
				t.Fatal("a cable nobody named was not assumed")
			}
		}
		for _, n := range notes {
			if strings.TrimSpace(n) == "" || strings.Contains(n, "%!") {
				t.Fatalf("note %q", n)
			}
		}
	}
}
