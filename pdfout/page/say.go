package page

import (
	"fmt"
	"strings"
	"time"

	"wornwood/capture/record"
	"wornwood/pdfout/catalogue"
)

// Every text that this package prints goes through these: a message by its ID,
// a word of one of the program's lists by its group, a sentence that a package
// below has composed by the group of its pattern. A text of the user's is
// printed as it is.

func (l *layout) say(id string, args ...any) string { return l.t.Say(id, args...) }

// sayCount is a message whose forms are chosen by a number, which is written out
// where it is small.
func (l *layout) sayCount(id string, n int, args ...any) string {
	return l.t.Say(id, append([]any{catalogue.InWords(n)}, args...)...)
}

func (l *layout) word(group, english string) string { return l.t.Word(group, clean(english)) }

// usually is word for an entry that may be the user's own.
func (l *layout) usually(group, english string) string { return l.t.Usual(group, clean(english)) }

func (l *layout) phrase(group, english string) string { return l.t.Phrase(group, clean(english)) }

func (l *layout) part(p record.PartID) string { return l.word("part", string(p)) }

// wordList is a list of words, parted by commas.
func (l *layout) wordList(group string, list []string) string {
	var out []string
	for _, s := range list {
		out = append(out, l.word(group, s))
	}
	return strings.Join(out, ", ")
}

// figures writes the decimal points of a measured value as the language does.
func (l *layout) figures(s string) string { return l.t.Figures(clean(s)) }

func (l *layout) plain(v float64, decimals int) string { return l.t.Figures(plain(v, decimals)) }

func (l *layout) number(n int) string { return l.t.Number(n) }

func (l *layout) list(items []string) string { return l.t.List(items) }

// lower begins a text that stands within a sentence.
func (l *layout) lower(s string) string {
	if l.t.IsEnglish() {
		return lower(s)
	}
	return l.t.Lower(s)
}

func (l *layout) date(at time.Time) string { return l.t.Date(at) }

func (l *layout) quoted(s string) string { return l.say("quoted", clean(s)) }

// reading is the name of a reading: one of the rubric's, or the user's own.
func (l *layout) reading(id string) string { return l.usuallyPhrase("reading", id) }

// usual is a range of the rubric in words.
func (l *layout) usual(s string) string { return l.usuallyPhrase("range", s) }

// usuallyPhrase is phrase for a text that may be the user's own.
func (l *layout) usuallyPhrase(group, english string) string {
	return l.t.UsualPhrase(group, clean(english))
}

// bytesWords is a file's size in words.
func (l *layout) bytesWords(n int64) string {
	if n >= 1_000_000 {
		return l.say("size.MB", l.figures(fmt.Sprintf("%.1f", float64(n)/1e6)))
	}
	return l.say("size.kB", (n+500)/1000)
}
