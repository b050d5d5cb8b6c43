package electronics

import (
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"
)

// Reading is what a code on a part says.
type Reading struct {
	Nominal   float64   `json:"nominal"` // kilohms of a resistor, nanofarads of a capacitor
	Farads    bool      `json:"capacitor"`
	Tolerance Tolerance `json:"tolerance"`
	By        string    `json:"by"` // how it was read: "letter and digit code" ...
}

// String writes "22 nF ±10 %".
func (r Reading) String() string {
	s := Ohms(r.Nominal)
	if r.Farads {
		s = Farads(r.Nominal)
	}
	return strings.TrimSpace(s + " " + r.Tolerance.String())
}

// How a code was read.
const (
	byLetters = "letter and digit code"
	byDigits  = "three-digit code, picofarads"
	byFigure  = "figure in microfarads"
	byPico    = "figure in picofarads"
	byUnit    = "figure with its unit"
	byBands   = "colour bands"
)

// The powers of ten of the letters that stand for the decimal point, to
// kilohms and nanofarads.
var (
	ohmLetters   = map[byte]int{'R': -3, 'K': 0, 'M': 3, 'G': 6}
	faradLetters = map[byte]int{'P': -3, 'N': 0, 'U': 3}
)

var (
	letterOhms   = regexp.MustCompile(`^(\d*)([RKMG])(\d*)([A-Z]?)$`)
	pointOhms    = regexp.MustCompile(`^(\d*)\.(\d+)([RKMG])([A-Z]?)$`)
	letterFarads = regexp.MustCompile(`^(\d*)([PNU])(\d*)([A-Z]?)(?:\d{2,4}V?)?$`)
	pointFarads  = regexp.MustCompile(`^(\d*)\.(\d+)([PNU])F?([A-Z]?)(?:\d{2,4}V?)?$`)
	threeDigits  = regexp.MustCompile(`^(?:[0-3][A-Z])?(\d\d)(\d)([A-Z]?)(?:\d{2,4}V?|\d{2,4}VDC)?$`)
	microFarads  = regexp.MustCompile(`^(\d*)\.(\d+)(?:MFD|MF|UF|U)?([A-Z]?)(?:\d{2,4}V?)?$`)
	picoFarads   = regexp.MustCompile(`^(\d{1,2})([JKMZ]?)$`)
	wholeMicro   = regexp.MustCompile(`^(\d+)(?:MFD|MF)([A-Z]?)$`)
)

// Resistor reads the code on a resistor after IEC 60062: 4K7, R47, 2M2J. A
// figure without a letter is refused, because 470 may be 47 or 470 ohms.
func Resistor(code string) (Reading, error) {
	c := plainCode(code)
	c = strings.TrimSuffix(strings.ReplaceAll(strings.ReplaceAll(c, "OHMS", "R"), "OHM", "R"), ".")
	c = strings.Replace(strings.ReplaceAll(c, "Ω", ""), "RR", "R", 1)
	if m := pointOhms.FindStringSubmatch(c); m != nil {
		return assemble(code, m[1], m[2], ohmLetters[m[3][0]], m[4], false, byUnit)
	}
	if m := letterOhms.FindStringSubmatch(c); m != nil && m[1]+m[3] != "" && len(m[1]+m[3]) <= 4 {
		return assemble(code, m[1], m[3], ohmLetters[m[2][0]], m[4], false, byLetters)
	}
	if _, err := strconv.ParseFloat(c, 64); err == nil {
		return Reading{}, fmt.Errorf("the code %q has no letter R, K or M, so it may be ohms or a three-digit code: write 470R or 47R", strings.TrimSpace(code))
	}
	return Reading{}, undecoded(code, "resistor", "4K7, 470R or 2M2")
}

// Capacitor reads the code on a capacitor: letters and digits (4n7, 100n, 2u2)
// and tolerance letters after IEC 60062; three digits as picofarads (223 is
// 22 nF), a figure below 1 as microfarads (.022), one or two digits as
// picofarads, by the trade's practice. A rated voltage behind or a voltage
// code before is passed over.
func Capacitor(code string) (Reading, error) {
	c := plainCode(code)
	if m := pointFarads.FindStringSubmatch(c); m != nil {
		return assemble(code, m[1], m[2], faradLetters[m[3][0]], m[4], true, byUnit)
	}
	// A code has three figures at most; 100n63 is 100 nF of 63 volts written
	// without a gap, and is refused.
	if m := letterFarads.FindStringSubmatch(c); m != nil && m[1]+m[3] != "" && len(m[1]+m[3]) <= 3 {
		tol := m[4]
		if tol == "F" && m[3] == "" {
			tol = "" // 100nF: the farad, not a tolerance of 1 %
		}
		return assemble(code, m[1], m[3], faradLetters[m[2][0]], tol, true, byLetters)
	}
	if m := threeDigits.FindStringSubmatch(c); m != nil && !(m[3] == "N" && strings.Contains(code, "n")) { // 100n63 is no tolerance of 30 %
		exp := int(m[2][0] - '0')
		if exp >= 8 {
			exp -= 10 // 8 and 9 stand for hundredths and tenths
		}
		return assemble(code, m[1], "", exp-3, m[3], true, byDigits)
	}
	if m := microFarads.FindStringSubmatch(c); m != nil && strings.Trim(m[1], "0") == "" {
		return assemble(code, m[1], m[2], 3, m[3], true, byFigure)
	}
	if m := wholeMicro.FindStringSubmatch(c); m != nil {
		return assemble(code, m[1], "", 3, m[2], true, byFigure)
	}
	if m := picoFarads.FindStringSubmatch(c); m != nil {
		return assemble(code, m[1], "", -3, m[2], true, byPico)
	}
	return Reading{}, undecoded(code, "capacitor", "223K, 22n, 4n7 or .022")
}

// plainCode brings a code to capitals without blanks, with a decimal point.
func plainCode(code string) string {
	c := strings.NewReplacer("µ", "u", "μ", "u", ",", ".", " ", "", "\t", "", "±", "").Replace(strings.TrimSpace(code))
	return strings.ToUpper(c)
}

// assemble makes the value of digits before and after the point, exact because
// it goes through decimal figures.
func assemble(code, whole, part string, exp int, tol string, farads bool, by string) (Reading, error) {
	r := Reading{Farads: farads, By: by}
	if tol != "" {
		t, ok := toleranceOf(tol[0])
		if !ok {
			return Reading{}, fmt.Errorf("the code %q ends in %s, which stands for no tolerance", strings.TrimSpace(code), tol)
		}
		r.Tolerance = t
	}
	v, err := strconv.ParseFloat(whole+"."+part+"e"+strconv.Itoa(exp), 64)
	if err != nil || !(v > 0) || v > 1e9 {
		return Reading{}, fmt.Errorf("the code %q stands for no value above 0 that a part can have", strings.TrimSpace(code))
	}
	r.Nominal = v
	return r, nil
}

func undecoded(code, what, such string) error {
	return fmt.Errorf("the code %q was not understood as a value of a %s; such codes look like %s", strings.TrimSpace(code), what, such)
}

// Letters writes a value as a letter and digit code: 4K7, 470R, 4n7, 100p, with
// its tolerance letter. Values have at most four figures, of capacitors three.
func (r Reading) Letters() (string, error) {
	letters := []struct {
		letter string
		exp    int
	}{{"R", -3}, {"K", 0}, {"M", 3}, {"G", 6}}
	if r.Farads {
		letters = letters[:0]
		letters = append(letters, []struct {
			letter string
			exp    int
		}{{"p", -3}, {"n", 0}, {"u", 3}}...)
	}
	if !(r.Nominal >= 1e-6) || r.Nominal > 1e9 || (r.Farads && r.Nominal >= 1e6) {
		return "", fmt.Errorf("write code: a value of %v is beyond the letters", r.Nominal)
	}
	at := letters[0]
	for _, l := range letters {
		if r.Nominal >= math.Pow10(l.exp)*0.9999999 {
			at = l
		}
	}
	figures := 4
	if r.Farads {
		figures = 3
	}
	digits := strconv.FormatFloat(r.Nominal/math.Pow10(at.exp), 'g', figures, 64)
	v, err := strconv.ParseFloat(digits, 64)
	if err != nil {
		return "", fmt.Errorf("write code: %w", err)
	}
	whole, part, _ := strings.Cut(strconv.FormatFloat(v, 'f', -1, 64), ".")
	if whole == "0" {
		whole = ""
	}
	return whole + at.letter + part + r.Tolerance.Letter(), nil
}

// Digits writes a capacitor's value as a three-digit code in picofarads, with
// its tolerance letter: 22 nF is 223. Values have two figures.
func (r Reading) Digits() (string, error) {
	pf := r.Nominal * 1000
	if !r.Farads || !(pf >= 0.1) || pf >= 99.5e7 {
		return "", fmt.Errorf("write code: only capacitors from 0.1 pF have a three-digit code")
	}
	if r.Tolerance.Letter() == "N" {
		return "", fmt.Errorf("write code: three digits and an N would read as nanofarads")
	}
	exp := int(math.Floor(math.Log10(pf)+1e-9)) - 1
	m := math.Round(pf / math.Pow10(exp))
	if m >= 100 {
		m, exp = m/10, exp+1
	}
	if exp < 0 {
		exp += 10
	}
	return fmt.Sprintf("%02.0f%d%s", m, exp, r.Tolerance.Letter()), nil
}
