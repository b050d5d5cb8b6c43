package dating

import (
	"errors"
	"fmt"
	"slices"
	"strings"
)

// shape is a code's digits, parted.
type shape struct {
	source, year, week string
	left               string
}

// maxCode bounds what is typed as a code, in bytes; a part has room for less.
const maxCode = 80

var (
	errNoDigits = errors.New("there are no digits in it")
	errGlued    = errors.New("a letter or a point touches the digits, so it is no source-date code; type only the code, as 137-6634")
)

// findShape finds the one code in what was read on a part.
func findShape(code string) (shape, error) {
	if len(code) > maxCode {
		return shape{}, fmt.Errorf("it is longer than %d letters; type only the code", maxCode)
	}
	tokens := split(code)
	var found []shape
	var digits, glued bool
	for i := 0; i < len(tokens); {
		if !isDigits(tokens[i]) {
			glued = glued || strings.ContainsAny(tokens[i], "0123456789")
			i++
			continue
		}
		digits = true
		end := i
		for end < len(tokens) && isDigits(tokens[end]) {
			end++
		}
		for a := i; a < end; a++ {
			for n := 1; n <= 3 && a+n <= end; n++ {
				if s, ok := shapeOf(tokens[a : a+n]); ok {
					s.left = strings.Join(append(append([]string{}, tokens[:a]...), tokens[a+n:]...), " ")
					found = append(found, s)
				}
			}
		}
		i = end
	}
	switch {
	case len(found) == 1:
		return found[0], nil
	case len(found) > 1:
		return shape{}, errors.New("it can be read in more than one way; type only the code, with a space before the year")
	case glued && !digits:
		return shape{}, errGlued
	case !digits:
		return shape{}, errNoDigits
	}
	return shape{}, errors.New("a source-date code has 5 to 8 digits, as 137-6634; type only the code")
}

// split parts what was typed at spaces, dashes and any other sign but a letter,
// a digit, or a point or comma inside a number.
func split(code string) []string {
	words := strings.FieldsFunc(code, func(r rune) bool {
		switch {
		case r == '.' || r == ',':
			return false // 0.022 is a value and no code
		case r < 0x80:
			return !(r >= '0' && r <= '9' || r >= 'a' && r <= 'z' || r >= 'A' && r <= 'Z')
		}
		// Dashes and spaces beyond ASCII part it; letters and digits of other
		// scripts stay, and make their word none of digits.
		return r >= 0x2000 && r <= 0x206f || r == 0x2212 || r == 0xa0 || r == 0x3000
	})
	for i, w := range words {
		words[i] = strings.Trim(w, ".,")
	}
	return slices.DeleteFunc(words, func(w string) bool { return w == "" })
}

func isDigits(s string) bool { return s != "" && strings.Trim(s, "0123456789") == "" }

// shapeOf parts one to three neighbouring groups of digits; false when they
// have not the form of a code.
func shapeOf(g []string) (shape, bool) {
	switch len(g) {
	case 1:
		d := g[0]
		source := map[int]int{5: 2, 6: 3, 7: 3, 8: 4}[len(d)]
		if source == 0 {
			return shape{}, false
		}
		return shape{source: d[:source], year: d[source : len(d)-2], week: d[len(d)-2:]}, true
	case 2:
		date := g[1]
		if !isSource(g[0]) || (len(date) != 3 && len(date) != 4) {
			return shape{}, false
		}
		return shape{source: g[0], year: date[:len(date)-2], week: date[len(date)-2:]}, true
	}
	if !isSource(g[0]) || len(g[1]) > 2 || len(g[2]) > 2 || len(g[0])+len(g[1])+len(g[2]) < 5 {
		return shape{}, false
	}
	return shape{source: g[0], year: g[1], week: g[2]}, true
}

// isSource says whether a group of its own can be a source. The EIA gave out
// numbers of one to four digits; one digit beside a number is far more often
// something else and is not taken.
func isSource(s string) bool { return len(s) >= 2 && len(s) <= 4 }

// quoted is what was typed as an error shows it: short, on one line.
func quoted(s string) string {
	r := []rune(s)
	if len(r) > 40 {
		r = append(r[:39], '…')
	}
	return fmt.Sprintf("%q", string(r))
}
