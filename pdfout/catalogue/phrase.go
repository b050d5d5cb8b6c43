package catalogue

import (
	"regexp"
	"slices"
	"strings"
)

// phrase is a sentence of a package below as a pattern, and what stands for it.
type phrase struct {
	fixed  []string // the letters that do not vary: before, between and behind the fields
	fields []field
	into   string
}

// weight is how many letters do not vary: the pattern with most is tried first.
func (p *phrase) weight() int { return len(strings.Join(p.fixed, "")) }

// field is a place in a pattern: {name} keeps what stands there, {name:group}
// has it translated as a word or phrase of a group, {name:group?} where it is
// one, {name:#} is a figure with its uncertainty, {name:##} a list of numbers,
// {name:quantity} a figure and its unit, {name:figures} a text in which figures
// are.
type field struct {
	name, group string
	open        bool
}

var place = regexp.MustCompile(`\{([a-z]+\d*)(?::([a-z][a-zA-Z]*|##?)(\??))?\}`)

// How a figure, several, and one with its unit are written in English by the
// packages below.
var (
	number  = regexp.MustCompile(`^[−+±-]?\d[\d.]*(?: ± \d[\d.]*)?$`)
	numbers = regexp.MustCompile(`^\d[\d–, ]*$`)
	measure = regexp.MustCompile(`^[−+±-]?\d[\d.]*(?: ± \d[\d.]*)?(?: [^ ;()]+)?$`)
)

// compile makes a pattern ready to be matched against a whole text. What stands
// for it names the places, with their groups or without.
func compile(pattern, into string) phrase {
	p := phrase{into: place.ReplaceAllString(into, "{$1}")}
	at := 0
	for _, m := range place.FindAllStringSubmatchIndex(pattern, -1) {
		p.fixed = append(p.fixed, pattern[at:m[0]])
		f := field{name: pattern[m[2]:m[3]]}
		if m[4] >= 0 {
			f.group, f.open = pattern[m[4]:m[5]], m[6] < m[7]
		}
		p.fields = append(p.fields, f)
		at = m[1]
	}
	p.fixed = append(p.fixed, pattern[at:])
	return p
}

// Bounds of the search: how deep patterns stand in patterns, and how many places
// are tried for one text. A text beyond them stays in English.
const (
	maxDepth = 32
	maxTries = 200_000
)

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
	if s, ok := t.search(group, english); ok {
		return s
	}
	return english
}

// word looks a word up as it is, and with another first letter.
func (t *Text) word(group, english string) (string, bool) {
	if s, ok := t.words[group][english]; ok {
		return s, true
	}
	if l := lower(english); l != english {
		if s, ok := t.words[group][l]; ok {
			return Upper(s), true
		}
	}
	s, ok := t.words[group][Upper(english)] // a name, in small letters within a sentence
	return s, ok
}

// Phrase is a text that a package below has composed of words and patterns of a
// group. Where the whole is none, its sentences are tried one by one; what
// nothing fits stays in English.
func (t *Text) Phrase(group, english string) string {
	if t.IsEnglish() || strings.TrimSpace(english) == "" {
		return english
	}
	if s, ok := t.search(group, english); ok {
		return s
	}
	var out []string
	rest := english
	for rest != "" {
		one, more, found := strings.Cut(rest, ". ")
		if found {
			one += "."
		}
		s, ok := t.search(group, one)
		if !ok {
			s = t.lacks(group, one)
		}
		out, rest = append(out, s), more
	}
	return strings.Join(out, " ")
}

func (t *Text) search(group, english string) (string, bool) {
	m := matcher{t: t, known: map[[2]string]found{}, left: maxTries}
	return m.phrase(group, english, 0)
}

// matcher looks for the patterns that a text is made of.
type matcher struct {
	t     *Text
	known map[[2]string]found // what was looked for already
	left  int                 // tries
}

type found struct {
	text string
	ok   bool
}

func (m *matcher) phrase(group, english string, depth int) (string, bool) {
	if s, ok := m.t.word(group, english); ok {
		return s, true
	}
	key := [2]string{group, english}
	if f, ok := m.known[key]; ok {
		return f.text, f.ok
	}
	if depth > maxDepth || m.left <= 0 {
		return "", false
	}
	s, ok := m.matched(group, english, depth)
	if l := lower(english); !ok && l != english {
		if s, ok = m.matched(group, l, depth); ok {
			s = Upper(s)
		}
	}
	m.known[key] = found{s, ok}
	return s, ok
}

// matched tries the patterns of a group.
func (m *matcher) matched(group, english string, depth int) (string, bool) {
	for i := range m.t.phrases[group] {
		p := &m.t.phrases[group][i]
		rest, ok := strings.CutPrefix(english, p.fixed[0])
		if !ok {
			continue
		}
		if values, ok := m.fill(p, 0, rest, depth); ok {
			return strings.NewReplacer(values...).Replace(p.into), true
		}
	}
	return "", false
}

// fill finds what stands in the k-th place of a pattern and in those behind it.
// Where the fixed letters behind a place come more than once, each is tried; a
// place whose words cannot be translated does not fit.
func (m *matcher) fill(p *phrase, k int, rest string, depth int) ([]string, bool) {
	if k == len(p.fields) {
		return nil, rest == ""
	}
	next := p.fixed[k+1]
	last := k == len(p.fields)-1
	for at := 1; at <= len(rest); at++ {
		if m.left--; m.left <= 0 {
			return nil, false
		}
		if last {
			at = max(at, len(rest)-len(next))
		}
		if !strings.HasPrefix(rest[at:], next) || next == "" && !last {
			continue
		}
		behind := rest[at+len(next):]
		if last && behind != "" {
			continue
		}
		v, ok := m.value(p.fields[k], rest[:at], depth)
		if !ok {
			continue
		}
		if more, ok := m.fill(p, k+1, behind, depth); ok {
			return append([]string{"{" + p.fields[k].name + "}", v}, more...), true
		}
	}
	return nil, false
}

func (m *matcher) value(f field, s string, depth int) (string, bool) {
	switch f.group {
	case "":
		return s, true
	case "#":
		return m.t.Figures(s), number.MatchString(s)
	case "##":
		return s, numbers.MatchString(s)
	case "quantity":
		return m.t.Figures(s), measure.MatchString(s)
	case "figures":
		return m.t.Figures(s), true
	}
	if v, ok := m.phrase(f.group, s, depth+1); ok || !f.open {
		return v, ok
	}
	return s, true
}

// sorted puts the patterns with the most fixed letters first, so that a narrow
// one is tried before a wide one.
func sorted(list []phrase) {
	slices.SortStableFunc(list, func(a, b phrase) int { return b.weight() - a.weight() })
}
