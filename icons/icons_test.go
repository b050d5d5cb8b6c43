package icons

import (
	"bytes"
	"encoding/xml"
	"io"
	"regexp"
	"strings"
	"testing"

	"golang.org/x/image/font/sfnt"
)

// Every drawing is well-formed XML (checked with the standard library's
// parser), sits on the 24-unit grid and carries no colour but Ink, so that
// Coloured changes all of it.
func TestDrawings(t *testing.T) {
	if len(Names()) < 30 {
		t.Fatalf("only %d drawings embedded", len(Names()))
	}
	colour := regexp.MustCompile(`(?:stroke|fill)="([^"]*)"`)
	for _, n := range Names() {
		svg := SVG(n)
		d := xml.NewDecoder(bytes.NewReader(svg))
		for {
			_, err := d.Token()
			if err == io.EOF {
				break
			}
			if err != nil {
				t.Fatalf("%s: %v", n, err)
			}
		}
		if !bytes.Contains(svg, []byte(`viewBox="0 0 24 24"`)) || !bytes.Contains(svg, []byte(`stroke-width="1.6"`)) {
			t.Errorf("%s is not drawn on the 24-unit grid with 1.6-unit strokes", n)
		}
		for _, m := range colour.FindAllSubmatch(svg, -1) {
			if c := string(m[1]); c != "none" && c != Ink {
				t.Errorf("%s has the colour %s of its own", n, c)
			}
		}
		if c := Coloured(n, "#123456"); strings.Contains(string(c), Ink) {
			t.Errorf("%s: Coloured left some of the ink", n)
		}
	}
}

// The characters that the reports print exist in the typefaces. The list is
// what the program's own words use: names with diacritics, dashes, plus-minus,
// multiplication sign, Greek delta, superscript two, quotation marks.
func TestFonts(t *testing.T) {
	want := []string{"condensed", "condensed-semibold", "mono", "sans", "sans-semibold", "serif", "serif-medium"}
	if got := strings.Join(Fonts(), " "); got != strings.Join(want, " ") {
		t.Fatalf("typefaces are %q", got)
	}
	for _, n := range Fonts() {
		f, err := sfnt.Parse(Font(n))
		if err != nil {
			t.Fatalf("%s: %v", n, err)
		}
		var b sfnt.Buffer
		fam, err := f.Name(&b, sfnt.NameIDFamily)
		if err != nil || !strings.HasPrefix(fam, "IBM Plex") {
			t.Errorf("%s is the family %q (%v)", n, fam, err)
		}
		need := "AZaz09 ØøŁłÅé–—−±×²·“”’…€°∆Ω≥≤≈→"
		if strings.HasPrefix(n, "sans") {
			need += "ΔΩ" // the Greek letters are in the sans only; the others have the increment and ohm signs
		}
		for _, r := range need {
			g, err := f.GlyphIndex(&b, r)
			if err != nil || g == 0 {
				t.Errorf("%s has no glyph for %q (%v)", n, r, err)
			}
		}
	}
	if !bytes.Contains(FontLicence(), []byte("SIL OPEN FONT LICENSE Version 1.1")) {
		t.Error("the licence text is not the SIL Open Font License 1.1")
	}
}
