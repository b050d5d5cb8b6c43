package view

import (
	"strings"
	"testing"

	"wornwood/annotate/electronics"
	"wornwood/annotate/outline"
	"wornwood/capture/record"
)

// put types into a field of the chosen component.
func put(t *testing.T, v *Electronics, key, text string) {
	t.Helper()
	for _, f := range ComponentFields(v.Chosen().Kind) {
		if f.Key == key {
			must(t, v.Put(f, text))
			return
		}
	}
	t.Fatalf("%s has no %s", v.Selected, key)
}

func TestElectronicsRail(t *testing.T) {
	s := opened(t)
	if it := electronicsItem(s.Scene()); it.Progress != NotStarted {
		t.Errorf("%+v", it)
	}
	v := NewElectronics(s)
	must(t, v.AddUsual())
	if it := electronicsItem(s.Scene()); it.Progress != SomethingMissing || !strings.HasPrefix(it.Why, "2 pickups without a type, 2 pickups without a resistance, 4 potentiometers without a nominal value") {
		t.Errorf("%+v", it)
	}
	for v.Selected != "" {
		must(t, v.Remove())
	}
	if n := len(s.Scene().Record.Components); n != 0 || v.Chosen() != nil {
		t.Errorf("%d are left", n)
	}
	must(t, v.Add(record.JackComponent))
	must(t, v.PutWiring(WiringFields()[0], "not opened"))
	if it := electronicsItem(s.Scene()); it.Progress != Complete || it.Why != "" {
		t.Errorf("%+v", it)
	}
	must(t, v.Remove())
	must(t, s.SetPart(record.Electronics, "State", func(p *record.Part) { p.State = record.NotFitted }))
	if it := electronicsItem(s.Scene()); it.Progress != Complete || it.Why != "no electronics fitted" {
		t.Errorf("%+v", it)
	}
}

func TestElectronicsRows(t *testing.T) {
	v := NewElectronics(opened(t))
	must(t, v.AddUsual())
	put(t, v, "type", "passive single-coil")
	put(t, v, "resistance", "7,42 ± 0,02")
	put(t, v, "ambient", "25 ± 1")
	if got := v.Reckoned(); got != "7.28 ± 0.03 kΩ at 20 °C, by copper's 0.39 % a degree" {
		t.Errorf("%q", got)
	}
	rows := v.Rows()
	if len(rows) != 10 || rows[0].Group != "Pickup" || rows[1].Group != "" || rows[2].Group != "Potentiometer" || !rows[0].Selected {
		t.Fatalf("%+v", rows)
	}
	if l := rows[0].Line; l.Place != "neck" || l.What != "passive single-coil" || l.Measured != "7.42 ± 0.02 kΩ" || l.Room != "25.0 ± 1.0 °C" || l.At20 != "7.28 ± 0.03 kΩ" {
		t.Errorf("%+v", l)
	}
	if got := v.AmbientElsewhere(); len(got) != 1 || got[0] != "pickup-2" {
		t.Errorf("%v", got)
	}
	must(t, v.TakeAmbient())
	if c, _ := v.s.Component("pickup-2"); c.Pickup.Ambient == nil || c.Pickup.Ambient.Value != 25 || len(v.AmbientElsewhere()) != 0 {
		t.Errorf("%+v", c.Pickup)
	}
	v.Selected = "pot-1"
	put(t, v, "nominal", "250k")
	put(t, v, "measured", "312")
	if a := v.About(); len(a) != 1 || a[0].Severity != electronics.Look || v.Rows()[2].Mark != "look again" {
		t.Errorf("%+v", a)
	}
	if !strings.Contains(v.Summary(), "10 components, 1 finding to look at; missing: 1 pickup without a type") {
		t.Errorf("%q", v.Summary())
	}
}

// A code is only a proposal; one click takes it; unchanged fields make no entry.
func TestElectronicsProposes(t *testing.T) {
	s := opened(t)
	v := NewElectronics(s)
	must(t, v.Add(record.CapacitorComponent))
	put(t, v, "code", "223K")
	if c := v.Chosen(); c.Capacitor.Nominal != 0 {
		t.Fatal("the code has filled the nominal value by itself")
	}
	if got := v.Proposal(); got != "The code says 22 nF ±10 % (three-digit code, picofarads)." {
		t.Errorf("%q", got)
	}
	must(t, v.TakeProposal())
	if c := v.Chosen(); c.Capacitor.Nominal != 22 || v.Proposal() != "" {
		t.Errorf("%+v, %q", c.Capacitor, v.Proposal())
	}
	name := s.Scene().Undo
	put(t, v, "code", "223K")
	put(t, v, "nominal", "22.0")
	put(t, v, "works", NotJudged)
	if s.Scene().Undo != name {
		t.Errorf("an unchanged field made the entry %q", s.Scene().Undo)
	}
	must(t, v.Add(record.ResistorComponent))
	put(t, v, "code", "yellow violet red gold")
	must(t, v.TakeProposal())
	if c := v.Chosen(); c.Resistor.Nominal != 4.7 {
		t.Errorf("%+v", c.Resistor)
	}
}

func TestElectronicsRefuses(t *testing.T) {
	v := NewElectronics(opened(t))
	must(t, v.Add(record.BatteryComponent))
	for key, bad := range map[string]string{"voltage": "nine", "fitted": "14.11.2026", "expires": "11/26", "every": "1.5", "number": "many", "capacity": "-4", "works": "sings", "type": "wooden"} {
		for _, f := range ComponentFields(record.BatteryComponent) {
			if f.Key == key {
				if err := v.Put(f, bad); err == nil || !strings.Contains(err.Error(), bad) {
					t.Errorf("%s %q: %v", key, bad, err)
				}
			}
		}
	}
	put(t, v, "fitted", "today")
	put(t, v, "every", "12")
	put(t, v, "type", "6LR61")
	put(t, v, "current", "0.35")
	if c := v.Chosen(); c.Battery.Type != "9 V block" || v.Reckoned() != "Next change by 2027-11-14; a fresh one lasts about 1570 hours" {
		t.Errorf("%+v, %q", c.Battery, v.Reckoned())
	}
}

func TestElectronicsFiles(t *testing.T) {
	s := opened(t)
	v := NewElectronics(s)
	must(t, v.Add(record.PickupComponent))
	if len(v.Tieable()) != 2 || v.Tieable()[1].Name != "Back · b.jpg" {
		t.Fatalf("%v", v.Tieable())
	}
	b := v.Tieable()[1].ID
	must(t, v.Tie(b))
	must(t, v.TieWiring(b))
	if len(v.Tied()) != 1 || len(v.Tieable()) != 1 || len(v.WiringFiles()) != 1 || len(v.WiringTieable()) != 1 {
		t.Errorf("%v %v %v", v.Tied(), v.Tieable(), v.WiringFiles())
	}
	for _, f := range WiringFields() {
		if f.Key == "solder" {
			must(t, v.PutWiring(f, " dull "))
			if v.Wired(f) != "dull" || len(v.WiringFiles()) != 1 {
				t.Errorf("%q, %v", v.Wired(f), v.WiringFiles())
			}
		}
	}
	must(t, v.Untie(b))
	must(t, v.UntieWiring(b))
	if len(v.Tied()) != 0 || len(v.WiringFiles()) != 0 {
		t.Errorf("%v %v", v.Tied(), v.WiringFiles())
	}
}

// Every class has a usual set; its components are whole and of known kinds.
func TestUsualSets(t *testing.T) {
	for _, class := range outline.Classes() {
		name, set := electronics.UsualSet(class)
		if name == "" || len(set) < 4 {
			t.Errorf("%s: %q, %d", class, name, len(set))
		}
		rec := &record.Record{}
		for i, c := range set {
			c.ID = string(rune('a' + i))
			rec.Components = append(rec.Components, c)
			for _, f := range ComponentFields(c.Kind) {
				f.Get(c)
			}
		}
		if err := rec.Check(); err != nil {
			t.Errorf("%s: %v", class, err)
		}
	}
}

// The curve follows the settings, says its resonance in words and names what
// was assumed.
func TestResponse(t *testing.T) {
	s := opened(t)
	v, r := NewElectronics(s), NewResponse(s)
	if len(r.Names()) != 0 || len(r.Curves()) != 0 || r.Words() != "" || len(r.Notes()) == 0 {
		t.Errorf("without pickups: %v %q %v", r.Names(), r.Words(), r.Notes())
	}
	must(t, v.AddUsual())
	put(t, v, "type", "passive single-coil")
	put(t, v, "resistance", "7.4")
	if n := r.Names(); len(n) != 3 || n[0] != "Neck" || n[2] != "Neck and bridge" {
		t.Fatalf("%v", n)
	}
	if !strings.HasPrefix(r.Words(), "Peak +") || len(r.Curves()) != 1 || len(r.Notes()) == 0 {
		t.Errorf("%q, %d curves, %v", r.Words(), len(r.Curves()), r.Notes())
	}
	open := r.Curves()[0]
	r.Tone = 0
	c := r.Curves()
	if len(c) != 2 || c[0].Name != "volume 10, tone 0" || c[1].Name != "volume 10, tone 10" {
		t.Fatalf("%+v", c)
	}
	last := len(open.DB) * 3 / 4
	if c[0].DB[last] >= open.DB[last]-1 || c[1].DB[last] != open.DB[last] {
		t.Errorf("a closed tone control leaves %v of %v dB at %v Hz", c[0].DB[last], open.DB[last], open.Hz[last])
	}
}
