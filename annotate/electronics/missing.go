package electronics

import (
	"strings"

	"wornwood/capture/record"
)

// Missing says in words what was not recorded of the listed components and the
// wiring: "2 pickups without a resistance". Nothing is missing of a component
// that is not there, of one marked as not seen, or of one that does not have
// the value: a piezo needs no resistance.
func Missing(rec *record.Record) []string {
	counts := map[string]int{}
	for _, c := range rec.Components {
		if c.State == record.Missing || c.State == record.NotSeen {
			continue
		}
		for _, what := range lacks(c) {
			counts[what]++
		}
	}
	var out []string
	for _, l := range lackable {
		if n := counts[l.what]; n > 0 {
			out = append(out, count(n, l.one, l.many)+" without "+l.what)
		}
	}
	if len(rec.Components) > 0 && (rec.Wiring == nil || rec.Wiring.Seen == "") {
		out = append(out, "whether the wiring was seen")
	}
	return out
}

// lackable lists what may be missing, in the order of the sentence.
var lackable = []struct{ what, one, many string }{
	{"a type", "pickup", "pickups"},
	{"a resistance", "pickup", "pickups"},
	{"a nominal value", "potentiometer", "potentiometers"},
	{"a measured value", "potentiometer", "potentiometers"},
	{"a value", "capacitor", "capacitors"},
	{"a voltage", "battery", "batteries"},
	{"the date it was fitted", "battery", "batteries"},
}

// lacks says what was not recorded of one component.
func lacks(c record.Component) []string {
	var out []string
	lack := func(yes bool, what string) {
		if yes {
			out = append(out, what)
		}
	}
	switch {
	case c.Pickup != nil:
		lack(c.Pickup.Type == "", "a type")
		lack(Wound(c.Pickup.Type) && c.Pickup.Resistance == nil, "a resistance")
	case c.Pot != nil:
		lack(c.Pot.Nominal == 0, "a nominal value")
		lack(c.Pot.Measured == nil, "a measured value")
	case c.Capacitor != nil:
		lack(c.Capacitor.Nominal == 0 && c.Capacitor.Measured == nil && strings.TrimSpace(c.Code) == "", "a value")
	case c.Battery != nil:
		lack(c.Battery.Voltage == nil, "a voltage")
		lack(c.Battery.Fitted == "", "the date it was fitted")
	}
	return out
}
