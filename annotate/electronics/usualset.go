package electronics

import (
	"strings"

	"wornwood/capture/record"
)

// UsualSet is what an instrument of the class usually has, empty and to be
// filled in; name says it in words. Classes without electronics of their own
// get what is fitted when one is amplified. All of it is common practice; types
// and values are left open, because they are what is to be found out.
func UsualSet(class string) (name string, set []record.Component) {
	switch {
	case class == "lap steel":
		return "one pickup, volume, tone, capacitor, jack", one()
	case strings.HasPrefix(class, "electric bass"):
		return "two pickups, two volumes, tone, capacitor, jack", bass()
	case strings.HasPrefix(class, "solid-body"), class == "hollow archtop", class == "thinline":
		return "two pickups, two volumes, two tones, two capacitors, switch, jack", two()
	}
	return "piezo pickup, preamplifier, battery, jack", amplified()
}

func pickup(place string) record.Component {
	return record.Component{Kind: record.PickupComponent, Place: place, Pickup: &record.Pickup{}}
}

func pot(place, role string) record.Component {
	return record.Component{Kind: record.PotComponent, Place: place, Pot: &record.Potentiometer{Role: role}}
}

func toneCapacitor(place string) record.Component {
	return record.Component{Kind: record.CapacitorComponent, Place: place, Capacitor: &record.Capacitor{Role: "tone"}}
}

func plainPart(kind record.ComponentKind, place string) record.Component {
	return record.Component{Kind: kind, Place: place}
}

func one() []record.Component {
	return []record.Component{pickup(""), pot("volume", "volume"), pot("tone", "tone"), toneCapacitor("tone"), plainPart(record.JackComponent, "output")}
}

func bass() []record.Component {
	return []record.Component{pickup("neck"), pickup("bridge"), pot("neck volume", "volume"), pot("bridge volume", "volume"), pot("tone", "tone"),
		toneCapacitor("tone"), plainPart(record.JackComponent, "output")}
}

func two() []record.Component {
	return []record.Component{pickup("neck"), pickup("bridge"),
		pot("neck volume", "volume"), pot("bridge volume", "volume"), pot("neck tone", "tone"), pot("bridge tone", "tone"),
		toneCapacitor("neck tone"), toneCapacitor("bridge tone"), plainPart(record.SwitchComponent, "pickup"), plainPart(record.JackComponent, "output")}
}

func amplified() []record.Component {
	return []record.Component{
		{Kind: record.PickupComponent, Place: "under the saddle", Pickup: &record.Pickup{Type: record.Piezo}},
		plainPart(record.PreampComponent, ""), plainPart(record.JackComponent, "output"),
		{Kind: record.BatteryComponent, Battery: &record.Battery{Type: "9 V block"}}}
}

// New is an empty component of a kind, with the details that the kind has.
func New(kind record.ComponentKind) record.Component {
	c := record.Component{Kind: kind}
	switch kind {
	case record.PickupComponent:
		c.Pickup = &record.Pickup{}
	case record.PotComponent:
		c.Pot = &record.Potentiometer{}
	case record.CapacitorComponent:
		c.Capacitor = &record.Capacitor{}
	case record.ResistorComponent:
		c.Resistor = &record.Resistor{}
	case record.BatteryComponent:
		c.Battery = &record.Battery{}
	}
	return c
}

// Whole is a component that has the details of its kind, empty ones where there
// were none. Those that are there are shared, not copied.
func Whole(c record.Component) record.Component {
	fresh := New(c.Kind)
	if c.Pickup == nil {
		c.Pickup = fresh.Pickup // nil for every other kind, as the next are
	}
	if c.Pot == nil {
		c.Pot = fresh.Pot
	}
	if c.Capacitor == nil {
		c.Capacitor = fresh.Capacitor
	}
	if c.Resistor == nil {
		c.Resistor = fresh.Resistor
	}
	if c.Battery == nil {
		c.Battery = fresh.Battery
	}
	return c
}
