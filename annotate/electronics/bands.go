package electronics

import (
	"fmt"
	"math"
	"slices"
	"strings"
)

// colours of IEC 60062 in the order of the figures 0 to 9.
var colours = []string{"black", "brown", "red", "orange", "yellow", "green", "blue", "violet", "grey", "white"}

// The multipliers and tolerances of the colours (IEC 60062, from memory; grey
// as in the edition of 2016, earlier ones give it 0.05 %).
var (
	bandPowers = map[string]int{"gold": -1, "silver": -2, "pink": -3}
	bandLimits = []struct {
		colour string
		limit  float64 // per cent
	}{{"brown", 1}, {"red", 2}, {"orange", 0.05}, {"yellow", 0.02}, {"green", 0.5}, {"blue", 0.25}, {"violet", 0.1}, {"grey", 0.01},
		{"gold", 5}, {"silver", 10}}
)

// Bands reads the colour bands of a resistor, the first one nearest to an end:
// three bands (two figures, a multiplier, 20 %), four (a tolerance besides) or
// five (three figures).
func Bands(bands []string) (Reading, error) {
	if len(bands) < 3 || len(bands) > 5 {
		return Reading{}, fmt.Errorf("read bands: a resistor has three, four or five of them, not %d", len(bands))
	}
	figures := 2
	if len(bands) == 5 {
		figures = 3
	}
	digits := ""
	for _, b := range bands[:figures] {
		i := slices.Index(colours, colourName(b))
		if i < 0 {
			return Reading{}, fmt.Errorf("read bands: %s stands for no figure; the resistor may have been read from its other end", b)
		}
		digits += string(rune('0' + i))
	}
	name := colourName(bands[figures])
	power, ok := bandPowers[name]
	if i := slices.Index(colours, name); i >= 0 {
		power, ok = i, true
	}
	if !ok {
		return Reading{}, fmt.Errorf("read bands: %s is no multiplier", bands[figures])
	}
	r, err := assemble(strings.Join(bands, " "), digits, "", power-3, "", false, byBands)
	if err != nil {
		return Reading{}, err
	}
	r.Tolerance = Tolerance{20, 20}
	if len(bands) > 3 {
		limit, ok := limitOf(bands[len(bands)-1])
		if !ok {
			return Reading{}, fmt.Errorf("read bands: %s stands for no tolerance; the resistor may have been read from its other end", bands[len(bands)-1])
		}
		r.Tolerance = Tolerance{limit, limit}
	}
	return r, nil
}

func limitOf(band string) (float64, bool) {
	for _, e := range bandLimits {
		if e.colour == colourName(band) {
			return e.limit, true
		}
	}
	return 0, false
}

// SplitBands reads colours as people write them: "yellow violet red gold",
// also with commas or hyphens. ok is false where a word is no colour.
func SplitBands(text string) (bands []string, ok bool) {
	words := strings.FieldsFunc(text, func(r rune) bool { return strings.ContainsRune(" ,;-/\t", r) })
	for _, w := range words {
		n := colourName(w)
		if _, metal := bandPowers[n]; !metal && !slices.Contains(colours, n) {
			return nil, false
		}
		bands = append(bands, n)
	}
	return bands, len(bands) > 0
}

func colourName(s string) string {
	s = strings.ToLower(strings.TrimSpace(s))
	switch s {
	case "gray":
		return "grey"
	case "purple":
		return "violet"
	}
	return s
}

// ColourBands writes a resistor's value in so many bands, 3 to 5. A value with
// more figures than they hold, or a tolerance without a colour, is refused.
func (r Reading) ColourBands(n int) ([]string, error) {
	if r.Farads || n < 3 || n > 5 {
		return nil, fmt.Errorf("write bands: only resistors have them, three to five")
	}
	figures := 2
	if n == 5 {
		figures = 3
	}
	ohms := r.Nominal * 1000
	if !(ohms > 0) || math.IsInf(ohms, 0) {
		return nil, fmt.Errorf("write bands: a value of 0 or less has none")
	}
	power := int(math.Floor(math.Log10(ohms)+1e-9)) - figures + 1
	m := math.Round(ohms / math.Pow10(power))
	if math.Abs(m*math.Pow10(power)/ohms-1) > 1e-6 {
		return nil, fmt.Errorf("write bands: %s has more figures than %d bands hold", Ohms(r.Nominal), n)
	}
	text := fmt.Sprintf("%0*.0f", figures, m)
	var out []string
	for _, d := range text {
		out = append(out, colours[d-'0'])
	}
	mult := ""
	if power >= 0 && power < len(colours) {
		mult = colours[power]
	}
	for c, p := range bandPowers {
		if p == power {
			mult = c
		}
	}
	if mult == "" {
		return nil, fmt.Errorf("write bands: no colour multiplies so far as %s", Ohms(r.Nominal))
	}
	out = append(out, mult)
	if n == 3 {
		return out, nil
	}
	for _, e := range bandLimits {
		if r.Tolerance == (Tolerance{e.limit, e.limit}) {
			return append(out, e.colour), nil
		}
	}
	return nil, fmt.Errorf("write bands: no colour stands for a tolerance of %s", r.Tolerance)
}
