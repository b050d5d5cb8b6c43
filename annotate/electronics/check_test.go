package electronics

import (
	"slices"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"wornwood/capture/record"
)

var today = time.Date(2026, 11, 14, 15, 0, 0, 0, time.FixedZone("", 3600))

func qp(v float64) *record.Quantity { return &record.Quantity{Value: v} }

func coil(id string, ty record.PickupType, r float64) record.Component {
	c := record.Component{ID: id, Kind: record.PickupComponent, Place: id, Pickup: &record.Pickup{Type: ty}}
	if r > 0 {
		c.Pickup.Resistance, c.Pickup.Ambient = qp(r), qp(20)
	}
	return c
}

func control(id string, nominal, measured float64) record.Component {
	c := record.Component{ID: id, Kind: record.PotComponent, Place: id, Pot: &record.Potentiometer{Role: "volume", Nominal: nominal}}
	if measured > 0 {
		c.Pot.Measured = qp(measured)
	}
	return c
}

func cap1(code string, nominal, measured float64) record.Component {
	c := record.Component{ID: "cap-1", Kind: record.CapacitorComponent, Code: code, Capacitor: &record.Capacitor{Role: "tone", Nominal: nominal}}
	if measured > 0 {
		c.Capacitor.Measured = qp(measured)
	}
	return c
}

func block(v float64) record.Component {
	return record.Component{ID: "battery-1", Kind: record.BatteryComponent, Battery: &record.Battery{Type: "9 V block", Voltage: qp(v)}}
}

func preamp() record.Component {
	return record.Component{ID: "preamp-1", Kind: record.PreampComponent}
}

func with(c record.Component, edit func(*record.Component)) record.Component {
	edit(&c)
	return c
}

// check lists "severity: text" of a record with such components.
func check(year string, cs ...record.Component) []string {
	rec := &record.Record{Instrument: record.Instrument{Year: year}, Components: cs}
	var out []string
	for _, f := range Check(rec, today) {
		out = append(out, string(f.Severity)+": "+f.Text)
	}
	return out
}

var (
	single = coil("neck", record.SingleCoil, 7.4)
	double = coil("neck", record.DoubleCoil, 8.2)
	active = coil("neck", record.Active, 0)
	piezo  = coil("saddle", record.Piezo, 0)
)

// rules has each rule beside what it must leave alone. Potentiometers ±20 %, 250 k
// with single coils, 500 k with double coils, 300 k also factory-fitted, 25 k
// with active pickups: common practice. 7.5 V of a 9
// V block: practice, 1.25 V a cell. The bounds of windings are practice.
var rules = []struct {
	name string
	year string
	cs   []record.Component
	want string // beginning of what is found, "" for nothing
}{
	{"20 % above is allowed", "", []record.Component{single, control("volume", 250, 300)}, ""},
	{"20 % below is allowed", "", []record.Component{single, control("volume", 250, 200)}, ""},
	{"more than 20 % above", "", []record.Component{single, control("volume", 250, 301)}, "look: volume potentiometer: measured 301 kΩ, 20.4 % above its nominal 250 kΩ"},
	{"more than 20 % below", "", []record.Component{single, control("volume", 250, 199)}, "look: volume potentiometer: measured 199 kΩ, 20.4 % below"},
	{"uncertain at the limit", "", []record.Component{single, with(control("volume", 250, 305), func(c *record.Component) { c.Pot.Measured.Uncertainty = 8 })}, "note: volume potentiometer: measured 305 ± 8 kΩ"},
	{"open track", "", []record.Component{single, control("volume", 250, Open)}, "wrong: volume potentiometer: its track is open"},
	{"lugs connected", "", []record.Component{single, control("volume", 250, 1)}, "wrong: volume potentiometer: 1 kΩ where 250 kΩ should be"},
	{"typed in ohms", "", []record.Component{single, control("volume", 250000, 0)}, "look: volume potentiometer: a nominal value of 250 MΩ"},
	{"active, 25 k", "", []record.Component{active, control("volume", 25, 26), block(9)}, ""},
	{"active, 250 k", "", []record.Component{active, control("volume", 250, 0), block(9)}, "look: volume potentiometer: 250 kΩ with active pickups"},
	{"active, 500 k", "", []record.Component{active, control("volume", 500, 0), block(9)}, "look: volume potentiometer: 500 kΩ with active pickups"},
	{"passive, 25 k", "", []record.Component{single, control("volume", 25, 0)}, "look: volume potentiometer: 25 kΩ with passive pickups"},
	{"double coil, 25 k", "", []record.Component{double, control("volume", 25, 0)}, "look: volume potentiometer: 25 kΩ with passive pickups"},
	{"single coil, 250 k", "", []record.Component{single, control("volume", 250, 0)}, ""},
	{"double coil, 500 k", "", []record.Component{double, control("volume", 500, 0)}, ""},
	{"300 k is factory-fitted too", "", []record.Component{double, control("volume", 300, 0)}, "note: volume potentiometer: 300 kΩ was factory-fitted too"},
	{"single coil, 500 k", "", []record.Component{single, control("volume", 500, 0)}, "note: volume potentiometer: 500 kΩ with single coils only"},
	{"double coil, 250 k", "", []record.Component{double, control("volume", 250, 0)}, "note: volume potentiometer: 250 kΩ with double coils only"},
	{"blends have values of their own", "", []record.Component{single, with(control("blend", 25, 0), func(c *record.Component) { c.Pot.Role = "blend" })}, ""},
	{"no pickup said", "", []record.Component{control("volume", 25, 0)}, ""},
	{"open pickup", "", []record.Component{coil("neck", record.SingleCoil, Open)}, "wrong: neck pickup: open"},
	{"shorted pickup", "", []record.Component{coil("neck", record.SingleCoil, 0.02)}, "wrong: neck pickup: 20 Ω, next to nothing"},
	{"half of the other", "", []record.Component{coil("neck", record.DoubleCoil, 8.2), coil("bridge", record.DoubleCoil, 4.1)}, "look: bridge pickup: 4.1 kΩ is about half of the neck pickup's 8.2 kΩ"},
	{"little for two coils", "", []record.Component{coil("neck", record.DoubleCoil, 3.9)}, "look: neck pickup: 3.9 kΩ is little for two coils in series"},
	{"two ordinary double coils", "", []record.Component{coil("neck", record.DoubleCoil, 7.6), coil("bridge", record.DoubleCoil, 8.4)}, ""},
	{"resistance of an active one", "", []record.Component{with(active, func(c *record.Component) { c.Pickup = &record.Pickup{Type: record.Active, Resistance: qp(10)} }), block(9)}, "note: neck pickup: a resistance says little"},
	{"leaking piezo", "", []record.Component{with(piezo, func(c *record.Component) { c.Pickup = &record.Pickup{Type: record.Piezo, Resistance: qp(40)} })}, "look: saddle pickup: a piezo that reads 40 kΩ"},
	{"piezo reads open", "", []record.Component{with(piezo, func(c *record.Component) { c.Pickup = &record.Pickup{Type: record.Piezo, Resistance: qp(Open)} })}, ""},
	{"piezo into 250 k", "", []record.Component{piezo, control("volume", 250, 0)}, "look: saddle pickup: a piezo into a control of 250 kΩ without a preamplifier"},
	{"piezo with a preamplifier", "", []record.Component{piezo, control("volume", 250, 0), preamp(), block(9)}, ""},
	{"Fahrenheit", "", []record.Component{with(coil("neck", record.SingleCoil, 7), func(c *record.Component) { c.Pickup.Ambient = qp(72) })}, "look: neck pickup: 72 °C is no room's temperature"},
	{"no temperature", "", []record.Component{with(coil("neck", record.SingleCoil, 7), func(c *record.Component) { c.Pickup.Ambient = nil })}, "note: 1 resistance was read without a temperature"},
	{"millihenries", "", []record.Component{with(single, func(c *record.Component) { c.Pickup = &record.Pickup{Inductance: qp(2400)} })}, "look: neck pickup: an inductance of 2400 H"},
	{"active without battery", "", []record.Component{active}, "look: no battery is listed"},
	{"battery without anything", "", []record.Component{single, block(9)}, "note: a battery is listed, but nothing that it feeds"},
	{"9 V block of 7.5 V", "", []record.Component{active, block(7.5)}, ""},
	{"9 V block under 7.5 V", "", []record.Component{active, block(7.4)}, "look: battery 1: 7.4 V, under 7.5 V"},
	{"18 V on one block", "", []record.Component{active, block(18)}, "look: battery 1: 18 V is more than a 9 V block gives"},
	{"code later than the year", "1974", []record.Component{single, with(control("volume", 250, 0), func(c *record.Component) { c.Code = "137 8210" })}, "wrong: volume potentiometer: made in 1982 or after, the instrument is claimed to be of 1974"},
	{"a later code of what is said to be later", "1974", []record.Component{single, with(control("volume", 250, 0), func(c *record.Component) { c.Code, c.State = "137 8210", record.LaterReplacement })}, ""},
	{"speaker's code", "1974", []record.Component{{ID: "speaker-1", Kind: record.SpeakerComponent, Code: "137 8210"}}, "wrong: speaker 1: made in 1982 or after"},
	{"code of the year", "1974", []record.Component{single, with(control("volume", 250, 0), func(c *record.Component) { c.Code = "137 7434" })}, ""},
	{"earlier code", "1974", []record.Component{single, with(control("volume", 250, 0), func(c *record.Component) { c.Code = "137 7150" })}, ""},
	{"decade unknown, one reading fits", "1966", []record.Component{single, with(control("volume", 250, 0), func(c *record.Component) { c.Code = "137634" })}, "note: volume potentiometer: its code goes with the claimed 1966 in an early reading only"},
	{"decade unknown, none fits", "1952", []record.Component{single, with(control("volume", 250, 0), func(c *record.Component) { c.Code = "137634" })}, "wrong: volume potentiometer: made in 1956 or after"},
	{"year as a span", "1974 or 1975", []record.Component{single, with(control("volume", 250, 0), func(c *record.Component) { c.Code = "137 7510" })}, ""},
	{"unreadable year", "old", []record.Component{single, with(control("volume", 250, 0), func(c *record.Component) { c.Code = "137 8210" })}, ""},
	{"code that does not decode", "1974", []record.Component{single, with(control("volume", 250, 0), func(c *record.Component) { c.Code = "A250K" })}, "note: volume potentiometer: "},
	{"capacitor within its letter", "", []record.Component{cap1("223K", 22, 24)}, ""},
	{"capacitor outside its letter", "", []record.Component{cap1("223K", 22, 24.5)}, "look: capacitor 1: measured 24.5 nF, 11 % above its 22 nF"},
	{"capacitor, no tolerance known", "", []record.Component{cap1("", 22, 26)}, ""},
	{"Z allows 80 % above", "", []record.Component{cap1("223Z", 22, 39)}, ""},
	{"code and nominal differ", "", []record.Component{cap1("473K", 22, 0)}, "look: capacitor 1: the code 473K says 47 nF, entered was 22 nF"},
	{"code alone gives the nominal", "", []record.Component{cap1("473K", 0, 30)}, "look: capacitor 1: measured 30 nF, 36 % below its 47 nF"},
	{"capacitor in microfarads", "", []record.Component{cap1("", 0.022, 0)}, "look: capacitor 1: 22 pF is unusual in a tone control"},
	{"old round value", "", []record.Component{cap1("", 50, 0)}, "note: capacitor 1: 50 nF is none of today's preferred values"},
	{"capacitor's code not understood", "", []record.Component{cap1("larkfoot", 22, 0)}, `note: capacitor 1: the code "larkfoot" was not understood`},
	{"dead", "", []record.Component{with(control("volume", 0, 0), func(c *record.Component) { c.Works = "dead" })}, "wrong: volume potentiometer: dead"},
	{"scratchy", "", []record.Component{with(control("volume", 0, 0), func(c *record.Component) { c.Works = "scratchy" })}, "note: volume potentiometer: scratchy"},
	{"missing", "", []record.Component{with(control("volume", 0, 0), func(c *record.Component) { c.State = record.Missing })}, "wrong: volume potentiometer: missing"},
	{"made years apart", "1990", []record.Component{with(control("volume", 250, 0), func(c *record.Component) { c.Code = "137 7410" }), with(control("tone", 250, 0), func(c *record.Component) { c.Code = "137 8210" })}, "look: volume potentiometer and tone potentiometer were made"},
	{"made together", "1990", []record.Component{with(control("volume", 250, 0), func(c *record.Component) { c.Code = "137 7410" }), with(control("tone", 250, 0), func(c *record.Component) { c.Code = "137 7433" })}, ""},
}

func TestRules(t *testing.T) {
	for _, c := range rules {
		t.Run(c.name, func(t *testing.T) {
			got := check(c.year, c.cs...)
			switch {
			case c.want == "" && len(got) > 0:
				t.Errorf("finds %q", got)
			case c.want != "" && !slices.ContainsFunc(got, func(s string) bool { return strings.HasPrefix(s, c.want) }):
				t.Errorf("finds %q, want %q", got, c.want)
			}
		})
	}
}

// Every finding is a sentence with a reason and names a component that is
// there; the heaviest come first; nothing that can be typed makes Check fail.
func TestFindingsAreWhole(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rec := &record.Record{Instrument: record.Instrument{Year: rapid.SampledFrom([]string{"", "1974", "before 1950", "x"}).Draw(t, "year")}}
		n := rapid.IntRange(0, 8).Draw(t, "n")
		value := rapid.SampledFrom([]float64{0, 1e-6, 0.02, 3, 7.4, 22, 250, 500, 1e4, Open, 1e9})
		quantity := func(name string) *record.Quantity {
			if rapid.Bool().Draw(t, name) {
				return &record.Quantity{Value: value.Draw(t, name), Uncertainty: rapid.SampledFrom([]float64{0, 0.1, 50}).Draw(t, name)}
			}
			return nil
		}
		for i := range n {
			c := New(rapid.SampledFrom(record.ComponentKinds()).Draw(t, "kind"))
			c.ID = "x-" + string(rune('1'+i))
			c.Code = rapid.SampledFrom([]string{"", "223K", "137 7410", "1376634", "red red red gold", "??"}).Draw(t, "code")
			c.Works = rapid.SampledFrom(append([]string{""}, record.WorksWords()...)).Draw(t, "works")
			switch {
			case c.Pickup != nil:
				c.Pickup.Type = rapid.SampledFrom(append(record.PickupTypes(), "")).Draw(t, "type")
				c.Pickup.Resistance, c.Pickup.Ambient, c.Pickup.Capacitance = quantity("r"), quantity("t"), quantity("c")
			case c.Pot != nil:
				c.Pot.Nominal, c.Pot.Measured = value.Draw(t, "nominal"), quantity("m")
			case c.Capacitor != nil:
				c.Capacitor.Nominal, c.Capacitor.Measured = value.Draw(t, "nominal"), quantity("m")
			case c.Resistor != nil:
				c.Resistor.Nominal, c.Resistor.Measured = value.Draw(t, "nominal"), quantity("m")
			case c.Battery != nil:
				*c.Battery = record.Battery{Type: rapid.SampledFrom([]string{"", "9 V block", "AA", "x"}).Draw(t, "type"), Voltage: quantity("v"), Current: quantity("i"),
					Fitted: rapid.SampledFrom([]string{"", "2025-10-31", "x", "2099-01-01"}).Draw(t, "fitted"), Every: rapid.IntRange(0, 30).Draw(t, "every"),
					Expires: rapid.SampledFrom([]string{"", "2020-02", "2030-01-01", "x"}).Draw(t, "expires")}
			}
			rec.Components = append(rec.Components, c)
		}
		last := 0
		for _, f := range Check(rec, today) {
			rank := slices.Index(Severities(), f.Severity)
			if rank < last || f.Text == "" || f.Why == "" || strings.HasSuffix(f.Text, ".") || strings.HasSuffix(f.Why, ".") {
				t.Fatalf("%+v", f)
			}
			last = rank
			if f.Component != "" && !slices.ContainsFunc(rec.Components, func(c record.Component) bool { return c.ID == f.Component }) {
				t.Fatalf("%+v names no component", f)
			}
			if strings.Contains(f.Text+f.Why, "NaN") || strings.Contains(f.Text+f.Why, "Inf") {
				t.Fatalf("%+v", f)
			}
		}
		Missing(rec)
		for _, c := range rec.Components {
			LineOf(c)
			MoreOf(c)
		}
	})
}

// By hand: 250 kilohms and 1 nF make 1/(2 pi 250e3 1e-9) = 637 Hz.
func TestPiezoLosesItsLowNotes(t *testing.T) {
	c := coil("saddle", record.Piezo, 0)
	c.Pickup.Capacitance = qp(1000)
	fs := Check(&record.Record{Components: []record.Component{c, control("volume", 250, 0)}}, today)
	if len(fs) == 0 || !strings.Contains(fs[0].Why, "below about 637 Hz") {
		t.Errorf("%+v", fs)
	}
}

func TestWiringAndWhole(t *testing.T) {
	rec := &record.Record{Wiring: &record.Wiring{Seen: "not opened", Solder: "dull"}}
	if fs := Check(rec, today); len(fs) != 1 || fs[0].Severity != Wrong || !strings.Contains(fs[0].Text, "not opened") {
		t.Errorf("%+v", fs)
	}
	rec.Wiring = &record.Wiring{Seen: "seen", State: record.Altered}
	if fs := Check(rec, today); len(fs) != 1 || fs[0].Severity != Look {
		t.Errorf("%+v", fs)
	}
}

func TestMissing(t *testing.T) {
	rec := &record.Record{Components: []record.Component{coil("a", "", 0), coil("b", record.SingleCoil, 0), coil("c", record.Piezo, 0), control("d", 250, 0), control("e", 0, 240), block(9),
		cap1("223K", 0, 0), with(coil("f", "", 0), func(c *record.Component) { c.State = record.Missing })}}
	want := "1 pickup without a type|2 pickups without a resistance|1 potentiometer without a nominal value|1 potentiometer without a measured value|1 battery without the date it was fitted|whether the wiring was seen"
	if got := strings.Join(Missing(rec), "|"); got != want {
		t.Errorf("missing %q", got)
	}
	if got := Missing(&record.Record{}); got != nil {
		t.Errorf("missing of nothing: %q", got)
	}
}

// A code is judged as of the day of looking, so a report says the same whenever
// it is made: 7 digits with the year 26 are of 2026 in 2026 and none in 2020.
func TestCodesAreReadAsOfTheDay(t *testing.T) {
	c := with(control("volume", 250, 0), func(c *record.Component) { c.Code = "137 2610" })
	rec := &record.Record{Instrument: record.Instrument{Year: "1974"}, Components: []record.Component{c}}
	for year, want := range map[int]string{2026: "made in 2026 or after", 2020: "volume potentiometer: "} {
		fs := Check(rec, time.Date(year, 5, 1, 0, 0, 0, 0, time.UTC))
		if len(fs) != 1 || !strings.Contains(fs[0].Text, want) || (year == 2020) != (fs[0].Severity == Note) {
			t.Errorf("in %d: %+v", year, fs)
		}
	}
}
