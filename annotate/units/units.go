// Package units reads lengths as a repairer types them, in millimetres or
// inches, and writes them as a rule, a feeler gauge or a calliper shows them.
//
// Start with Parse and Format. The record keeps millimetres; an inch is exactly
// 25.4 mm (international yard and pound agreement of 1959; ISO 80000-3).
// Fractions are of an inch, down to 64ths as rules have them. The package knows
// lengths and angles only.
package units

import (
	"fmt"
	"math"
	"strings"
)

// Unit is a unit of length in which a bench works.
type Unit string

// The units of length of a bench.
const (
	MM   Unit = "mm"
	Inch Unit = "in"
)

// PerInch is how many millimetres an inch has, exactly.
const PerInch = 25.4

// ParseUnit reads a bench's setting; "" is mm.
func ParseUnit(s string) (Unit, error) {
	switch Unit(s) {
	case "", MM:
		return MM, nil
	case Inch:
		return Inch, nil
	}
	return "", fmt.Errorf("read unit: %q is neither mm nor in", s)
}

// Length is a length as it was typed.
type Length struct {
	MM         float64
	Resolution float64 // mm: the last figure's step, or a 64th of an inch
	Stated     float64 // standard uncertainty typed behind ±, mm; 0 for none
	Text       string  // as typed, tidied, with its unit: "5/64 in"
}

// Uncertainty is the standard uncertainty in mm: the one stated, else that of
// reading to the resolution, which is its step over the root of twelve (JCGM
// 100:2008, F.2.2.1: a digital reading is equally likely anywhere in its step).
func (l Length) Uncertainty() float64 {
	if l.Stated > 0 {
		return l.Stated
	}
	return l.Resolution / math.Sqrt(12)
}

// Style says how a length is written in inches.
type Style uint8

// The styles.
const (
	Sixtyfourths Style = iota // a rule's: 5/64 in
	Thousandths               // a feeler gauge's: .008 in
)

// sameFraction is how far, in inches, a length may lie from a 64th to be
// written as one: half a thousandth, which is what is lost anyway when a
// length is written in thousandths.
const sameFraction = 0.0005

// Format writes a length with its unit: "1.6 mm", "4/64 in", ".065 in".
func Format(mm float64, u Unit, s Style) string { return Figure(mm, u, s) + " " + string(u) }

// Figure is Format without the unit. Millimetres have at most two places. A
// length that no 64th fits within half a thousandth is written in thousandths
// in either style.
func Figure(mm float64, u Unit, s Style) string {
	if u != Inch {
		return trimmed(fmt.Sprintf("%.2f", mm))
	}
	in := mm / PerInch
	if s == Sixtyfourths {
		if n := math.Round(in * 64); math.Abs(in-n/64) <= sameFraction+1e-12 {
			return fraction(int(n))
		}
	}
	t := fmt.Sprintf("%.3f", math.Abs(in))
	switch {
	case t == "0.000":
		return "0"
	case in < 0:
		return "-" + strings.TrimPrefix(t, "0")
	}
	return strings.TrimPrefix(t, "0")
}

// fraction writes so many 64ths of an inch; they are not cancelled, as nobody
// wants to compare 1/16 with 5/64.
func fraction(n int) string {
	sign := ""
	if n < 0 {
		sign, n = "-", -n
	}
	whole, part := n/64, n%64
	switch {
	case part == 0:
		return sign + fmt.Sprint(whole)
	case whole == 0:
		return sign + fmt.Sprintf("%d/64", part)
	}
	return sign + fmt.Sprintf("%d %d/64", whole, part)
}

// trimmed takes the zeros behind a point away.
func trimmed(s string) string {
	s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
	if s == "-0" {
		return "0"
	}
	return s
}
