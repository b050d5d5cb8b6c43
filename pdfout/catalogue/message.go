package catalogue

import (
	"encoding/json"
	"fmt"
	"regexp"
	"strconv"

	"golang.org/x/text/feature/plural"
)

// message is one text, or one for each number: under "=0", "=1" ... for exactly
// that number, under the categories of CLDR (one, few, many, other) otherwise.
// {0}, {1} ... are the arguments, in any order. The number is the first.
type message map[string]string

// other is the form that every message has.
const other = "other"

// UnmarshalJSON takes a plain text for a message of one form.
func (m *message) UnmarshalJSON(b []byte) error {
	var s string
	if json.Unmarshal(b, &s) == nil {
		*m = message{other: s}
		return nil
	}
	var forms map[string]string
	if err := json.Unmarshal(b, &forms); err != nil {
		return err
	}
	if forms[other] == "" {
		return fmt.Errorf("a text with forms has none for %q", other)
	}
	*m = forms
	return nil
}

// InWords is a number that is written out where it is small: "no", "one" ...
// "twelve", "13".
type InWords int

var argument = regexp.MustCompile(`\{(\d+)\}`)

// Say is the message of an ID with its arguments put in. Of a message with
// several forms the first argument, a number, chooses. An ID that is not there
// stands for itself; a test holds the pages' IDs to the file.
func (t *Text) Say(id string, args ...any) string {
	t = t.or()
	m, ok := t.messages[id]
	if !ok {
		return t.lacks("messages", id)
	}
	return argument.ReplaceAllStringFunc(t.form(m, args), func(s string) string {
		n, _ := strconv.Atoi(s[1 : len(s)-1])
		if n >= len(args) {
			return s
		}
		return t.arg(args[n])
	})
}

func (t *Text) arg(a any) string {
	if n, ok := a.(InWords); ok {
		return t.Number(int(n))
	}
	return fmt.Sprint(a)
}

// form chooses among the forms of a message.
func (t *Text) form(m message, args []any) string {
	if len(m) == 1 || len(args) == 0 {
		return m[other]
	}
	n, ok := asNumber(args[0])
	if !ok {
		return m[other]
	}
	if s, ok := m["="+strconv.Itoa(n)]; ok {
		return s
	}
	if s, ok := m[categories[plural.Cardinal.MatchPlural(t.tag, n, 0, 0, 0, 0)]]; ok {
		return s
	}
	return m[other]
}

func asNumber(a any) (int, bool) {
	switch n := a.(type) {
	case int:
		return n, n >= 0
	case InWords:
		return int(n), n >= 0
	}
	return 0, false
}

var categories = map[plural.Form]string{
	plural.Zero: "zero", plural.One: "one", plural.Two: "two", plural.Few: "few", plural.Many: "many", plural.Other: other,
}
