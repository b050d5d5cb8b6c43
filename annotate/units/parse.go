package units

import (
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"
)

// most is the longest length that is taken, mm: no instrument has a longer one.
const most = 10000

// perUnit are the units that may be typed, in mm.
var perUnit = map[string]float64{
	"mm": 1, "millimetre": 1, "millimetres": 1, "millimeter": 1, "millimeters": 1,
	"cm": 10, "in": PerInch, "in.": PerInch, "inch": PerInch, "inches": PerInch, `"`: PerInch,
	"thou": PerInch / 1000, "thousandth": PerInch / 1000, "thousandths": PerInch / 1000,
}

// written is how a unit is written in Length.Text.
func written(unit string) string {
	switch per := perUnit[unit]; per {
	case 1:
		return "mm"
	case 10:
		return "cm"
	case PerInch:
		return "in"
	}
	return "thou"
}

var (
	whole   = regexp.MustCompile(`^([+-]?)\s*([0-9./, -]*[0-9.])\s*([a-z".]*)$`)
	decimal = regexp.MustCompile(`^(?:[0-9]+(?:\.[0-9]*)?|\.[0-9]+)$`)
	mixed   = regexp.MustCompile(`^(?:([0-9]+)[ -]+)?([0-9]+) ?/ ?([0-9]+)$`)
)

// odd are the signs that keyboards and copied texts bring instead of plain ones.
var odd = strings.NewReplacer("−", "-", "–", "-", "″", `"`, "”", `"`, "“", `"`, "''", `"`, "’’", `"`, "⁄", "/", "\u00a0", " ", "\u202f", " ",
	"½", " 1/2", "¼", " 1/4", "¾", " 3/4", "⅛", " 1/8", "⅜", " 3/8", "⅝", " 5/8", "⅞", " 7/8", "+/-", "±", "+-", "±")

// Parse reads a length: "1.6", "1,6 mm", "0.063 in", `.063"`, "63 thou",
// "5/64", `1 3/16"`, each with "± 0.05" behind the figure where an uncertainty
// is stated. A bare figure is in the unit given; a bare fraction is of an inch,
// because nobody divides a millimetre so. A fraction was read on a rule of 64ths
// unless it is finer, since 4/64 is often called 1/16.
func Parse(text string, bare Unit) (Length, error) {
	if len(text) > 60 {
		return Length{}, nonsense(text[:60] + "…")
	}
	s := strings.Join(strings.Fields(strings.ToLower(odd.Replace(text))), " ")
	value, doubt, stated := strings.Cut(s, "±")
	unit := ""
	if stated { // the unit stands behind both, or behind either
		var err error
		if doubt, unit, err = splitUnit(doubt, text); err != nil {
			return Length{}, err
		}
	}
	value, own, err := splitUnit(value, text)
	if err != nil {
		return Length{}, err
	}
	if own == "" {
		own = unit
	}
	l, name, err := measure(value, own, text, bare)
	if err != nil || !stated {
		return l, err
	}
	if unit == "" {
		unit = name
	}
	u, err := strconv.ParseFloat(point(doubt), 64)
	if err != nil || !(u > 0) || u*perUnit[unit] > most {
		return Length{}, fmt.Errorf("read length: %q has no uncertainty above 0 behind ±", text)
	}
	l.Stated = u * perUnit[unit]
	l.Text += " ± " + strings.TrimSpace(doubt) + " " + written(unit)
	return l, nil
}

// splitUnit parts the figure from the unit behind it, "" for none.
func splitUnit(s, text string) (figure, unit string, err error) {
	m := whole.FindStringSubmatch(strings.TrimSpace(s))
	if m == nil {
		return "", "", nonsense(text)
	}
	figure, unit = m[1]+strings.TrimSpace(m[2]), m[3]
	if _, ok := perUnit[unit]; ok || unit == "" {
		return figure, unit, nil
	}
	if unit == "mil" || unit == "mils" {
		return "", "", fmt.Errorf("read length: in %q a mil may be a thousandth of an inch or a millimetre; write thou or mm", text)
	}
	return "", "", fmt.Errorf("read length: in %q the unit %q is none that is known here; write mm, cm, in or thou", text, unit)
}

// measure turns a figure into a length; name is its unit.
func measure(figure, unit, text string, bare Unit) (l Length, name string, err error) {
	sign := 1.0
	switch figure[0] {
	case '-':
		sign, figure = -1, figure[1:]
	case '+':
		figure = figure[1:]
	}
	figure = strings.TrimSpace(figure)
	n, step, broken, err := number(figure, text)
	if err != nil {
		return l, "", err
	}
	name = unit
	switch {
	case unit == "" && broken:
		name = "in"
	case unit == "":
		name = string(bare)
	}
	per := perUnit[name]
	l = Length{MM: sign * n.times(per), Resolution: step * per, Text: figure + " " + written(name)}
	if broken && per == PerInch {
		l.Resolution = math.Min(1.0/64, step) * per
	}
	if sign < 0 {
		l.Text = "-" + l.Text
	}
	if math.Abs(l.MM) > most {
		return Length{}, "", fmt.Errorf("read length: %q is longer than ten metres, which no instrument is", text)
	}
	return l, name, nil
}

// ratio keeps a fraction's parts, so that 5/64 in comes out as exactly 5 x 25.4
// / 64 mm.
type ratio struct{ over, under float64 }

func (r ratio) times(x float64) float64 { return r.over * x / r.under }

// number reads a decimal or a fraction; step is the least it distinguishes.
func number(s, text string) (n ratio, step float64, broken bool, err error) {
	if m := mixed.FindStringSubmatch(s); m != nil {
		a, _ := strconv.Atoi(m[1]) // "" is 0; digits only, so nothing else fails but a length that is refused below
		b, errB := strconv.Atoi(m[2])
		c, errC := strconv.Atoi(m[3])
		switch {
		case errB != nil || errC != nil || a > most || b > most:
			return n, 0, false, nonsense(text)
		case c < 2 || c > 128 || c&(c-1) != 0:
			return n, 0, false, fmt.Errorf("read length: %q is no fraction of a rule; those go by halves down to 64ths", text)
		case m[1] != "" && b >= c:
			return n, 0, false, fmt.Errorf("read length: in %q the fraction behind the whole number is one or more", text)
		}
		return ratio{float64(a*c + b), float64(c)}, 1 / float64(c), true, nil
	}
	s = point(s)
	if !decimal.MatchString(s) {
		return n, 0, false, nonsense(text)
	}
	v, err := strconv.ParseFloat(s, 64)
	if err != nil {
		return n, 0, false, nonsense(text)
	}
	step = 1
	if _, places, ok := strings.Cut(s, "."); ok {
		step = math.Pow(10, -float64(min(len(places), 9)))
	}
	return ratio{v, 1}, step, false, nil
}

// point makes a decimal comma a point; a figure with both keeps both and is
// refused by who reads it.
func point(s string) string {
	s = strings.TrimSpace(s)
	if strings.Count(s, ",") == 1 && !strings.Contains(s, ".") {
		return strings.Replace(s, ",", ".", 1)
	}
	return s
}

func nonsense(text string) error {
	return fmt.Errorf("read length: %q is no length; write it like 1.6 mm, .063 in, 5/64 in or 63 thou", text)
}

// Angle reads an angle in degrees: "8", "7.5°", "8 deg". Angles below 0 and
// beyond a turn are refused.
func Angle(text string) (float64, error) {
	s := strings.ToLower(strings.TrimSpace(text))
	for _, unit := range []string{"degrees", "degree", "deg", "°"} {
		if t, ok := strings.CutSuffix(s, unit); ok {
			s = strings.TrimSpace(t)
			break
		}
	}
	s = point(s)
	if v, err := strconv.ParseFloat(s, 64); err == nil && decimal.MatchString(s) && v <= 360 {
		return v, nil
	}
	return 0, fmt.Errorf("read angle: %q is no angle from 0 to 360 degrees; write it like 8 or 7.5°", text)
}
