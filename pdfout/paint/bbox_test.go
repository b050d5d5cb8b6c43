package paint

import (
	"fmt"
	"regexp"
	"strconv"
)

var wordBox = regexp.MustCompile(`<word xMin="([\d.]+)" yMin="[\d.]+" xMax="([\d.]+)"`)

// scanWord reads where the first word of pdftotext -bbox begins and ends.
func scanWord(out string, x0, x1 *float64) (int, error) {
	m := wordBox.FindStringSubmatch(out)
	if m == nil {
		return 0, fmt.Errorf("no word in %q", out)
	}
	var err error
	if *x0, err = strconv.ParseFloat(m[1], 64); err != nil {
		return 0, err
	}
	*x1, err = strconv.ParseFloat(m[2], 64)
	return 1, err
}
