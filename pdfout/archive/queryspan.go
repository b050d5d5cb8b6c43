package archive

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// last sorts behind every text that begins alike.
const last = "\U0010FFFF"

// span takes "a..b", "a..", "..b" or "a" apart; one says that it was a single
// value, which is then both ends.
func span(v string) (from, to string, one bool, err error) {
	from, to, is := strings.Cut(strings.TrimSpace(v), "..")
	from, to = strings.TrimSpace(from), strings.TrimSpace(to)
	if !is {
		to = from
	}
	if from == "" && to == "" {
		return "", "", false, fmt.Errorf("%q names no value; a range reads 10..20, 10.. or ..20", v)
	}
	return from, to, !is, nil
}

func yearTerm(v string) (*term, error) {
	from, to, _, err := span(v)
	if err != nil {
		return nil, err
	}
	t := &term{op: opYears, from: 1, to: openYear}
	for _, end := range []struct {
		text string
		into *any
	}{{from, &t.from}, {to, &t.to}} {
		if end.text == "" {
			continue
		}
		n, err := strconv.Atoi(end.text)
		if err != nil || n < 1 || n > openYear {
			return nil, fmt.Errorf("year:%s is no year; it reads 1974 or 1970..1979", v)
		}
		*end.into = n
	}
	return t, nil
}

func dateTerm(column string) func(string) (*term, error) {
	return func(v string) (*term, error) {
		from, to, _, err := span(v)
		if err != nil {
			return nil, err
		}
		t := &term{op: opRange, column: column}
		for _, end := range []string{from, to} {
			if end != "" && !dateLike(end) {
				return nil, fmt.Errorf("%s:%s is no date; it reads 2026, 2026-11 or 2026-11-14, or a range of these", column, v)
			}
		}
		if from != "" {
			t.from = from
		}
		if to != "" {
			t.to = to + last // the whole of that year, month or day
		}
		return t, nil
	}
}

func dateLike(s string) bool {
	switch len(s) {
	case 4, 7, 10:
	default:
		return false
	}
	for i, c := range []byte(s) {
		if dash := i == 4 || i == 7; dash != (c == '-') || (!dash && (c < '0' || c > '9')) {
			return false
		}
	}
	return true
}

func indexTerm(v string) (*term, error) {
	from, to, one, err := span(v)
	if err != nil {
		return nil, err
	}
	t := &term{op: opRange, column: "cond"}
	for _, end := range []struct {
		text string
		into *any
	}{{from, &t.from}, {to, &t.to}} {
		if end.text == "" {
			continue
		}
		f, err := strconv.ParseFloat(end.text, 64)
		if err != nil || math.IsNaN(f) || math.IsInf(f, 0) {
			return nil, fmt.Errorf("index:%s is no index; it reads 80.., ..50 or 61.3..80", v)
		}
		*end.into = f
	}
	if one {
		t.to, t.under = t.to.(float64)+1, true
	}
	return t, nil
}
