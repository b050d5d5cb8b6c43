package listing

import (
	"slices"
	"strings"
	"unicode"
)

// token is a word of a text in small letters; stop says that a clause ends
// before it, comma that a comma stands there.
type token struct {
	word        string
	stop, comma bool
}

// sentence is one sentence of a text, or one item of a list together with the
// line that heads the list.
type sentence struct {
	text   string
	tokens []token
	block  int
}

// sentences cuts a text. A full stop within quotation marks, or one that no
// space follows, ends none.
func sentences(text string) []sentence {
	var out []sentence
	head := ""
	for i, b := range Blocks(text) {
		for _, it := range b.Items {
			out = append(out, sentence{it, tokenize(head + " " + it), i})
		}
		for _, s := range split(b.Text) {
			out = append(out, sentence{s, tokenize(s), i})
		}
		if head = ""; strings.HasSuffix(b.Text, ":") {
			head = b.Text
		}
	}
	return out
}

func split(s string) []string {
	var out []string
	from, quoted := 0, false
	rs := []rune(s)
	for i, r := range rs {
		switch {
		case r == '“':
			quoted = true
		case r == '”':
			quoted = false
		case (r == '.' || r == '!' || r == '?') && !quoted && (i+1 == len(rs) || rs[i+1] == ' '):
			out = append(out, strings.TrimSpace(string(rs[from:i+1])))
			from = i + 1
		}
	}
	if rest := strings.TrimSpace(string(rs[from:])); rest != "" {
		out = append(out, rest)
	}
	return out
}

// turning are words that end what a "no" before them denies.
var turning = []string{"but", "except", "excepting", "however", "though", "although", "besides", "apart", "other", "only", "save", "aside"}

func tokenize(s string) []token {
	var out []token
	var word strings.Builder
	stop, comma := false, false
	end := func() {
		if w := strings.Trim(word.String(), "'.-"); w != "" {
			out = append(out, token{w, stop || slices.Contains(turning, w), comma})
			stop, comma = false, false
		}
		word.Reset()
	}
	rs := []rune(strings.ToLower(strings.ReplaceAll(s, "’", "'")))
	for i, r := range rs {
		inside := i > 0 && i+1 < len(rs)
		switch {
		case unicode.IsLetter(r) || unicode.IsDigit(r),
			r == '\'' && inside,
			r == '.' && inside && unicode.IsDigit(rs[i-1]) && unicode.IsDigit(rs[i+1]):
			word.WriteRune(r)
		default:
			end()
			stop = stop || strings.ContainsRune(";:()–—", r)
			comma = comma || r == ','
		}
	}
	end()
	return out
}

// find looks for a phrase from token i on and says where it begins, -1 for
// nowhere. A word that ends in * stands for every word that begins so.
func find(ts []token, phrase string, from int) int {
	want := strings.Fields(phrase)
	for i := from; i+len(want) <= len(ts); i++ {
		ok := true
		for k, w := range want {
			if !isWord(ts[i+k].word, w) {
				ok = false
				break
			}
		}
		if ok {
			return i
		}
	}
	return -1
}

func isWord(have, want string) bool {
	if stem, ok := strings.CutSuffix(want, "*"); ok {
		return strings.HasPrefix(have, stem)
	}
	return have == want
}

// listDeniers deny everything in the list that follows: "no cracks, breaks or
// repairs". deniers deny what comes up to the next comma: "does not work, glued".
var (
	listDeniers = []string{"no", "never", "without", "nor", "none", "neither", "free"}
	deniers     = []string{"not", "isn't", "aren't", "wasn't", "weren't", "hasn't", "haven't", "cannot"}
)

// reach is how many words a denial reaches over.
const reach = 7

// denied tells whether what begins at token i is denied before it.
func denied(ts []token, i int) bool {
	comma := false
	for k := i; k > 0 && k > i-reach; k-- {
		if ts[k].stop {
			return false
		}
		comma = comma || ts[k].comma
		if w := ts[k-1].word; slices.Contains(listDeniers, w) || !comma && slices.Contains(deniers, w) {
			return true
		}
	}
	return false
}

// says tells whether one of the phrases is in the tokens; with plainly one that
// is denied does not count.
func says(ts []token, phrases []string, plainly bool) bool {
	for _, p := range phrases {
		for i := find(ts, p, 0); i >= 0; i = find(ts, p, i+1) {
			if !plainly || !denied(ts, i) {
				return true
			}
		}
	}
	return false
}

// filler are words that carry nothing of what a text is about.
var filler = strings.Fields(`the and for was were are with that this from have has had not its under over into onto been also than then them they their there here very some any all
	which when what where who whom whose will would could should one two said says seen look looked nobody nothing made being because between about opened inspected examined checked tried tested judged taken measured`)

// content are the words of a text that say what it is about.
func content(text string) []string {
	var out []string
	for _, t := range tokenize(text) {
		figure := t.word[0] >= '0' && t.word[0] <= '9'
		if (figure || len([]rune(t.word)) >= 3) && !slices.Contains(filler, t.word) && !slices.Contains(out, t.word) {
			out = append(out, t.word)
		}
	}
	return out
}

// shares tells whether a sentence has at least half of the words.
func shares(ts []token, words []string) bool {
	n := 0
	for _, w := range words {
		stem := w
		if len(w) > 4 {
			stem = strings.TrimSuffix(w, "s") + "*"
		}
		if find(ts, stem, 0) >= 0 {
			n++
		}
	}
	return n > 0 && 2*n >= len(words)
}
