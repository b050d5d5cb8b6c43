package catalogue

import (
	"fmt"
	"regexp"
	"strconv"
	"strings"
	"time"
	"unicode"
)

// writtenOut is the largest number that is written out in words.
const writtenOut = 12

// Number writes a number out where it is small.
func (t *Text) Number(n int) string {
	if n >= 0 && n <= writtenOut {
		return t.Say("number." + strconv.Itoa(n))
	}
	return strconv.Itoa(n)
}

// List joins words as a sentence does: "a, b and c".
func (t *Text) List(items []string) string { return t.joined(items, "list.and") }

// Choice joins words of which one holds: "a, b or c".
func (t *Text) Choice(items []string) string { return t.joined(items, "list.or") }

func (t *Text) joined(items []string, last string) string {
	if len(items) < 2 {
		return strings.Join(items, "")
	}
	return t.Say(last, strings.Join(items[:len(items)-1], t.Say("list.comma")), items[len(items)-1])
}

// point is a decimal point between figures. Two of them in a row, as in a date
// or a version, are none.
var point = regexp.MustCompile(`(^|[^0-9.,])(\d+)\.(\d+)($|[^0-9.]|\.$|\.[^0-9])`)

// bare is a figure without one before its point, as fractions of an inch have.
var bare = regexp.MustCompile(`(^|[^\p{L}0-9.,])\.(\d)`)

// Figures writes the decimal points of figures as the language does. It is for
// measured values, never for a user's text.
func (t *Text) Figures(s string) string {
	sep := t.Say("figures.point")
	if sep == "." || !strings.Contains(s, ".") {
		return s
	}
	s = bare.ReplaceAllString(s, "${1}0.${2}")
	for {
		out := point.ReplaceAllString(s, "${1}${2}"+sep+"${3}${4}")
		if out == s {
			return s
		}
		s = out
	}
}

// Date is a day in words, "" for none.
func (t *Text) Date(at time.Time) string {
	if at.IsZero() {
		return ""
	}
	return t.Say("date.day", at.Day(), t.month(at), at.Year())
}

// DateTime is a time in words to the minute, with its zone.
func (t *Text) DateTime(at time.Time) string {
	return t.Say("date.time", t.Date(at), at.Format("15:04 -07:00"))
}

// Short is a time with the month shortened, without a zone.
func (t *Text) Short(at time.Time) string {
	return t.Say("date.short", at.Day(), t.Say(fmt.Sprintf("month.short.%d", at.Month())), at.Year(), at.Format("15:04"))
}

func (t *Text) month(at time.Time) string { return t.Say(fmt.Sprintf("month.%d", at.Month())) }

// Upper gives a text a capital first letter.
func Upper(s string) string {
	for i, r := range s {
		return string(unicode.ToUpper(r)) + s[i+len(string(r)):]
	}
	return s
}

// Lower begins a text that goes on in a sentence with a small letter, in
// languages whose nouns have one.
func (t *Text) Lower(s string) string {
	if t.Say("sentence.nouns") == "capital" {
		return s
	}
	return lower(s)
}

func lower(s string) string {
	for i, r := range s {
		return string(unicode.ToLower(r)) + s[i+len(string(r)):]
	}
	return s
}
