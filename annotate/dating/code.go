package dating

import (
	"fmt"
	"slices"
	"strconv"
	"time"
)

// Spans says which years the digits of a code can mean. A zero field takes its
// default.
type Spans struct {
	// First and Last bound every year. First is 1945: the EIA (then the RMA)
	// has operated the codes since then (introduction of EIA-476-B, read; its
	// first list is of 1946). Last is the present year.
	First, Last int
	// OneFirst and OneLast bound a year of one digit, 1950 to 1979: the
	// published reading of such a code (137634 is of 1956, 1966 or 1976). Parts
	// of before 1950 are read by giving the span.
	OneFirst, OneLast int
}

func (s Spans) orDefault() Spans {
	if s.First == 0 {
		s.First = 1945
	}
	if s.Last == 0 {
		s.Last = time.Now().Year()
	}
	if s.OneFirst == 0 {
		s.OneFirst = 1950
	}
	if s.OneLast == 0 {
		s.OneLast = 1979
	}
	s.OneFirst, s.OneLast = max(s.OneFirst, s.First), min(s.OneLast, s.Last)
	return s
}

// Code is a source-date code as it stands on a potentiometer, a speaker, a
// transformer or a capacitor: who made the part, and in which week. It says
// nothing of the instrument but that it was not finished before.
type Code struct {
	Source string `json:"source"`         // as marked, mostly 3 digits
	Name   string `json:"name,omitempty"` // of the source; "" for unknown
	// FromMemory says that Name was not read on the list but is from memory.
	FromMemory bool   `json:"fromMemory,omitempty"`
	Digits     string `json:"digits"`
	Left       string `json:"left,omitempty"` // what stood beside the code and was left out

	oneDigit bool // the year was of one digit, so its decade is unknown
	spans    Spans
	weeks    []Week
}

// Weeks are the weeks that the code can mean, in order, at least one.
func (c Code) Weeks() []Week { return slices.Clone(c.weeks) }

// Earliest is the first of Weeks.
func (c Code) Earliest() Week { return c.weeks[0] }

// Latest is the last of Weeks.
func (c Code) Latest() Week { return c.weeks[len(c.weeks)-1] }

// Set is Weeks as a set.
func (c Code) Set() Set {
	var rs []Range
	for _, w := range c.weeks {
		rs = append(rs, Range{w, w})
	}
	return Of(rs...)
}

// PotCode reads a source-date code as it stands on a part, read in this year:
// "137-6634", "304 6422", "1376634", "137 6 34". See PotCodeIn.
func PotCode(code string) (Code, error) { return PotCodeIn(code, Spans{}) }

// PotCodeIn reads a source-date code with the years bounded by sp.
//
// Where spaces or hyphens part the digits they say where the source ends.
// Otherwise (EIA source and date code): 7 digits are source of 3, year of 2,
// week of 2; 6 digits have a year of one, so its decade is unknown; 8 digits
// have a source of 4, 5 a source of 2, since the EIA gave out sources of one to
// four digits in codes of at most eight (EIA-476-A).
//
// Words and part numbers with letters around the code are left out and named
// in Left. When more than one code can be read, or a letter touches the
// digits, the code is refused.
//
// Weeks run from 1 to 53. A week 53 is taken in any year: the EIA's weeks are
// not those of ISO 8601 (its own example puts week 10 of 1999 on 7 to 13 March,
// ISO on 8 to 14 March), and it does not say which of its years have 53.
func PotCodeIn(code string, sp Spans) (Code, error) {
	s, err := findShape(code)
	if err != nil {
		return Code{}, fmt.Errorf("read code %s: %w", quoted(code), err)
	}
	sp = sp.orDefault()
	c := Code{Source: s.source, Digits: s.source + s.year + s.week, Left: s.left, oneDigit: len(s.year) == 1, spans: sp}
	if n, ok := sources[s.source]; ok {
		c.Name, c.FromMemory = n.name, !n.read
	}
	if c.weeks, err = s.weeks(sp); err != nil {
		return Code{}, fmt.Errorf("read code %s: %w", quoted(code), err)
	}
	return c, nil
}

// weeks are the weeks that year and week can mean.
func (s shape) weeks(sp Spans) ([]Week, error) {
	week, err := strconv.Atoi(s.week)
	if err != nil || week < 1 || week > slots {
		return nil, fmt.Errorf("its last digits %q are no week of 01 to 53; compare it with the part, or it is no dated code", s.week)
	}
	end, err := strconv.Atoi(s.year)
	if err != nil {
		return nil, fmt.Errorf("%q is no year", s.year)
	}
	first, last, every := sp.First, sp.Last, 100
	if len(s.year) == 1 {
		first, last, every = sp.OneFirst, sp.OneLast, 10
	}
	var out []Week
	for y := first - first%every + end; y <= last; y += every {
		if y >= first {
			out = append(out, Week{y, week})
		}
	}
	if len(out) == 0 {
		return nil, fmt.Errorf("no year from %d to %d ends in %s; compare it with the part", first, last, s.year)
	}
	return out, nil
}

// Words reads the code aloud: "source 137 (CTS), week 34 of 1956, 1966 or 1976".
func (c Code) Words() string {
	s := "source " + c.Source
	switch {
	case c.FromMemory:
		s += " (" + c.Name + ", name from memory)"
	case c.Name != "":
		s += " (" + c.Name + ")"
	}
	return s + ", " + weekList(c.weeks)
}

// Season says about when in the year its week lies.
func (c Code) Season() string {
	return fmt.Sprintf("Week %d lies about %s.", c.weeks[0].Week, c.weeks[0].Month())
}

// Remarks are sentences on how far the reading can be relied on.
func (c Code) Remarks() []string {
	var out []string
	if c.oneDigit {
		out = append(out, fmt.Sprintf("The year has one digit; it is read within %d to %d.", c.spans.OneFirst, c.spans.OneLast))
	} else if len(c.weeks) > 1 {
		out = append(out, "The year has two digits, so its century is open.")
	}
	if c.Left != "" {
		out = append(out, fmt.Sprintf("Left out as no part of the code: %s.", c.Left))
	}
	return out
}
