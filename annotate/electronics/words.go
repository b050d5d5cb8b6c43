package electronics

import (
	"math"
	"strconv"
	"strings"

	"wornwood/capture/record"
)

// figure writes a number with up to three places and none too many.
func figure(v float64) string {
	return strconv.FormatFloat(math.Round(v*1000)/1000, 'f', -1, 64)
}

// Ohms writes kilohms in the unit that suits them: "470 Ω", "250 kΩ", "1 MΩ",
// "open".
func Ohms(kohm float64) string {
	switch a := math.Abs(kohm); {
	case kohm >= Open:
		return "open"
	case a > 0 && a < 1:
		return figure(kohm*1000) + " Ω"
	case a >= 1000:
		return figure(kohm/1000) + " MΩ"
	}
	return figure(kohm) + " kΩ"
}

// Farads writes nanofarads in the unit that suits them: "470 pF", "22 nF",
// "1 µF".
func Farads(nf float64) string {
	switch a := math.Abs(nf); {
	case a > 0 && a < 1:
		return figure(nf*1000) + " pF"
	case a >= 1000:
		return figure(nf/1000) + " µF"
	}
	return figure(nf) + " nF"
}

// OhmsOf writes a measured resistance with its uncertainty: "7.20 ± 0.05 kΩ";
// where none was stated, as Ohms does.
func OhmsOf(q record.Quantity) string {
	if q.Value >= Open {
		return "open"
	}
	if q.Uncertainty > 0 {
		return q.String() + " kΩ"
	}
	return Ohms(q.Value)
}

// FaradsOf writes a measured capacitance with its uncertainty.
func FaradsOf(q record.Quantity) string {
	if q.Uncertainty > 0 {
		return q.String() + " nF"
	}
	return Farads(q.Value)
}

// Name is what a component is called in a sentence: "neck pickup", "tone 1
// potentiometer"; by its identity where no place was given.
func Name(c record.Component) string {
	kind := string(c.Kind)
	if c.Kind == record.OtherComponent {
		kind = "component"
	}
	if place := strings.TrimSpace(c.Place); place != "" {
		if strings.HasSuffix(strings.ToLower(place), kind) {
			return place
		}
		return place + " " + kind
	}
	return kind + " " + c.ID[strings.LastIndex(c.ID, "-")+1:]
}

// percent writes a share as a whole per cent where it can: "25 %", "0.4 %".
func percent(share float64) string {
	p := math.Abs(share) * 100
	if p >= 9.5 {
		return figure(math.Round(p)) + " %"
	}
	return figure(math.Round(p*10)/10) + " %"
}

// beyond writes a share that lies outside a tolerance: with a place where a
// whole per cent would read as the limit itself.
func beyond(share float64, tol Tolerance) string {
	limit := tol.Above
	if share < 0 {
		limit = tol.Below
	}
	if p := math.Abs(share) * 100; math.Round(p) <= limit {
		return figure(math.Round(p*10)/10) + " %"
	}
	return percent(share)
}

// aboveBelow says on which side a share lies.
func aboveBelow(off float64) string {
	if off < 0 {
		return "below"
	}
	return "above"
}

func count(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return strconv.Itoa(n) + " " + many
}

// roundTo rounds to a multiple of step.
func roundTo(v, step float64) float64 { return math.Round(v/step) * step }

// upper gives a text a capital first letter.
func upper(s string) string {
	if s == "" {
		return s
	}
	return strings.ToUpper(s[:1]) + s[1:]
}
