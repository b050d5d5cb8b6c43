package electronics

import (
	"math"

	"wornwood/capture/record"
)

// What is usual of passive pickups: DC resistance in kilohms and inductance in
// henries (common practice; there are wound ones beyond either end).
var usualResistance = map[record.PickupType][2]float64{
	record.SingleCoil: {2.5, 15},
	record.DoubleCoil: {5, 22},
}

const (
	shortBelow  = 0.1 // kilohms: no winding of thin wire reads so little
	openAbove   = 100 // kilohms: no winding reads so much
	leastHenry  = 0.5
	mostHenry   = 20
	leastPico   = 10
	mostPico    = 2000
	piezoLeakAt = 1000 // kilohms: a piezo that reads less leaks or has something across it
)

func (k *checker) pickup(c record.Component, p record.Pickup) {
	k.room(c, p)
	if r := p.Resistance; r != nil {
		switch {
		case p.Type == record.Active:
			k.add(Note, Name(c)+": a resistance says little of an active pickup", "The meter reads its buffer, not its coil")
		case p.Type == record.Piezo:
			k.piezoResistance(c, r.Value)
		case Wound(p.Type):
			k.winding(c, p)
		}
	}
	if h := p.Inductance; h != nil && (h.Value < leastHenry || h.Value > mostHenry) {
		k.add(Look, Name(c)+": an inductance of "+figure(h.Value)+" H is unusual",
			"Wound pickups have about 1 to 12 H (common practice); the field takes henries, not millihenries")
	}
	if q := p.Capacitance; q != nil && p.Type != record.Piezo && (q.Value < leastPico || q.Value > mostPico) {
		k.add(Look, Name(c)+": a winding of "+figure(q.Value)+" pF is unusual",
			"Windings have some tens to some hundreds of picofarads (common practice); a cable left in the measurement adds to it")
	}
	if p.Type == record.Piezo {
		k.piezoLoad(c, p)
	}
}

// room looks at the temperature that a resistance was read at.
func (k *checker) room(c record.Component, p record.Pickup) {
	if t := p.Ambient; t != nil && (t.Value < ColdestRoom || t.Value > HottestRoom) {
		k.add(Look, Name(c)+": "+figure(t.Value)+" °C is no room's temperature",
			"The field takes degrees Celsius; the resistance was not brought to 20 °C by it")
	}
}

func (k *checker) piezoResistance(c record.Component, r float64) {
	if r >= piezoLeakAt {
		return
	}
	k.add(Look, Name(c)+": a piezo that reads "+Ohms(r), "A piezo is a capacitor and reads open; moisture, a crack or something else across it conducts")
}

// winding looks at the DC resistance of a coil.
func (k *checker) winding(c record.Component, p record.Pickup) {
	r := p.Resistance.Value
	switch {
	case r > openAbove:
		k.add(Wrong, Name(c)+": open, no connection through the coil",
			"The wire is broken, most often where it leaves the coil, or a lead has come off; measure at the coil before it is called dead")
		return
	case r < shortBelow:
		k.add(Wrong, Name(c)+": "+Ohms(r)+", next to nothing",
			"A short circuit lies across it, a switch or a volume turned down shorts it while it is measured, or the reading was entered in another unit")
		return
	}
	usual, known := usualResistance[p.Type]
	if p.Type == record.DoubleCoil && k.half(c, r) {
		return
	}
	if known && (r < usual[0] || r > usual[1]) {
		k.add(Note, Name(c)+": "+OhmsOf(*p.Resistance)+" is outside the usual "+figure(usual[0])+" to "+figure(usual[1])+" kΩ",
			"Common practice for a "+string(p.Type)+" pickup; the reading may include other parts of the circuit, or the winding is special")
	}
}

// half looks for a pickup of two coils of which one does not count.
func (k *checker) half(c record.Component, r float64) bool {
	const below = 5.0 // kilohms: two coils in series read more (common practice)
	why := "One of its two coils may be broken, short-circuited or switched off (a split), or the two are wired side by side; measure each coil by itself"
	for _, o := range k.all {
		if o.ID == c.ID || o.Pickup == nil || o.Pickup.Type != record.DoubleCoil || o.Pickup.Resistance == nil {
			continue
		}
		other := o.Pickup.Resistance.Value
		if other <= openAbove && math.Abs(r/other-0.5) < 0.08 {
			k.add(Look, Name(c)+": "+Ohms(r)+" is about half of the "+Name(o)+"'s "+Ohms(other), why)
			return true
		}
	}
	if r < below {
		k.add(Look, Name(c)+": "+Ohms(r)+" is little for two coils in series", why)
		return true
	}
	return false
}

// piezoLoad says what a passive circuit does to a piezo: with the controls'
// resistance across it, a capacitor loses what lies below 1/(2 pi R C).
func (k *checker) piezoLoad(c record.Component, p record.Pickup) {
	_, _, _, _, powered := k.pickups()
	if powered {
		return
	}
	least := math.Inf(1)
	for _, o := range k.all {
		if o.Pot != nil && o.Pot.Nominal > 0 {
			least = min(least, o.Pot.Nominal)
		}
	}
	if least > 500 {
		return
	}
	text := Name(c) + ": a piezo into a control of " + Ohms(least) + " without a preamplifier"
	why := "A piezo wants 1 MΩ and more (common practice); less takes its low notes away"
	if q := p.Capacitance; q != nil && q.Value > 0 {
		hz := 1 / (2 * math.Pi * least * 1e3 * q.Value * 1e-12)
		why += ": with its " + figure(q.Value) + " pF everything below about " + figure(math.Round(hz)) + " Hz fades"
	}
	k.add(Look, text, why)
}
