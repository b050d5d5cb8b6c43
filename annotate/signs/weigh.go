package signs

import (
	"fmt"
	"slices"
	"strings"

	"wornwood/capture/record"
)

// Sentence is one thing that the answers say of a part.
type Sentence struct {
	Text    string // with the signs named: "2 of 5 signs of a refinish were seen: ...; stated as original"
	Short   string // without them, for a table: "stated original; 2 signs of a refinish were seen"
	Against bool   // it does not go with what the part is stated to be
}

// Tally counts the answers to the signs of one kind.
type Tally struct {
	Kind      Speaks
	Asked     int    // signs of the kind that the list has
	Seen      []Sign // answered "seen"
	NotSeen   int
	NotOpened int
}

// Looked is how many of the signs were looked for.
func (t Tally) Looked() int { return len(t.Seen) + t.NotSeen }

// Count tallies a part's answers by kind, for the kinds that the list has.
func Count(p record.Part, list []Sign) []Tally {
	var out []Tally
	for _, k := range Kinds() {
		t := Tally{Kind: k}
		for _, s := range list {
			if s.Speaks != k {
				continue
			}
			t.Asked++
			switch Answer(p, s.ID) {
			case "seen":
				t.Seen = append(t.Seen, s)
			case "not seen":
				t.NotSeen++
			case "not opened":
				t.NotOpened++
			}
		}
		if t.Asked > 0 {
			out = append(out, t)
		}
	}
	return out
}

// Answer is what was answered to a sign on a part, "" for nothing.
func Answer(p record.Part, id string) string {
	for _, s := range p.Signs {
		if s.ID == id {
			return s.Answer
		}
	}
	return ""
}

// Weigh sets the answers to the signs beside what the part is stated to be. It
// points out what does not go together and leaves open which of the two is
// wrong: a sign can have another cause, a statement can rest on a paper.
// Without an answer there is no sentence.
func Weigh(p record.Part, list []Sign) []Sentence {
	var out []Sentence
	tallies := Count(p, list)
	for _, t := range tallies {
		if len(t.Seen) > 0 {
			out = append(out, seenSentence(p, t))
		} else if claims(p.State, t.Kind) && t.Looked() > 0 && t.NotOpened == 0 && t.Looked() == t.Asked {
			out = append(out, absentSentence(p, t))
		}
	}
	if s, ok := bothSentence(tallies); ok {
		out = append(out, s)
	}
	if s, ok := noneSentence(tallies); ok && len(out) == 0 {
		out = append(out, s)
	}
	out = append(out, openSentences(p, tallies)...)
	return append(out, unknownSentences(p, list)...)
}

// Against lists the short sentences of what does not go with the state.
func Against(p record.Part, list []Sign) []string {
	var out []string
	for _, s := range Weigh(p, list) {
		if s.Against {
			out = append(out, s.Short)
		}
	}
	return out
}

// contradicts tells whether a sign of the kind, when seen, does not go with
// the state. What nobody judged is contradicted by nothing. A replacement may
// have a coat of its own and be altered or mended; an altered part may be
// coated anew and mended, but is still the first; a missing part can show
// nothing.
func contradicts(st record.State, k Speaks) bool {
	switch st {
	case record.Original:
		return k == Refinish || k == Replacement || k == Alteration
	case record.PeriodReplacement, record.LaterReplacement:
		return k == Original
	case record.Refinished:
		return k == Original || k == Replacement || k == Alteration
	case record.Altered:
		return k == Replacement
	case record.Missing, record.NotFitted:
		return true
	}
	return false
}

// claims tells whether a state says that signs of the kind ought to be there.
func claims(st record.State, k Speaks) bool {
	switch st {
	case record.PeriodReplacement, record.LaterReplacement:
		return k == Replacement
	case record.Refinished:
		return k == Refinish
	case record.Altered:
		return k == Alteration
	case record.Original:
		return k == Original
	}
	return false
}

// stated is the end of a sentence on the state.
func stated(st record.State) string {
	if st == "" || st == record.NotSeen {
		return "not judged yet"
	}
	return "stated as " + string(st)
}

func seenSentence(p record.Part, t Tally) Sentence {
	n := len(t.Seen)
	s := Sentence{Against: contradicts(p.State, t.Kind)}
	s.Text = fmt.Sprintf("%d of %s of %s %s seen: %s", n, count(t.Asked, "sign", "signs"), t.Kind.Phrase(), was(n), Names(t.Seen))
	if s.Against || p.State == "" || p.State == record.NotSeen {
		s.Text += "; " + stated(p.State)
	}
	s.Short = fmt.Sprintf("%s of %s %s seen", count(n, "sign", "signs"), t.Kind.Phrase(), was(n))
	if s.Against {
		s.Short = "stated " + string(p.State) + "; " + s.Short
	}
	return s
}

// absentSentence is on a state whose signs were all looked for and not found.
func absentSentence(p record.Part, t Tally) Sentence {
	what := fmt.Sprintf("none of the %d signs of %s was seen", t.Asked, t.Kind.Phrase())
	if t.Asked == 1 {
		what = "the one sign of " + t.Kind.Phrase() + " was looked for and not seen"
	}
	return Sentence{Text: "Stated as " + string(p.State) + "; " + what, Short: "stated " + string(p.State) + "; " + what, Against: true}
}

// bothSentence is on signs that speak for an original part beside signs that
// speak against it.
func bothSentence(ts []Tally) (Sentence, bool) {
	var against []string
	original := false
	for _, t := range ts {
		if len(t.Seen) == 0 || t.Kind == Repair {
			continue
		}
		if t.Kind == Original {
			original = true
		} else {
			against = append(against, t.Kind.Phrase())
		}
	}
	if !original || len(against) == 0 {
		return Sentence{}, false
	}
	s := "Signs of an original part and of " + and(against) + " were both seen: one of them has another cause, or only a portion was changed"
	return Sentence{Text: s, Short: lower(s)}, true
}

// noneSentence says that what was looked for was not seen.
func noneSentence(ts []Tally) (Sentence, bool) {
	looked := 0
	for _, t := range ts {
		looked += t.Looked()
	}
	if looked == 0 {
		return Sentence{}, false
	}
	s := fmt.Sprintf("%s looked for, none seen", count(looked, "sign was", "signs were"))
	return Sentence{Text: s, Short: s}, true
}

// openSentences are on what was not opened and on answers to a part that is
// not to be looked at.
func openSentences(p record.Part, ts []Tally) []Sentence {
	closed := 0
	for _, t := range ts {
		closed += t.NotOpened
	}
	if closed == 0 {
		return nil
	}
	s := count(closed, "sign was not looked for: not opened", "signs were not looked for: not opened")
	return []Sentence{{Text: s, Short: s}}
}

// unknownSentences are on answers to signs that the list does not have: of
// another version of the table, or given before the class was changed.
func unknownSentences(p record.Part, list []Sign) []Sentence {
	n := 0
	for _, a := range p.Signs {
		if !slices.ContainsFunc(list, func(s Sign) bool { return s.ID == a.ID }) {
			n++
		}
	}
	if n == 0 {
		return nil
	}
	s := count(n, "answer belongs to a sign", "answers belong to signs") + " that this list does not have; kept, not weighed"
	return []Sentence{{Text: s, Short: s}}
}

// Names lists signs as they stand in a sentence: "second set of screw holes;
// one of the set unlike the others".
func Names(list []Sign) string {
	var out []string
	for _, s := range list {
		out = append(out, lower(s.Ask))
	}
	return strings.Join(out, "; ")
}

// lower begins a text in small letters, unless its first word is a name or has
// a capital inside.
func lower(s string) string {
	if len(s) > 1 && s[1] >= 'a' && s[1] <= 'z' {
		return strings.ToLower(s[:1]) + s[1:]
	}
	if strings.HasPrefix(s, "A ") {
		return "a " + s[2:]
	}
	return s
}

func count(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, many)
}

func was(n int) string {
	if n == 1 {
		return "was"
	}
	return "were"
}

func and(list []string) string {
	if len(list) < 2 {
		return strings.Join(list, "")
	}
	return strings.Join(list[:len(list)-1], ", ") + " and " + list[len(list)-1]
}
