package view

import (
	"fmt"
	"strings"
	"time"

	"wornwood/annotate/electronics"
	"wornwood/capture/record"
)

func pickupFields() []ComponentField {
	resistance := quantityField("resistance", "DC resistance", "kΩ", func(c *record.Component) **record.Quantity { return &c.Pickup.Resistance })
	resistance.Fast = true
	resistance.Hint = "7.2, or open"
	return []ComponentField{
		choiceField("type", "Type", wordsOf(record.PickupTypes()), func(c *record.Component) string { return string(c.Pickup.Type) },
			func(c *record.Component, t string) { c.Pickup.Type = record.PickupType(t) }),
		resistance,
		quantityField("ambient", "Room temperature", "°C", func(c *record.Component) **record.Quantity { return &c.Pickup.Ambient }),
		quantityField("inductance", "Inductance", "H", func(c *record.Component) **record.Quantity { return &c.Pickup.Inductance }),
		quantityField("winding", "Winding capacitance", "pF", func(c *record.Component) **record.Quantity { return &c.Pickup.Capacitance }),
	}
}

func potFields() []ComponentField {
	nominal := figureField("nominal", "Nominal", "kΩ", func(c *record.Component) *float64 { return &c.Pot.Nominal })
	measured := quantityField("measured", "Measured, end to end", "kΩ", func(c *record.Component) **record.Quantity { return &c.Pot.Measured })
	nominal.Fast, measured.Fast = true, true
	return []ComponentField{
		choiceField("role", "Role", record.PotRoles(), func(c *record.Component) string { return c.Pot.Role },
			func(c *record.Component, t string) { c.Pot.Role = t }),
		nominal, measured,
		choiceField("taper", "Taper", record.Tapers(), func(c *record.Component) string { return c.Pot.Taper },
			func(c *record.Component, t string) { c.Pot.Taper = t }),
	}
}

func capacitorFields() []ComponentField {
	nominal := figureField("nominal", "Nominal", "nF", func(c *record.Component) *float64 { return &c.Capacitor.Nominal })
	measured := quantityField("measured", "Measured", "nF", func(c *record.Component) **record.Quantity { return &c.Capacitor.Measured })
	nominal.Fast, measured.Fast = true, true
	kind := textField("make", "Make", "film, ceramic, paper in oil …", nil)
	kind.Get = func(c record.Component) string { return electronics.Whole(c).Capacitor.Make }
	kind.Put = func(c *record.Component, t string) error {
		*c = electronics.Whole(*c)
		c.Capacitor.Make = strings.TrimSpace(t)
		return nil
	}
	return []ComponentField{
		choiceField("role", "Role", record.CapacitorRoles(), func(c *record.Component) string { return c.Capacitor.Role },
			func(c *record.Component, t string) { c.Capacitor.Role = t }),
		nominal, measured, kind,
	}
}

func resistorFields() []ComponentField {
	nominal := figureField("nominal", "Nominal", "kΩ", func(c *record.Component) *float64 { return &c.Resistor.Nominal })
	measured := quantityField("measured", "Measured", "kΩ", func(c *record.Component) **record.Quantity { return &c.Resistor.Measured })
	nominal.Fast, measured.Fast = true, true
	return []ComponentField{nominal, measured}
}

func batteryFields() []ComponentField {
	var types []string
	for _, c := range electronics.Cells {
		types = append(types, c.Name)
	}
	kind := choiceField("type", "Type", types, func(c *record.Component) string { return c.Battery.Type },
		func(c *record.Component, t string) { c.Battery.Type = t })
	choose := kind.Put
	kind.Put = func(c *record.Component, t string) error {
		if cell, ok := electronics.CellOf(t); ok {
			t = cell.Name
		}
		return choose(c, t)
	}
	voltage := quantityField("voltage", "Voltage, each", "V", func(c *record.Component) **record.Quantity { return &c.Battery.Voltage })
	fitted := dateField("fitted", "Fitted on", "2026-11-14, or today", false, func(c *record.Component) *string { return &c.Battery.Fitted })
	every := wholeField("every", "Change every", "months", func(c *record.Component) *int { return &c.Battery.Every })
	voltage.Fast, fitted.Fast, every.Fast = true, true, true
	return []ComponentField{
		kind,
		wholeField("number", "How many", "", func(c *record.Component) *int { return &c.Battery.Number }),
		voltage, fitted, every,
		dateField("expires", "Date printed on it", "2027-03", true, func(c *record.Component) *string { return &c.Battery.Expires }),
		figureField("capacity", "Capacity", "mAh", func(c *record.Component) *float64 { return &c.Battery.Capacity }),
		quantityField("current", "Current drawn", "mA", func(c *record.Component) **record.Quantity { return &c.Battery.Current }),
	}
}

// dateField takes a date as the record holds it; month allows a month alone.
// "today" becomes the examination's day when the model puts it in.
func dateField(key, label, hint string, month bool, at func(*record.Component) *string) ComponentField {
	return ComponentField{Key: key, Label: label, Hint: hint,
		Get: func(c record.Component) string { c = electronics.Whole(c); return *at(&c) },
		Put: func(c *record.Component, t string) error {
			t = strings.TrimSpace(t)
			_, err := time.Parse(time.DateOnly, t)
			if month && err != nil {
				_, err = time.Parse("2006-01", t)
			}
			if t != "" && err != nil {
				return fmt.Errorf("set %s: %q is not a date like 2026-11-14", strings.ToLower(label), t)
			}
			*c = electronics.Whole(*c)
			*at(c) = t
			return nil
		}}
}
