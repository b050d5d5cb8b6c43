package dating

import (
	"fmt"
	"strings"
	"time"
)

// Week is one week of a year, 1 to 53. The zero Week stands for an open end of
// a Range.
type Week struct{ Year, Week int }

// slots is how many weeks every year is given, so that weeks of all years stand
// in one order. A year that counts 52 has an empty last slot.
const slots = 53

// IsZero says whether w is no week but an open end.
func (w Week) IsZero() bool { return w == Week{} }

// index orders weeks.
func (w Week) index() int { return w.Year*slots + w.Week - 1 }

func weekAt(i int) Week { return Week{i / slots, i%slots + 1} }

// Compare orders two weeks: below 0, 0, above 0.
func (w Week) Compare(o Week) int { return w.index() - o.index() }

// String is the week as ISO 8601 writes one, "1966-W34"; "" for an open end.
func (w Week) String() string {
	if w.IsZero() {
		return ""
	}
	return fmt.Sprintf("%04d-W%02d", w.Year, w.Week)
}

// Words is the week in words, "week 34 of 1966".
func (w Week) Words() string { return fmt.Sprintf("week %d of %d", w.Week, w.Year) }

// MarshalText writes the week as String does.
func (w Week) MarshalText() ([]byte, error) { return []byte(w.String()), nil }

// Month names the month in which the week lies after ISO 8601, by its Thursday.
// Makers counted weeks in their own ways, so it is an aid and no date.
func (w Week) Month() string {
	if w.IsZero() {
		return ""
	}
	// The 4th of January is in week 1 of its year (ISO 8601).
	d := time.Date(w.Year, 1, 4, 0, 0, 0, 0, time.UTC)
	monday := d.AddDate(0, 0, -(int(d.Weekday())+6)%7)
	th := monday.AddDate(0, 0, 7*(w.Week-1)+3)
	if th.Year() > w.Year { // a week 53 that ISO does not have
		return "December"
	}
	return th.Month().String()
}

// weekList is weeks in words, those of the same number together: "week 34 of
// 1956, 1966 or 1976".
func weekList(ws []Week) string {
	if len(ws) == 0 {
		return ""
	}
	years := make([]string, len(ws))
	for i, w := range ws {
		if w.Week != ws[0].Week {
			return mixedWeeks(ws)
		}
		years[i] = fmt.Sprint(w.Year)
	}
	return fmt.Sprintf("week %d of %s", ws[0].Week, either(years))
}

func mixedWeeks(ws []Week) string {
	var out []string
	for _, w := range ws {
		out = append(out, w.Words())
	}
	return either(out)
}

// either joins words by commas and "or".
func either(s []string) string { return joined(s, "or") }

// both joins words by commas and "and".
func both(s []string) string { return joined(s, "and") }

func joined(s []string, last string) string {
	if len(s) < 2 {
		return strings.Join(s, "")
	}
	return strings.Join(s[:len(s)-1], ", ") + " " + last + " " + s[len(s)-1]
}
