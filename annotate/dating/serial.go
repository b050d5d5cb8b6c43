package dating

import (
	"fmt"
	"strconv"
	"strings"
)

// Serial is one line of a shop's own table of serial numbers: numbers of a
// pattern from First to Last belong to the years From to To. A zero year leaves
// that end open.
type Serial struct {
	// Pattern is the number's form: letters and digits as they stand, and one
	// run of #, which counts. "L#####" is L and five digits; a single # is any
	// count of digits. Spaces, dashes and the case of letters do not matter.
	Pattern string `json:"pattern"`
	First   string `json:"first,omitempty"` // counted digits or the whole number; "" for every number of the pattern
	Last    string `json:"last,omitempty"`
	From    int    `json:"from,omitempty"`
	To      int    `json:"to,omitempty"`
	For     string `json:"for,omitempty"` // text that the maker, model or class must hold; "" for any
	Source  string `json:"source,omitempty"`
	Note    string `json:"note,omitempty"`
	Line    int    `json:"line,omitempty"` // of the file it was read from

	form        serialForm
	first, last uint64
}

// serialForm is a pattern made ready.
type serialForm struct {
	before, after string
	digits        int // how many; 0 for any
}

// maxDigits is how many digits a serial number may count: more do not fit.
const maxDigits = 18

// plainSerial is a serial number without what does not matter. What stands in
// brackets behind it is a remark.
func plainSerial(s string) string {
	s, _, _ = strings.Cut(s, "(")
	return strings.Map(func(r rune) rune {
		switch r {
		case ' ', '\t', '-', '.', '/', '_', '\'', ',', '–', '—', '‐', '‑', '−', '\u00a0':
			return -1
		}
		return r
	}, strings.ToUpper(s))
}

func formOf(pattern string) (serialForm, error) {
	p := plainSerial(pattern)
	i := strings.IndexByte(p, '#')
	if i < 0 {
		return serialForm{}, fmt.Errorf("the pattern %s has no #; write # where the number counts, as L#####", quoted(pattern))
	}
	n := 0
	for i+n < len(p) && p[i+n] == '#' {
		n++
	}
	f := serialForm{before: p[:i], after: p[i+n:], digits: n}
	if strings.Contains(f.after, "#") {
		return serialForm{}, fmt.Errorf("the pattern %s has # in two places; only one may count", quoted(pattern))
	}
	if n > maxDigits {
		return serialForm{}, fmt.Errorf("the pattern %s counts more than %d digits", quoted(pattern), maxDigits)
	}
	if n == 1 {
		f.digits = 0
	}
	return f, nil
}

// number is the counted part of a plain serial number; false when it has
// another form.
func (f serialForm) number(plain string) (uint64, bool) {
	if len(plain) <= len(f.before)+len(f.after) || !strings.HasPrefix(plain, f.before) || !strings.HasSuffix(plain, f.after) {
		return 0, false
	}
	d := plain[len(f.before) : len(plain)-len(f.after)]
	if !isDigits(d) || len(d) > maxDigits || (f.digits != 0 && len(d) != f.digits) {
		return 0, false
	}
	n, err := strconv.ParseUint(d, 10, 64)
	return n, err == nil
}

// bound reads a first or last number, typed with or without the letters.
func (f serialForm) bound(s string, none uint64) (uint64, error) {
	plain := plainSerial(s)
	if plain == "" {
		return none, nil
	}
	if n, ok := f.number(plain); ok {
		return n, nil
	}
	if isDigits(plain) && len(plain) <= maxDigits && (f.digits == 0 || len(plain) <= f.digits) {
		return strconv.ParseUint(plain, 10, 64)
	}
	return 0, fmt.Errorf("the number %s does not fit the pattern", quoted(s))
}

// ready checks a line and makes it ready for Has.
func (s *Serial) ready() (err error) {
	if s.form, err = formOf(s.Pattern); err != nil {
		return err
	}
	if s.first, err = s.form.bound(s.First, 0); err != nil {
		return err
	}
	if s.last, err = s.form.bound(s.Last, 1<<63); err != nil {
		return err
	}
	if s.first > s.last {
		return fmt.Errorf("the numbers run from %s back to %s", s.First, s.Last)
	}
	return checkYears(s.From, s.To)
}

func checkYears(from, to int) error {
	switch {
	case from == 0 && to == 0:
		return fmt.Errorf("it gives no year")
	case from != 0 && to != 0 && from > to:
		return fmt.Errorf("the years run from %d back to %d", from, to)
	}
	return nil
}

// has says whether a plain serial number lies in the line's range.
func (s *Serial) has(plain string) bool {
	n, ok := s.form.number(plain)
	return ok && s.first <= n && n <= s.last
}

// fits says whether a line is for an instrument of this maker, model or class.
func fits(text, maker, model, class string) bool {
	text = strings.ToLower(strings.TrimSpace(text))
	return text == "" || strings.Contains(strings.ToLower(maker), text) || strings.Contains(strings.ToLower(model), text) || strings.Contains(strings.ToLower(class), text)
}

// Words is the line's range in words: "L10000 to L19999".
func (s *Serial) Words() string {
	switch {
	case s.First == "" && s.Last == "":
		return "all of " + s.Pattern
	case s.Last == "":
		return s.Pattern + " from " + s.First
	case s.First == "":
		return s.Pattern + " up to " + s.Last
	}
	return s.Pattern + " from " + s.First + " to " + s.Last
}

// Feature is one line of a shop's own table of features: a way of building that
// began or ended.
type Feature struct {
	For        string `json:"for,omitempty"` // text that the maker, model or class must hold; "" for any
	Feature    string `json:"feature"`
	InOrAfter  int    `json:"inOrAfter,omitempty"`
	InOrBefore int    `json:"inOrBefore,omitempty"`
	Source     string `json:"source,omitempty"`
	Line       int    `json:"line,omitempty"`
}
