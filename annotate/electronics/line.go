package electronics

import (
	"strconv"
	"strings"

	"wornwood/capture/record"
)

// Line is a component as a row of a table: window, verb and report show the
// same words.
type Line struct {
	Place    string
	What     string // type, nominal value, taper
	Measured string // with its unit
	Room     string // the temperature a resistance was read at
	At20     string // a winding's resistance at 20 °C
	Code     string
	Works    string
	State    string
}

// MeasuredAt is the measured value with the temperature it was read at.
func (l Line) MeasuredAt() string {
	if l.Room == "" {
		return l.Measured
	}
	return l.Measured + " at " + l.Room
}

// LineOf describes a component; fields that were not recorded are "".
func LineOf(c record.Component) Line {
	l := Line{Place: c.Place, Code: strings.TrimSpace(c.Code), Works: c.Works, State: string(c.State)}
	switch {
	case c.Pickup != nil:
		l.What = string(c.Pickup.Type)
		if r := c.Pickup.Resistance; r != nil {
			l.Measured = OhmsOf(*r)
			if t := c.Pickup.Ambient; t != nil && r.Value < Open {
				l.Room = t.String() + " °C"
			}
		}
		if q, ok := PickupAt20(c.Pickup); ok {
			l.At20 = At20Words(q)
		}
	case c.Pot != nil:
		l.What = joined(", ", valueWords(c.Pot.Nominal, Ohms), c.Pot.Taper)
		if q := c.Pot.Measured; q != nil {
			l.Measured = OhmsOf(*q)
		}
	case c.Capacitor != nil:
		l.What = joined(", ", valueWords(c.Capacitor.Nominal, Farads), c.Capacitor.Make)
		if q := c.Capacitor.Measured; q != nil {
			l.Measured = FaradsOf(*q)
		}
	case c.Resistor != nil:
		l.What = valueWords(c.Resistor.Nominal, Ohms)
		if q := c.Resistor.Measured; q != nil {
			l.Measured = OhmsOf(*q)
		}
	case c.Battery != nil:
		l.What = c.Battery.Type
		if c.Battery.Number > 1 {
			l.What = strconv.Itoa(c.Battery.Number) + " × " + l.What
		}
		if q := c.Battery.Voltage; q != nil {
			l.Measured = q.String() + " V"
		}
	}
	return l
}

// At20Words writes a resistance at 20 °C to the places that a meter has: two,
// or as its uncertainty leaves.
func At20Words(q record.Quantity) string {
	if q.Uncertainty > 0 {
		return q.String() + " kΩ"
	}
	return Ohms(roundTo(q.Value, 0.01))
}

// MoreOf says what else was measured, which a table has no column for.
func MoreOf(c record.Component) string {
	var out []string
	if p := c.Pickup; p != nil {
		if p.Inductance != nil {
			out = append(out, p.Inductance.String()+" H")
		}
		if p.Capacitance != nil {
			out = append(out, p.Capacitance.String()+" pF of the winding")
		}
	}
	if b := c.Battery; b != nil {
		if b.Fitted != "" {
			out = append(out, "fitted "+b.Fitted)
		}
		if b.Every > 0 {
			out = append(out, "changed every "+count(b.Every, "month", "months"))
		}
		if due, ok := BatteryDue(*b); ok {
			out = append(out, "next change by "+due.Format("2006-01-02"))
		}
		if h, usual, ok := Hours(*b); ok {
			s := "a fresh one lasts about " + HoursWords(h) + " at " + b.Current.String() + " mA"
			if usual {
				s += " (usual capacity)"
			}
			out = append(out, s)
		}
	}
	return strings.Join(out, ", ")
}

func valueWords(v float64, write func(float64) string) string {
	if v == 0 {
		return ""
	}
	return write(v)
}

func joined(sep string, parts ...string) string {
	var keep []string
	for _, p := range parts {
		if p != "" {
			keep = append(keep, p)
		}
	}
	return strings.Join(keep, sep)
}
