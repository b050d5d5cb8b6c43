package catalogue

import (
	"fmt"
	"regexp"
	"slices"
	"strings"
)

// phrase is a sentence of a package below as a pattern, and what stands for it.
type phrase struct {
	match  *regexp.Regexp
	fields []field
	into   string
	fixed  int // letters that do not vary: the pattern with most is tried first
}

// field is a place in a pattern: {name} keeps what stands there, {name:group}
// has it translated as a word or phrase of a group, {name:group?} where it is
// one, {name:#} is a figure with its uncertainty, {name:figures} a text in which
// figures are.
type field struct {
	name, group string
	open        bool
}

var place = regexp.MustCompile(`\{([a-z]+\d*)(?::([a-z#][a-zA-Z]*)?(\??))?\}`)

// number is how a figure is written in English by the packages below.
const number = `[−+±-]?\d[\d.]*(?: ± \d[\d.]*)?`

// compile makes a pattern ready to be matched against a whole text.
func compile(pattern, into string) (phrase, error) {
	p := phrase{into: into}
	var expr strings.Builder
	expr.WriteString(`(?s)^`)
	at := 0
	for _, m := range place.FindAllStringSubmatchIndex(pattern, -1) {
		expr.WriteString(regexp.QuoteMeta(pattern[at:m[0]]))
		p.fixed += m[0] - at
		f := field{name: pattern[m[2]:m[3]]}
		if m[4] >= 0 {
			f.group, f.open = pattern[m[4]:m[5]], m[6] < m[7]
		}
		p.fields = append(p.fields, f)
		if f.group == "#" {
			expr.WriteString("(" + number + ")")
		} else {
			expr.WriteString("(.+?)")
		}
		at = m[1]
	}
	expr.WriteString(regexp.QuoteMeta(pattern[at:]) + `$`)
	p.fixed += len(pattern) - at
	var err error
	if p.match, err = regexp.Compile(expr.String()); err != nil {
		return p, fmt.Errorf("the pattern %q: %w", pattern, err)
	}
	return p, nil
}

// maxDepth bounds how deep patterns stand in patterns.
const maxDepth = 8

// Word is a word of one of the program's lists, in this language. A word that
// the list does not have is left as it is.
func (t *Text) Word(group, english string) string {
	if t.IsEnglish() || strings.TrimSpace(english) == "" {
		return english
	}
	if s, ok := t.word(group, english); ok {
		return s
	}
	return t.lacks(group, english)
}

// Usual is Word for an entry that may be one of the usual words or the user's
// own.
func (t *Text) Usual(group, english string) string {
	if t.IsEnglish() {
		return english
	}
	if s, ok := t.word(group, english); ok {
		return s
	}
	return english
}

// UsualPhrase is Phrase for a text that may be the user's own.
func (t *Text) UsualPhrase(group, english string) string {
	if t.IsEnglish() {
		return english
	}
	if s, ok := t.phrase(group, english, 0); ok {
		return s
	}
	return english
}

// word looks a word up as it is, and with a small first letter.
func (t *Text) word(group, english string) (string, bool) {
	if s, ok := t.words[group][english]; ok {
		return s, true
	}
	if l := lower(english); l != english {
		if s, ok := t.words[group][l]; ok {
			return Upper(s), true
		}
	}
	return "", false
}

// Phrase is a text that a package below has composed of words and patterns of a
// group. Where the whole is none, its sentences are tried one by one; what
// nothing fits stays in English.
func (t *Text) Phrase(group, english string) string {
	if t.IsEnglish() || strings.TrimSpace(english) == "" {
		return english
	}
	if s, ok := t.phrase(group, english, 0); ok {
		return s
	}
	var out []string
	rest := english
	for rest != "" {
		one, more, found := strings.Cut(rest, ". ")
		if found {
			one += "."
		}
		s, ok := t.phrase(group, one, 0)
		if !ok {
			s = t.lacks(group, one)
		}
		out, rest = append(out, s), more
	}
	return strings.Join(out, " ")
}

func (t *Text) phrase(group, english string, depth int) (string, bool) {
	if s, ok := t.word(group, english); ok {
		return s, true
	}
	if depth > maxDepth {
		return "", false
	}
	if s, ok := t.matched(group, english, depth); ok {
		return s, true
	}
	if l := lower(english); l != english {
		if s, ok := t.matched(group, l, depth); ok {
			return Upper(s), true
		}
	}
	return "", false
}

// matched tries the patterns of a group; one whose places hold words that
// cannot be translated does not fit.
func (t *Text) matched(group, english string, depth int) (string, bool) {
	for _, p := range t.phrases[group] {
		m := p.match.FindStringSubmatch(english)
		if m == nil {
			continue
		}
		if s, ok := t.fill(p, m[1:], depth); ok {
			return s, true
		}
	}
	return "", false
}

func (t *Text) fill(p phrase, parts []string, depth int) (string, bool) {
	values := make([]string, 0, 2*len(parts))
	for i, f := range p.fields {
		v := parts[i]
		switch f.group {
		case "":
		case "#", "figures":
			v = t.Figures(v)
		default:
			s, ok := t.phrase(f.group, v, depth+1)
			if !ok && !f.open {
				return "", false
			}
			if ok {
				v = s
			}
		}
		values = append(values, "{"+f.name+"}", v)
	}
	return strings.NewReplacer(values...).Replace(p.into), true
}

// sorted puts the patterns with the most fixed letters first, so that a narrow
// one is tried before a wide one.
func sorted(list []phrase) {
	slices.SortStableFunc(list, func(a, b phrase) int { return b.fixed - a.fixed })
}
