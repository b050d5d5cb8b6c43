package view

import (
	"fmt"
	"slices"
	"strings"

	"wornwood/pdfout/archive"
)

// ArchiveTyped is what is being typed into a query line: one term of it.
type ArchiveTyped struct {
	line     []rune
	from, to int // the piece of the line that a suggestion takes the place of
	not      bool
	field    string
	begin    string
}

// ArchiveSuggestion is one way to go on with a line.
type ArchiveSuggestion struct {
	Text string // as it would stand in the line
	Note string // what it is, or how many reports have it
	Line string // the whole line with it
	At   int    // where typing goes on, in letters
}

// Typing looks at the term of a line in which the caret stands; ok is false where
// it stands in none.
func Typing(line string, caret int) (t ArchiveTyped, ok bool) {
	letters := []rune(line)
	for _, m := range archive.LineTerms(line) {
		if m.From < caret && caret <= m.To {
			return ArchiveTyped{line: letters, from: m.From, to: m.To, not: m.Not, field: m.Field, begin: m.Value}, !m.Quoted
		}
	}
	return ArchiveTyped{}, false
}

// fieldNotes say what each field is.
var fieldNotes = map[string]string{
	"maker": "of the instrument", "model": "of the instrument", "class": "of the instrument", "serial": "blanks and dashes aside; O is 0, I is 1", "number": "of the report",
	"examiner": "who examined it", "shop": "the dealer", "year": "claimed: 1974, 1970..1979", "date": "of the examination: 2026-11, 2025..", "filed": "when it was filed: 2026-11",
	"index": "condition: 80.., ..50", "condition": "class 1 to 6", "kind": "of a mark", "part": "tuners=replaced", "purpose": "why it was examined", "key": "fingerprint of the signer's key",
	"verdict": "how well the signer was known", "has": "countersignature, photos …", "sort": "the order of the list",
}

// fixedValues are the values of fields that need no index.
func fixedValues(field string) []ArchiveSuggestion {
	words := map[string][]string{
		"verdict": {"known", "trusted", "unknown"}, "has": {"countersignature", "timestamp", "originals", "photos", "marks"}, "condition": {"1", "2", "3", "4", "5", "6"},
	}[field]
	if field == "sort" {
		for _, n := range archive.SortNames() {
			words = append(words, n, "-"+n)
		}
	}
	var out []ArchiveSuggestion
	for _, w := range words {
		note := ""
		if field == "sort" && strings.HasPrefix(w, "-") {
			note = "the other way round"
		}
		out = append(out, ArchiveSuggestion{Text: w, Note: note})
	}
	return out
}

// suggestMost bounds how many are shown.
const suggestMost = 8

// Fields are the suggestions that need no index: names of fields, and values of
// those that have few.
func (t ArchiveTyped) Fields() []ArchiveSuggestion {
	var out []ArchiveSuggestion
	begin := archive.FoldText(t.begin)
	if t.not && t.field == "sort" {
		return nil // there is no order that is not to be
	}
	if t.field != "" {
		for _, s := range fixedValues(t.field) {
			if strings.HasPrefix(s.Text, begin) && s.Text != begin {
				out = append(out, t.with(archive.TermText(t.field, s.Text), s.Note, true))
			}
		}
		return out[:min(len(out), suggestMost)]
	}
	if begin == "" {
		return nil
	}
	for _, f := range archive.QueryFields() {
		if strings.HasPrefix(f, begin) && !(t.not && f == "sort") {
			out = append(out, t.with(f+":", fieldNotes[f], false))
		}
	}
	return out[:min(len(out), suggestMost)]
}

// with is the line with a term in place of what was typed.
func (t ArchiveTyped) with(term, note string, done bool) ArchiveSuggestion {
	if t.not {
		term = "-" + term
	}
	s := ArchiveSuggestion{Text: term, Note: note, At: t.from + len([]rune(term))}
	rest := string(t.line[t.to:])
	if done {
		rest = strings.TrimLeft(rest, " ")
		s.At++
		term += " "
	}
	s.Line = string(t.line[:t.from]) + term + rest
	return s
}

// looseFields are those whose values are offered for a word without a field.
var looseFields = []string{"maker", "kind", "shop", "examiner"}

// Values are suggestions out of the archive; it may run in any goroutine. Of an
// archive that cannot say, there are none.
func (t ArchiveTyped) Values(a *archive.Archive) []ArchiveSuggestion {
	if t.field != "" && slices.Contains(archive.SuggestFields(), t.field) {
		return t.values(a, t.field, suggestMost)
	}
	var out []ArchiveSuggestion
	if t.field == "" && len([]rune(t.begin)) >= 2 {
		for _, f := range looseFields {
			out = append(out, t.values(a, f, 3)...)
		}
	}
	return out
}

func (t ArchiveTyped) values(a *archive.Archive, field string, most int) []ArchiveSuggestion {
	if field == "part" && strings.Contains(t.begin, "=") {
		return nil
	}
	list, err := a.Suggest(field, t.begin, most)
	if err != nil {
		return nil
	}
	var out []ArchiveSuggestion
	for _, c := range list {
		if strings.ContainsRune(c.Value, '"') || len(archive.Words(c.Value)) == 0 {
			continue
		}
		note := ""
		if c.N > 0 {
			note = count(c.N, "report", "reports")
			if c.N > 999 {
				note = Grouped(c.N) + " reports"
			}
		}
		if s := t.with(archive.TermText(field, c.Value), note, true); s.Line != string(t.line) {
			out = append(out, s)
		}
	}
	return out
}

// Suggested puts suggestions of fields and values together, as many as are shown.
func Suggested(fields, values []ArchiveSuggestion) []ArchiveSuggestion {
	out := append(slices.Clone(fields), values...)
	return out[:min(len(out), suggestMost+2)]
}

// ArchiveQueryHelp explains the line, by what is typed and what it asks for.
func ArchiveQueryHelp() [][2]string {
	var out [][2]string
	for _, l := range strings.Split(archive.QueryHelp, "\n") {
		body, is := strings.CutPrefix(l, "  ")
		if !is {
			continue
		}
		left, right, _ := strings.Cut(body, "  ")
		left, right = strings.TrimSpace(left), strings.TrimSpace(right)
		switch {
		case left == "" && len(out) > 0:
			out[len(out)-1][1] += " " + right
		case right == "": // all names of a row stand in one column
			if i := strings.LastIndex(left, ": "); i > 0 {
				left, right = left[:i+1], left[i+2:]
			}
			out = append(out, [2]string{left, right})
		default:
			out = append(out, [2]string{left, right})
		}
	}
	return out
}

// SearchNote says of a saved search who kept it.
func SearchNote(s archive.SavedSearch) string {
	return fmt.Sprintf("%s, %s", s.By, s.Time.Format("2006-01-02"))
}
