package caution

import (
	"slices"
	"strings"
	"unicode"
)

// maxText bounds how much of one text is looked through, in bytes; entries of a
// record may be longer than anything a person writes.
const maxText = 16 << 10

// Words before a name that say the thing is not it, and words behind it.
var (
	notBefore = []string{"imitation", "faux", "mock", "fake", "artificial", "synthetic", "simulated", "plastic", "no", "not", "without", "never"}
	notBehind = []string{"like", "style", "coloured", "colored", "look", "effect", "free", "substitute", "imitation", "stained"}
)

type phrase struct {
	words []string
	to    int // index in the table; -1 for an exception
}

// phrases are all words of the table, the longest first, so that "Brazilian
// rosewood" is not also rosewood.
var phrases = listPhrases()

func listPhrases() []phrase {
	var out []phrase
	for i, m := range table {
		for _, w := range m.Words {
			out = append(out, phrase{tokens(w), i})
		}
		for _, w := range m.Except {
			out = append(out, phrase{tokens(w), -1})
		}
	}
	// An exception of one material may be a name of another: the name wins.
	slices.SortStableFunc(out, func(a, b phrase) int {
		if d := len(b.words) - len(a.words); d != 0 {
			return d
		}
		return b.to - a.to
	})
	return out
}

// tokens are the words of a text in small letters.
func tokens(text string) []string {
	ts, _ := broken(text)
	return ts
}

// broken are the words of a text, and before which of them a comma or another
// sign parts the sentence: "plastic, ray skin" names no plastic ray skin.
func broken(text string) (ts []string, parted []bool) {
	if len(text) > maxText {
		text = text[:maxText]
	}
	isWord := func(r rune) bool { return unicode.IsLetter(r) || unicode.IsDigit(r) }
	cut := false
	for text != "" {
		n := strings.IndexFunc(text, isWord)
		if n < 0 {
			break
		}
		cut = cut || strings.ContainsAny(text[:n], ",;.:()/")
		text = text[n:]
		end := strings.IndexFunc(text, func(r rune) bool { return !isWord(r) })
		if end < 0 {
			end = len(text)
		}
		ts, parted = append(ts, strings.ToLower(text[:end])), append(parted, cut)
		text, cut = text[end:], false
	}
	return ts, parted
}

// Find spots the materials that a text names, each once, in the order of the
// table. Imitations, and names that only sound like one, are left out.
func Find(text string) []Material {
	ts, parted := broken(text)
	found := make([]bool, len(table))
	for i := 0; i < len(ts); {
		p := longest(ts[i:])
		if p == nil {
			i++
			continue
		}
		n := len(p.words)
		if p.to >= 0 && !denied(ts, parted, i, n) {
			found[p.to] = true
		}
		i += n
	}
	var out []Material
	for i, is := range found {
		if is {
			out = append(out, table[i])
		}
	}
	return out
}

func longest(ts []string) *phrase {
	for k := range phrases {
		if p := &phrases[k]; len(p.words) <= len(ts) && same(p.words, ts) {
			return p
		}
	}
	return nil
}

// same compares a phrase with the words at hand; its last word may be a plural.
func same(p, ts []string) bool {
	last := len(p) - 1
	return slices.Equal(p[:last], ts[:last]) && (ts[last] == p[last] || ts[last] == p[last]+"s")
}

// denied tells whether the words beside a name, in the same part of the
// sentence, say that the thing is not it.
func denied(ts []string, parted []bool, i, n int) bool {
	return (i > 0 && !parted[i] && slices.Contains(notBefore, ts[i-1])) || (i+n < len(ts) && !parted[i+n] && slices.Contains(notBehind, ts[i+n]))
}
