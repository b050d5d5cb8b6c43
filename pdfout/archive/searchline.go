package archive

import (
	"slices"
	"strings"
	"unicode"
)

// LineTerm is one term of a query line as it is typed, for those who help with
// typing: From and To are its place in letters, Value what stands behind the
// colon or the whole word, without quotation marks.
type LineTerm struct {
	From, To     int
	Not, Quoted  bool
	Field, Value string // Field is in small letters, "" for a word
	Open         bool   // a quotation mark is not closed yet
}

// LineTerms takes a query line apart as ParseQuery does. It reads every line,
// also one that is only half typed.
func LineTerms(line string) []LineTerm {
	all := []rune(line)
	var out []LineTerm
	for at := 0; ; {
		for at < len(all) && unicode.IsSpace(all[at]) {
			at++
		}
		if at >= len(all) {
			return out
		}
		t := LineTerm{From: at}
		if all[at] == '-' && at+1 < len(all) && !unicode.IsSpace(all[at+1]) {
			t.Not = true
			at++
		}
		t.Quoted = all[at] == '"'
		var b strings.Builder
		for ; at < len(all) && (t.Open || !unicode.IsSpace(all[at])); at++ {
			switch r := all[at]; {
			case r == '"':
				t.Open = !t.Open
			case r == ':' && !t.Open && t.Field == "" && !t.Quoted && b.Len() > 0:
				t.Field = strings.ToLower(b.String())
				b.Reset()
			default:
				b.WriteRune(r)
			}
		}
		t.To, t.Value = at, b.String()
		out = append(out, t)
	}
}

// TermAt is the place among the terms of a line of the one that asks for a value
// of a field; -1 where none does.
func TermAt(terms []LineTerm, field, value string) int {
	return slices.IndexFunc(terms, func(t LineTerm) bool {
		return !t.Not && t.Field == field && FoldText(t.Value) == FoldText(value)
	})
}

// WithoutTerm is a line with one of its terms taken out.
func WithoutTerm(line string, t LineTerm) string {
	letters := []rune(line)
	return strings.TrimSpace(strings.TrimSpace(string(letters[:t.From])) + " " + strings.TrimSpace(string(letters[t.To:])))
}

// QueryFields are the names that may stand before a colon, sort among them.
func QueryFields() []string {
	out := []string{"sort"}
	for n := range fields {
		out = append(out, n)
	}
	slices.Sort(out)
	return out
}

// SortNames are the orders that sort: takes; a dash before one turns it round.
func SortNames() []string {
	var out []string
	for n := range sorts {
		out = append(out, n)
	}
	slices.Sort(out)
	return out
}

// TermText is a term as it is typed: the value stands in quotation marks where
// it needs them. What cannot be typed at all, a quotation mark, is left out.
func TermText(field, value string) string {
	value = strings.ReplaceAll(value, `"`, " ")
	if value == "" || strings.ContainsFunc(value, unicode.IsSpace) || (field == "" && (strings.Contains(value, ":") || strings.HasPrefix(value, "-"))) {
		value = `"` + value + `"`
	}
	if field == "" {
		return value
	}
	return field + ":" + value
}
