package listing

import (
	"slices"
	"strings"

	"wornwood/pdfout/prose"
)

// gapsHead stands over the list of what was not examined.
const gapsHead = "Not examined:"

// Compose is the listing's text in its plain form: a title, paragraphs, a list
// of what was not examined. It is what Blocks reads back. With noSerials the
// serial number is withheld.
func Compose(s prose.Source, noSerials bool) string {
	var b strings.Builder
	b.WriteString(prose.Title(s.Record) + "\n")
	for _, p := range prose.Paragraphs(prose.Listing(s)) {
		b.WriteByte('\n')
		if p[0].Topic == prose.NotExamined {
			b.WriteString(gapsHead + "\n")
			for _, x := range p {
				b.WriteString("- " + x.Text + "\n")
			}
			continue
		}
		var kept []prose.Sentence
		for _, x := range p {
			if !noSerials || !slices.Contains(x.Rests, prose.SerialFact) {
				kept = append(kept, x)
			}
		}
		b.WriteString(prose.Text(kept) + "\n")
	}
	if noSerials {
		return withhold(b.String(), s.Record.Instrument.Serial)
	}
	return b.String()
}

// Withheld stands where a serial number was.
const Withheld = "[serial number withheld]"

// withhold takes a serial number out of a text, whatever its capitals.
func withhold(text, serial string) string {
	for _, at := range serialPlaces(text, serial) {
		text = text[:at[0]] + Withheld + text[at[1]:]
	}
	return text
}

// serialPlaces finds a serial number in a text, the last place first. Capitals
// and what parts the letters do not matter: "A-4 1873" is "a41873". One of fewer
// than three letters and figures is not looked for.
func serialPlaces(text, serial string) [][2]int {
	want := letters(serial, nil)
	var at []int
	have := letters(text, &at)
	if len(want) < 3 {
		return nil
	}
	var out [][2]int
	for from := 0; ; {
		i := strings.Index(have[from:], want)
		if i < 0 {
			break
		}
		i += from
		first, last := at[i], at[i+len(want)-1]
		alone := (i == 0 || at[i-1] < first-1) && (i+len(want) == len(have) || at[i+len(want)] > last+1)
		if alone {
			out = append([][2]int{{first, last + 1}}, out...)
		}
		from = i + len(want)
	}
	return out
}

// letters are the ASCII letters and figures of a text in small letters, and
// where they are.
func letters(s string, at *[]int) string {
	var b strings.Builder
	for i := 0; i < len(s); i++ {
		c := s[i]
		if c >= 'A' && c <= 'Z' {
			c += 'a' - 'A'
		}
		if c >= 'a' && c <= 'z' || c >= '0' && c <= '9' {
			b.WriteByte(c)
			if at != nil {
				*at = append(*at, i)
			}
		}
	}
	return b.String()
}

// Block is a piece of a text: its title, a paragraph, or a list.
type Block struct {
	Title bool
	Text  string
	Items []string // of a list; Text is then ""
}

// Blocks reads a plain text. The first line is the title when an empty line
// and more follow it; lines that begin with "- " are a list; empty lines part
// paragraphs.
func Blocks(text string) []Block {
	lines := strings.Split(strings.ReplaceAll(strings.ReplaceAll(text, "\r\n", "\n"), "\r", "\n"), "\n")
	for len(lines) > 0 && strings.TrimSpace(lines[0]) == "" {
		lines = lines[1:]
	}
	var out []Block
	fresh := true // the next line begins a block
	for i, l := range lines {
		l = strings.Join(strings.Fields(l), " ")
		item, isItem := strings.CutPrefix(l, "- ")
		switch {
		case l == "" || l == "-":
			fresh = true
		case isItem && len(out) > 0 && out[len(out)-1].Items != nil:
			out[len(out)-1].Items = append(out[len(out)-1].Items, item)
			fresh = false
		case isItem:
			out = append(out, Block{Items: []string{item}})
			fresh = false
		case fresh || out[len(out)-1].Items != nil:
			title := i == 0 && len(lines) > 1 && strings.TrimSpace(lines[1]) == "" && strings.TrimSpace(strings.Join(lines[1:], "")) != ""
			out = append(out, Block{Title: title, Text: l})
			fresh = false
		default:
			out[len(out)-1].Text += " " + l
		}
	}
	return out
}

// Plain writes blocks as Blocks reads them.
func Plain(blocks []Block) string {
	var b strings.Builder
	for i, k := range blocks {
		if i > 0 && !(k.Items != nil && strings.HasSuffix(blocks[i-1].Text, ":")) {
			b.WriteByte('\n')
		}
		if k.Items == nil {
			b.WriteString(k.Text + "\n")
		}
		for _, it := range k.Items {
			b.WriteString("- " + it + "\n")
		}
	}
	return b.String()
}
