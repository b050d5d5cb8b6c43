package listing_test

import (
	"bytes"
	"strings"
	"testing"
	"unicode/utf8"

	"wornwood/pdfout/listing"
	"wornwood/pdfout/reporttest"
)

// A draft of a bench made elsewhere is read or refused; one that is read is
// possible and comes back.
func FuzzRead(f *testing.F) {
	f.Fuzz(func(t *testing.T, data []byte) {
		d, err := listing.Read(bytes.NewReader(data))
		if err != nil {
			return
		}
		if err := d.Check(); err != nil {
			t.Fatal(err)
		}
		b, err := d.JSON()
		if err != nil {
			t.Fatal(err)
		}
		if _, err := listing.Read(bytes.NewReader(b)); err != nil {
			t.Fatalf("%s: %v", b, err)
		}
	})
}

// Any text is formatted and checked; its HTML has no element but those of its
// form, and blocks are read back as they were written.
func FuzzText(f *testing.F) {
	s := source(f, reporttest.Demo(0))
	f.Fuzz(func(t *testing.T, text string) {
		if !utf8.ValidString(text) {
			return
		}
		listing.Check(text, s, true)
		listing.Markdown(text)
		html := listing.HTMLBody(text)
		rest := strings.NewReplacer("<h1>", "", "</h1>", "", "<p>", "", "</p>", "", "<ul>", "", "</ul>", "", "<li>", "", "</li>", "").Replace(html)
		if strings.ContainsAny(rest, "<>") {
			t.Fatalf("%q became %q", text, html)
		}
		blocks := listing.Plain(listing.Blocks(text))
		if again := listing.Plain(listing.Blocks(blocks)); again != blocks {
			t.Fatalf("%q was read as %q, then as %q", text, blocks, again)
		}
	})
}
