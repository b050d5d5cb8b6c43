package pdfout

import (
	"strings"
	"testing"

	"wornwood/capture/record"
	"wornwood/pdfout/catalogue"
	"wornwood/pdfout/reporttest"
)

// The pages hold in every language: nothing outside the margins, nothing over
// another, no page with nothing but its foot, no heading that stands last.
func TestLayoutsInOtherLanguages(t *testing.T) {
	cases := map[string]*record.Record{
		"empty": {Schema: record.Schema, Instrument: record.Instrument{Class: "solid-body double-cutaway"}}, "demo": reporttest.Demo(12),
		"0 marks": reporttest.Many(0, 0), "12 marks": reporttest.Many(12, 12), "200 marks": reporttest.Many(200, 3), "long names": longNames(5),
		"electronics": wired(3), "setup": setUp(), "intonation": intoned(), "papers": papers(12), "dated": dated(40),
		"parts": told(t, "solid-body double-cutaway", ""), "violin": told(t, "violin", "seen"),
	}
	// What is laid out by the table breaks on Letter as on A4; page 1 and the
	// drawings are other.
	letter := []string{"empty", "demo", "0 marks", "12 marks", "200 marks", "long names"}
	for _, lang := range catalogue.Languages()[1:] {
		heads := headings(t, lang)
		for name, rec := range cases {
			for _, paper := range []string{"A4", "Letter"} {
				if paper == "Letter" && !contains(letter, name) {
					continue
				}
				t.Run(lang+" "+strings.ReplaceAll(name, " ", "-")+" "+paper, func(t *testing.T) {
					for i, p := range readWords(t, build(t, rec, func(in *Input) { in.Paper, in.Language, in.Inches = paper, lang, true })) {
						checkSheet(t, i+1, p)
						checkHeadings(t, i+1, p, heads)
					}
				})
			}
		}
	}
}

// headings are the first words of the sections' titles.
func headings(t *testing.T, lang string) []string {
	text, err := catalogue.For(lang)
	if err != nil {
		t.Fatal(err)
	}
	var out []string
	for _, s := range []string{"marks", "closeups", "ledger", "parts", "extras", "electronics", "playing", "intonation", "dating", "claims", "words", "notExamined", "photos", "originals",
		"documents", "verify", "scale", "cautions", "signatures"} {
		first, _, _ := strings.Cut(text.Say("section."+s), " ")
		out = append(out, strings.TrimSuffix(first, ","))
	}
	return out
}

// checkHeadings sees that below each heading there is at least a line of what
// it heads.
func checkHeadings(t *testing.T, n int, p sheetOfWords, heads []string) {
	t.Helper()
	foot := p.Height - 16*72/25.4
	for _, w := range p.Words {
		if w.Y1-w.Y0 < 16 || !contains(heads, strings.TrimSuffix(w.Text, ",")) {
			continue // section heads are the only words of that size
		}
		below := 0
		for _, v := range p.Words {
			if v.Y0 > w.Y1 && v.Y1 < foot {
				below++
			}
		}
		if below < 2 && w.Y1 > foot-80 {
			t.Errorf("page %d: the heading %q stands last", n, w.Text)
		}
	}
}
