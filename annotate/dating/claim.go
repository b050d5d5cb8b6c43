package dating

import (
	"regexp"
	"strconv"
	"strings"
)

// aboutYears is how many years "about" leaves on either side: common practice,
// no published source.
const aboutYears = 2

// ClaimedYears reads a claimed year as people write one. from or to is 0 where
// the claim leaves that end open ("before 1950" is 0 to 1949). ok is false for
// "" and for what names no years.
//
// These are common practice, with no published source: "about" is two years on
// either side; the early years of a decade are its years 0 to 3, the middle 4
// to 6, the late ones 7 to 9; of a century the early third is its years 1 to
// 35, the middle 30 to 70, the late 65 to 100. "1800s" is taken as the century,
// the wider reading. "1974 or 1976" is taken as the years from the first to the
// last.
func ClaimedYears(text string) (from, to int, ok bool) {
	t := plainClaim(text)
	if len(t) > 80 {
		return 0, 0, false
	}
	for _, p := range claimForms {
		m := p.form.FindStringSubmatch(t)
		if m == nil {
			continue
		}
		from, to = p.years(m[1:])
		if (from == 0 && to == 0) || (from != 0 && to != 0 && from > to) || !yearOrOpen(from) || !yearOrOpen(to) {
			return 0, 0, false
		}
		return from, to, true
	}
	return 0, 0, false
}

func yearOrOpen(y int) bool { return y == 0 || (y >= 1000 && y <= 9999) }

// plainClaim is the text in small letters, one kind of dash, single spaces.
func plainClaim(text string) string {
	t := strings.NewReplacer("–", "-", "—", "-", "‐", "-", "‑", "-", "−", "-", ",", " ", "’", "'").Replace(strings.ToLower(text))
	return strings.Trim(strings.Join(strings.Fields(t), " "), ". ")
}

const months = `(?:january|february|march|april|may|june|july|august|september|october|november|december|jan|feb|mar|apr|jun|jul|aug|sept?|oct|nov|dec|spring|summer|autumn|fall|winter)\.?`

const about = `(?:about|around|circa|ca\.?|c\.?|approx\.?|approximately|~)`

type claimForm struct {
	form  *regexp.Regexp
	years func(m []string) (from, to int)
}

func form(re string, years func(m []string) (int, int)) claimForm {
	return claimForm{regexp.MustCompile(`^(?:the )?` + re + `$`), years}
}

// claimForms are tried in order.
var claimForms = []claimForm{
	form(`(\d{4})`, func(m []string) (int, int) { return num(m[0]), num(m[0]) }),
	form(`(?:`+months+`(?: \d{1,2})?|\d{1,2}(?:st|nd|rd|th)? `+months+`) (\d{4})`, func(m []string) (int, int) { return num(m[0]), num(m[0]) }),
	form(`(\d{4})-\d{2}-\d{2}`, func(m []string) (int, int) { return num(m[0]), num(m[0]) }),
	form(about+` ?(\d{4})`, aboutYear),
	form(`(\d{4}) ?\?`, aboutYear),
	form(about+` ?(\d{4}) ?(?:-|/|or|to) ?(\d{4}|\d{2})`, func(m []string) (int, int) {
		a, b := pair(m)
		return a - aboutYears, b + aboutYears
	}),
	form(`(?:between |from )?(\d{4}) ?(?:-|/|or|to|and|until) ?(\d{4})`, pair),
	form(`(?:between |from )?(\d{4}) ?(?:-|/|or|to|and) ?(\d{2})`, pair),
	form(`(\d{4})(?: \d{4})* or (\d{4})`, pair),
	form(`(?:before|earlier than|pre-?) ?(\d{4})`, func(m []string) (int, int) { return 0, num(m[0]) - 1 }),
	form(`(?:by|up to|until|no later than|not later than|in or before) ?(\d{4})`, func(m []string) (int, int) { return 0, num(m[0]) }),
	form(`(\d{4}) or (?:earlier|before)`, func(m []string) (int, int) { return 0, num(m[0]) }),
	form(`(?:after|later than|post-?) ?(\d{4})`, func(m []string) (int, int) { return num(m[0]) + 1, 0 }),
	form(`(?:since|from|no earlier than|not before|in or after) ?(\d{4})`, func(m []string) (int, int) { return num(m[0]), 0 }),
	form(`(\d{4}) or (?:later|after)`, func(m []string) (int, int) { return num(m[0]), 0 }),
	form(`(?:`+about+` )?(?:(early|mid|middle of the|late)[ -]?)?(\d{2}[1-9]0)'?s`, decade),
	form(`(?:`+about+` )?(?:(early|mid|late)[ -]?)?(\d{2}00)'?s`, func(m []string) (int, int) { return century(m[0], num(m[1])) }),
	form(`(?:`+about+` )?(?:(early|mid|late)[ -]?)?(\d{2})(?:st|nd|rd|th) (?:century|c\.?)`, func(m []string) (int, int) { return century(m[0], 100*(num(m[1])-1)) }),
}

func num(s string) int {
	n, err := strconv.Atoi(s)
	if err != nil {
		return 0 // the forms pass digits only
	}
	return n
}

func aboutYear(m []string) (int, int) { return num(m[0]) - aboutYears, num(m[0]) + aboutYears }

// pair is two years, the second of four digits or its last two. "1974-03" is a
// month, since it runs to no later year.
func pair(m []string) (int, int) {
	a, b := num(m[0]), num(m[1])
	if len(m[1]) == 4 {
		return a, b
	}
	if end := a - a%100 + b; end > a {
		return a, end
	}
	if b >= 1 && b <= 12 {
		return a, a
	}
	return a, a - 1 // refused
}

func decade(m []string) (int, int) {
	y := num(m[1])
	switch m[0] {
	case "early":
		return y, y + 3
	case "mid", "middle of the":
		return y + 4, y + 6
	case "late":
		return y + 7, y + 9
	}
	return y, y + 9
}

// century is the part of the hundred years after y. The year y itself is let in
// where the hundred is meant as written, "1800s".
func century(part string, y int) (int, int) {
	if y < 1000 {
		return 0, 0
	}
	switch part {
	case "early":
		return y, y + 35
	case "mid":
		return y + 30, y + 70
	case "late":
		return y + 65, y + 100
	}
	return y, y + 100
}
