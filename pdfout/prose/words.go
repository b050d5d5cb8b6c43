package prose

import (
	"fmt"
	"slices"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"

	"golang.org/x/text/unicode/norm"

	"wornwood/annotate/outline"
	"wornwood/capture/record"
)

// clean makes a text of the record fit for a sentence: composed characters, one
// space where there was any white space.
func clean(s string) string { return strings.Join(strings.Fields(norm.NFC.String(s)), " ") }

// bare is clean without the full stop at the end, for a text within a sentence.
func bare(s string) string { return strings.TrimRight(clean(s), " .;,") }

// upper gives a text a capital first letter.
func upper(s string) string { return first(s, unicode.ToUpper) }

// lower gives a text a small first letter, unless its first word is in capitals
// or has a figure: "PAF", "A4".
func lower(s string) string {
	word, _, _ := strings.Cut(s, " ")
	for i, r := range word {
		if i > 0 && !unicode.IsLower(r) && r != '-' && r != ',' {
			return s
		}
	}
	return first(s, unicode.ToLower)
}

func first(s string, f func(rune) rune) string {
	r, n := utf8.DecodeRuneInString(s)
	if n == 0 || r == utf8.RuneError {
		return s
	}
	return string(f(r)) + s[n:]
}

// number writes small numbers in words.
func number(n int) string {
	small := []string{"no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve"}
	if n >= 0 && n < len(small) {
		return small[n]
	}
	return fmt.Sprint(n)
}

// count writes a number of things.
func count(n int, one, many string) string {
	if n == 1 {
		return "one " + one
	}
	return number(n) + " " + many
}

// list joins words: a, b and c.
func list(items []string) string {
	if len(items) < 2 {
		return strings.Join(items, "")
	}
	return strings.Join(items[:len(items)-1], ", ") + " and " + items[len(items)-1]
}

// date is a day in words, "" for none.
func date(t time.Time) string {
	if t.IsZero() {
		return ""
	}
	return t.Format("2 January 2006")
}

// many tells whether a name of one or more parts wants a verb in the plural.
func many(names ...string) bool {
	return len(names) > 1 || len(names) == 1 && strings.HasSuffix(names[0], "s") && !strings.HasSuffix(names[0], "ss") ||
		len(names) == 1 && strings.Contains(names[0], " and ")
}

func verb(plural bool, one, more string) string {
	if plural {
		return more
	}
	return one
}

// Quoted is what somebody wrote, in quotation marks.
func Quoted(s string) string {
	return "“" + strings.NewReplacer("“", "'", "”", "'", "\"", "'").Replace(clean(s)) + "”"
}

func partNames(parts []record.PartID) []string {
	out := make([]string, len(parts))
	for i, p := range parts {
		out[i] = clean(string(p))
	}
	return out
}

// Runs writes a list of numbers with runs joined: 1–3, 7.
func Runs(ns []int) string {
	ns = slices.Clone(ns)
	slices.Sort(ns)
	ns = slices.Compact(ns)
	var out []string
	for i := 0; i < len(ns); {
		j := i
		for j+1 < len(ns) && ns[j+1] == ns[j]+1 {
			j++
		}
		switch j - i {
		case 0:
			out = append(out, fmt.Sprint(ns[i]))
		case 1:
			out = append(out, fmt.Sprint(ns[i]), fmt.Sprint(ns[j]))
		default:
			out = append(out, fmt.Sprintf("%d–%d", ns[i], ns[j]))
		}
		i = j + 1
	}
	return strings.Join(out, ", ")
}

// Place says in words where one place of a mark is, "" when the drawing has no
// word for it.
func Place(d *outline.Drawing, p record.Place) string {
	if len(p.Points) > 0 {
		if s := d.Span(outline.Side(p.Side), p.Points); s != "" {
			return s
		}
		if r, ok := d.Region(p.Region); ok {
			return r.Name
		}
		return clean(p.Side)
	}
	s := clean(string(p.Part))
	if len(p.Pieces) > 0 {
		return s + " " + Runs(p.Pieces)
	}
	if p.Coverage != nil {
		return fmt.Sprintf("%s, %.0f %% of it", s, *p.Coverage*100)
	}
	return s
}

// Where says in words where a mark is, each place once; "" for a mark that is
// not on the outline.
func Where(d *outline.Drawing, m *record.Mark) string {
	var out []string
	for _, p := range m.On {
		if s := Place(d, p); s != "" && !slices.Contains(out, s) {
			out = append(out, s)
		}
	}
	return strings.Join(out, "; ")
}
