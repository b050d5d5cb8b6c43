package electronics

import (
	"fmt"
	"math"
	"strings"

	"wornwood/capture/record"
)

// Proposal is the nominal value that the code on a capacitor or a resistor
// says, where it can be read and is not what was entered. It is a proposal: a
// record changes only when somebody takes it.
func Proposal(c record.Component) (r Reading, ok bool) {
	if strings.TrimSpace(c.Code) == "" {
		return Reading{}, false
	}
	var err error
	nominal := 0.0
	switch c.Kind {
	case record.CapacitorComponent:
		r, err = Capacitor(c.Code)
		if c.Capacitor != nil {
			nominal = c.Capacitor.Nominal
		}
	case record.ResistorComponent:
		r, err = resistorCode(c.Code)
		if c.Resistor != nil {
			nominal = c.Resistor.Nominal
		}
	default:
		return Reading{}, false
	}
	if err != nil || math.Abs(nominal/r.Nominal-1) < 1e-9 {
		return Reading{}, false
	}
	return r, true
}

// Take enters a proposed nominal value.
func Take(c *record.Component, r Reading) {
	switch c.Kind {
	case record.CapacitorComponent:
		if c.Capacitor == nil {
			c.Capacitor = &record.Capacitor{}
		}
		c.Capacitor.Nominal = r.Nominal
	case record.ResistorComponent:
		if c.Resistor == nil {
			c.Resistor = &record.Resistor{}
		}
		c.Resistor.Nominal = r.Nominal
	}
}

// resistorCode reads letters and digits, or colour bands written as words.
func resistorCode(code string) (Reading, error) {
	if bands, ok := SplitBands(code); ok {
		return Bands(bands)
	}
	return Resistor(code)
}

// Decode reads a code of an unknown part in every way that it can be read: 223K
// is a capacitor of 22 nF, and could be a resistor of 223 kΩ. Readings of
// preferred values come first.
func Decode(code string) ([]Reading, error) {
	if bands, ok := SplitBands(code); ok {
		r, err := Bands(bands)
		if err != nil {
			return nil, err
		}
		return []Reading{r}, nil
	}
	var out []Reading
	r, errR := Resistor(code)
	if errR == nil {
		out = append(out, r)
	}
	c, errC := Capacitor(code)
	if errC == nil {
		out = append(out, c)
	}
	if len(out) == 0 {
		return nil, fmt.Errorf("%w; and not as a resistor's", errC)
	}
	if len(out) == 2 && E24.Has(c.Nominal) && !E24.Has(r.Nominal) {
		out[0], out[1] = out[1], out[0]
	}
	return out, nil
}
