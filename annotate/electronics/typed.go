package electronics

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"wornwood/capture/record"
)

// suffixes are the units that may be typed behind a figure of a field, in small
// letters, and what they multiply it by to the field's own unit.
var suffixes = map[string]map[string]float64{
	"kΩ":     {"k": 1, "kohm": 1, "kω": 1, "ω": 1e-3, "r": 1e-3, "ohm": 1e-3, "m": 1e3, "mω": 1e3, "mohm": 1e3},
	"nF":     {"n": 1, "nf": 1, "p": 1e-3, "pf": 1e-3, "u": 1e3, "uf": 1e3, "µ": 1e3, "µf": 1e3, "mfd": 1e3},
	"pF":     {"p": 1, "pf": 1, "n": 1e3, "nf": 1e3},
	"H":      {"h": 1, "mh": 1e-3},
	"°C":     {"c": 1, "°c": 1, "°": 1},
	"V":      {"v": 1, "mv": 1e-3},
	"mA":     {"ma": 1, "µa": 1e-3, "ua": 1e-3},
	"mAh":    {"mah": 1, "ah": 1e3},
	"months": {"month": 1, "months": 1},
}

// openWords are what people write of a meter that shows no connection.
var openWords = []string{"open", "ol", "∞", "inf", "infinite"}

// Typed reads a measured value as people type it into a field of the unit:
// "7,2", "7.2 ± 0.05", "7200 Ω" in a field of kilohms, "open" of a resistance.
// nil is an empty field.
func Typed(text, unit string) (*record.Quantity, error) {
	t := strings.TrimSpace(strings.NewReplacer("+/-", "±", "+-", "±", "μ", "µ", "Ω", "ω").Replace(text))
	if t == "" {
		return nil, nil
	}
	if unit == "kΩ" {
		for _, w := range openWords {
			if strings.EqualFold(t, w) {
				return &record.Quantity{Value: Open, How: "meter over its range"}, nil
			}
		}
	}
	value, spread, has := strings.Cut(t, "±")
	q := &record.Quantity{}
	factor := 0.0
	if has {
		u, f, err := number1(spread, unit)
		if err != nil || u < 0 {
			return nil, notUnderstood(text, unit)
		}
		q.Uncertainty, factor = u*f, f
	}
	v, f, err := number1(value, unit)
	if err != nil || (v < 0 && unit != "°C") {
		return nil, notUnderstood(text, unit)
	}
	if has && !suffixed(value) { // 7200 ± 50 Ω: the unit behind counts for both
		f = factor
	}
	q.Value = v * f
	if math.Abs(q.Value) > 1e9 || q.Uncertainty > 1e9 {
		return nil, notUnderstood(text, unit)
	}
	return q, nil
}

// Figure reads a nominal figure in the unit, 0 for an empty field. A letter and
// digit code is understood too: 4K7 in a field of kilohms, 4n7 in one of
// nanofarads.
func Figure(text, unit string) (float64, error) {
	q, err := Typed(text, unit)
	if err != nil && (unit == "kΩ" || unit == "nF") {
		read := Resistor
		if unit == "nF" {
			read = Capacitor
		}
		if r, codeErr := read(text); codeErr == nil {
			return r.Nominal, nil
		}
	}
	if err != nil || q == nil {
		return 0, err
	}
	if q.Uncertainty != 0 || q.Value < 0 || q.Value >= Open {
		return 0, notUnderstood(text, unit)
	}
	return q.Value, nil
}

func notUnderstood(text, unit string) error {
	of := ""
	if unit != "" {
		of = " in " + unit
	}
	return fmt.Errorf("%q is not a figure%s; write it like 7.2 or 7,2, with ± 0.05 where its uncertainty is known", strings.TrimSpace(text), of)
}

// suffixed tells whether a figure ends in a unit.
func suffixed(s string) bool {
	s = strings.TrimSpace(s)
	return s != "" && !strings.ContainsRune("0123456789.,", rune(s[len(s)-1]))
}

// number1 reads one figure and the factor of the unit behind it.
func number1(s, unit string) (v, factor float64, err error) {
	s = strings.TrimSpace(s)
	at := strings.IndexFunc(s, func(r rune) bool { return !strings.ContainsRune("0123456789.,+-−", r) })
	tail := ""
	if at >= 0 {
		s, tail = strings.TrimSpace(s[:at]), strings.ToLower(strings.TrimSpace(s[at:]))
	}
	factor = 1
	if tail != "" {
		f, ok := suffixes[unit][tail]
		if !ok {
			return 0, 0, fmt.Errorf("unknown unit %q", tail)
		}
		factor = f
	}
	s = strings.Replace(strings.Replace(s, "−", "-", 1), ",", ".", 1)
	v, err = strconv.ParseFloat(s, 64)
	if err == nil && (math.IsNaN(v) || math.IsInf(v, 0)) {
		err = fmt.Errorf("no number")
	}
	return v, factor, err
}

// Shown writes a measured value as a field shows it, so that Typed reads the
// same again.
func Shown(q *record.Quantity, unit string) string {
	switch {
	case q == nil:
		return ""
	case unit == "kΩ" && q.Value >= Open:
		return "open"
	case q.Uncertainty > 0:
		return plain(q.Value) + " ± " + plain(q.Uncertainty)
	}
	return plain(q.Value)
}

// ShownFigure writes a nominal figure, "" for 0.
func ShownFigure(v float64) string {
	if v == 0 {
		return ""
	}
	return plain(v)
}

func plain(v float64) string {
	return strconv.FormatFloat(math.Round(v*1e6)/1e6, 'f', -1, 64)
}
