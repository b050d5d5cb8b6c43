package circuit

import (
	"fmt"
	"strings"

	"wornwood/capture/record"
)

// source is a pickup with the controls that are its own.
func (b *builder) source(i int) Source {
	f := b.pickups[i]
	t := b.typeOf(i)
	u := usuals[t]
	p := f.Pickup
	if p == nil {
		p = &record.Pickup{}
	}
	who := f.name + " pickup: "
	if strings.HasPrefix(f.name, "pickup ") {
		who = f.name + ": "
	}
	if p.Type == "" {
		b.assume(who + "type not said, " + string(t) + " assumed")
	}
	return Source{
		Pickup: Pickup{
			Name:        f.name,
			Resistance:  b.value(who+"resistance", p.Resistance, 0, 1e3, resistances, u.resistance, "Ω"),
			Inductance:  b.value(who+"inductance", p.Inductance, 0, 1, inductances, u.inductance, "H"),
			Capacitance: b.value(who+"capacitance", p.Capacitance, 0, 1e-12, capacitances, u.capacitance, "F"),
		},
		Controls: b.controls(i, t),
	}
}

// value is what was measured, else what is printed on the part, else what is
// usual, all turned to SI units; factor is that of the record's unit.
func (b *builder) value(what string, measured *record.Quantity, nominal, factor float64, s span, usual float64, unit string) float64 {
	why := "not measured"
	if measured != nil {
		if v := measured.Value * factor; s.has(v) {
			return v
		}
		why = fmt.Sprintf("measured as %s, which no such part has", SI(measured.Value*factor, unit))
	} else if nominal > 0 {
		if v := nominal * factor; s.has(v) {
			return v
		}
		why = fmt.Sprintf("said to be %s, which no such part has", SI(nominal*factor, unit))
	}
	b.assume(fmt.Sprintf("%s %s, %s assumed", what, why, SI(usual, unit)))
	return usual
}

// controls are those of one pickup, or those that serve every one. A circuit
// without any volume control gets the usual one, and so with the tone: an
// instrument without them is rarer than one whose controls nobody listed.
func (b *builder) controls(pickup int, t record.PickupType) Controls {
	var k Controls
	volumes := b.of(pickup, b.volumes)
	if len(volumes) > 1 {
		b.assume(fmt.Sprintf("%d volume controls serve the same pickup: the first is computed with", len(volumes)))
	}
	if len(volumes) > 0 {
		k.Volume = b.pot(volumes[0], "volume", t)
		k.Bleed = b.bleed(pickup)
	} else if pickup == everyPickup && len(b.volumes) == 0 {
		b.assume("no volume control listed, one of " + SI(usuals[t].pot, "Ω") + " assumed")
		k.Volume = &Pot{Total: usuals[t].pot, Taper: Logarithmic, Setting: 10}
	}
	for i, f := range b.of(pickup, b.tones) {
		if i == maxTones {
			b.assume(fmt.Sprintf("only %d tone controls are computed with", maxTones))
			break
		}
		k.Tones = append(k.Tones, Tone{Pot: *b.pot(f, "tone", t), Capacitance: b.capacitor(f, t)})
	}
	if pickup == everyPickup && len(b.tones) == 0 {
		b.assume(fmt.Sprintf("no tone control listed, one of %s with %s assumed", SI(usuals[t].pot, "Ω"), SI(usuals[t].tone, "F")))
		k.Tones = []Tone{{Pot{usuals[t].pot, Logarithmic, 10}, usuals[t].tone}}
	}
	return k
}

// named is a control in words: its place where that says what it is, else place
// and role.
func named(f found, role string) string {
	switch {
	case f.name == "":
		return role + " control"
	case f.at.says(role):
		return f.name
	}
	return f.name + " " + role
}

func (b *builder) pot(f found, role string, t record.PickupType) *Pot {
	p := f.Pot
	if p == nil {
		p = &record.Potentiometer{}
	}
	who := named(f, role)
	taper := Taper(p.Taper)
	if taper == "" {
		taper = Logarithmic
		b.assume(who + ": taper not said, logarithmic assumed")
	}
	return &Pot{Total: b.value(who+":", p.Measured, p.Nominal, 1e3, pots, usuals[t].pot, "Ω"), Taper: taper, Setting: 10}
}

// capacitor is a tone control's: the one with the same words, else one that says
// nothing and serves all, else the one in the same order.
func (b *builder) capacitor(tone found, t record.PickupType) float64 {
	who := named(tone, "tone") + ": capacitor"
	for _, c := range b.caps {
		samePosition := c.at.position() != "" && c.at.position() == tone.at.position()
		sameNumber := c.at.number > 0 && c.at.number == tone.at.number && c.at.position() == ""
		if samePosition || sameNumber {
			return b.farads(who, c, t)
		}
	}
	i := indexOf(tone, b.tones)
	switch {
	case len(b.caps) == 1 && b.caps[0].at.position() == "" && b.caps[0].at.number == 0:
		return b.farads(who, b.caps[0], t)
	case len(b.caps) == len(b.tones) && b.caps[i].at.position() == "" && b.caps[i].at.number == 0:
		return b.farads(who, b.caps[i], t)
	}
	return b.farads(who, found{}, t)
}

func (b *builder) farads(who string, f found, t record.PickupType) float64 {
	c := &record.Capacitor{}
	if f.Component != nil && f.Capacitor != nil {
		c = f.Capacitor
	}
	return b.value(who, c.Measured, c.Nominal, 1e-9, capacitors, usuals[t].tone, "F")
}

// bleed is the treble bleed of a pickup's volume control, or nil.
func (b *builder) bleed(pickup int) *Bleed {
	caps := b.of(pickup, b.bleeds)
	if len(caps) == 0 {
		return nil
	}
	c := caps[0].Capacitor
	if c == nil {
		c = &record.Capacitor{}
	}
	out := &Bleed{Capacitance: b.value(orKind(caps[0].name, "treble bleed")+":", c.Measured, c.Nominal, 1e-9, capacitors, 1e-9, "F")}
	if rs := b.of(pickup, b.resistors); len(rs) > 0 && rs[0].Resistor != nil {
		r := rs[0].Resistor
		out.Resistance = b.value(orKind(rs[0].name, "treble bleed")+" resistor:", r.Measured, r.Nominal, 1e3, resistors, 150e3, "Ω")
		out.Series = rs[0].at.says("series")
	}
	return out
}

// outside is the cable and the amplifier.
func (b *builder) outside(w *record.Wiring) (cable, load float64) {
	if w == nil {
		w = &record.Wiring{}
	}
	b.assumed = nil
	cable = b.value("cable: capacitance", nil, w.CableCapacitance, 1e-12, cables, UsualCable, "F")
	load = b.value("amplifier: input resistance", nil, w.Load, 1e3, loads, UsualLoad, "Ω")
	b.outsideAssumed = b.assumed
	return cable, load
}

// SI writes a value with the prefix that it is spoken with: "250 kΩ", "2.4 H",
// "22 nF", "110 pF".
func SI(v float64, unit string) string {
	for _, p := range []struct {
		factor float64
		prefix string
	}{{1e9, "G"}, {1e6, "M"}, {1e3, "k"}, {1, ""}, {1e-3, "m"}, {1e-6, "µ"}, {1e-9, "n"}, {1e-12, "p"}} {
		if v >= p.factor*0.9995 {
			return fmt.Sprintf("%.3g %s%s", v/p.factor, p.prefix, unit)
		}
	}
	return fmt.Sprintf("%.3g %s", v, unit)
}
