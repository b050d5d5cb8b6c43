package attacktest

import (
	"fmt"
	"strings"

	"wornwood/pdfout/pdf"
	"wornwood/pdfout/sign"
)

// minimal writes objects with a table; the trailer's Root is 1.
func minimal(objects []string, trailer string) []byte {
	b := []byte("%PDF-1.7\n")
	rows := "0000000000 65535 f \n"
	for i, o := range objects {
		rows += fmt.Sprintf("%010d 00000 n \n", len(b))
		b = fmt.Appendf(b, "%d 0 obj\n%s\nendobj\n", i+1, o)
	}
	at := len(b)
	return fmt.Appendf(b, "xref\n0 %d\n%strailer\n<</Size %d /Root 1 0 R %s>>\nstartxref\n%d\n%%%%EOF\n", len(objects)+1, rows, len(objects)+1, trailer, at)
}

// hostile are files that nobody issued.
func (s *suite) hostile() {
	const root, empty = "<</Type /Catalog /Pages 2 0 R>>", "<</Type /Pages /Kids []>>"
	bomb, err := pdf.Deflate(make([]byte, 80<<20))
	s.fail(err)
	stream := func(dict string, data []byte) string {
		return fmt.Sprintf("<<%s /Length %d>>\nstream\n%s\nendstream", dict, len(data), data)
	}
	files := func(list string, objects ...string) []byte {
		return minimal(append([]string{"<</Type /Catalog /Pages 2 0 R /Names <</EmbeddedFiles " + list + ">>>>", empty}, objects...), "")
	}
	kids := "[" + strings.Repeat("2 0 R ", 200_000) + "]"
	for _, c := range []struct {
		name string
		data []byte
		code []sign.Code
	}{
		{"nothing", nil, []sign.Code{sign.Unreadable}},
		{"a text", []byte("Condition: excellent, trust me."), []sign.Code{sign.Unreadable}},
		{"a picture", []byte("\xFF\xD8\xFF\xE0 and so on"), []sign.Code{sign.Unreadable}},
		{"only a header", []byte("%PDF-1.7\n"), []sign.Code{sign.Unreadable}},
		{"only an end", []byte("%PDF-1.7\nstartxref\n0\n%%EOF\n"), []sign.Code{sign.Unreadable}},
		{"a million blanks", []byte("%PDF-1.7\n" + strings.Repeat(" ", 1<<20)), []sign.Code{sign.Unreadable}},
		{"an empty document", minimal([]string{root, empty}, ""), []sign.Code{sign.NotSigned}},
		{"a page tree in a circle", minimal([]string{root, "<</Type /Pages /Kids [2 0 R]>>"}, ""), []sign.Code{sign.Unreadable}},
		{"a page tree of two hundred thousand itself", minimal([]string{root, "<</Type /Pages /Kids " + kids + ">>"}, ""), []sign.Code{sign.Unreadable, sign.TooLarge}},
		{"references in a circle", minimal([]string{root, "3 0 R", "2 0 R"}, ""), []sign.Code{sign.Unreadable}},
		{"lists nested a hundred thousand deep", minimal([]string{root, strings.Repeat("[", 100_000)}, ""), []sign.Code{sign.TooLarge}},
		{"dictionaries nested deep", minimal([]string{root, strings.Repeat("<</A ", 100_000)}, ""), []sign.Code{sign.TooLarge}},
		{"brackets without end", minimal([]string{root, "(" + strings.Repeat("(", 100_000)}, ""), []sign.Code{sign.TooLarge, sign.Unreadable}},
		{"a stream longer than the file", minimal([]string{root, "<</Length 99999999999>>\nstream\nx\nendstream"}, ""), []sign.Code{sign.Unreadable}},
		{"a length that is its own stream", minimal([]string{root, "<</Length 2 0 R>>\nstream\nx\nendstream"}, ""), []sign.Code{sign.Unreadable}},
		{"a name given twice", minimal([]string{"<</Type /Catalog /Pages 2 0 R /Pages 3 0 R>>", "<<>>"}, ""), []sign.Code{sign.Unreadable}},
		{"a form in a circle", minimal([]string{"<</Type /Catalog /Pages 2 0 R /AcroForm <</Fields [3 0 R]>>>>", empty, "<</T (a) /Kids [3 0 R]>>"}, ""), []sign.Code{sign.Unreadable}},
		{"attachments in a circle", files("3 0 R", "<</Kids [3 0 R]>>"), []sign.Code{sign.Unreadable}},
		{"an attachment that unpacks without end", files("<</Names [(a) <</UF (a) /EF <</F 3 0 R>>>>]>>", stream("/Filter /FlateDecode", bomb)), []sign.Code{sign.AttachmentBroken}},
		{"two files under one name", files("<</Names [(a) <</UF (a) /EF <</F 3 0 R /UF 4 0 R>>>>]>>", stream("", []byte("one")), stream("", []byte("two"))), []sign.Code{sign.AttachmentBroken}},
		{"a filter chain of a thousand", files("<</Names [(a) <</UF (a) /EF <</F 3 0 R>>>>]>>", stream("/Filter ["+strings.Repeat("/FlateDecode ", 1000)+"]", []byte("x"))), []sign.Code{sign.AttachmentBroken, sign.TooLarge, sign.Unreadable}},
		{"five hundred files that are one and the same", files("<</Names ["+same(500)+"]>>", stream("", make([]byte, 64<<10))), []sign.Code{sign.AttachmentBroken}},
		{"objects inside each other", nested(3000), []sign.Code{sign.TooLarge, sign.Unreadable, sign.NotSigned}},
		{"a table with more rows than bytes", []byte("%PDF-1.7\nxref\n0 2000000000\n0000000000 65535 f \ntrailer\n<</Size 2000000000 /Root 1 0 R>>\nstartxref\n9\n%%EOF\n"), []sign.Code{sign.Unreadable, sign.TooLarge}},
	} {
		s.add(c.name, c.data, c.code...)
	}
}

// same names one object as n attached files.
func same(n int) string {
	var b strings.Builder
	for i := range n {
		fmt.Fprintf(&b, "(%04d) <</UF (%04d) /EF <</F 3 0 R>>>>", i, i)
	}
	return b.String()
}

// nested makes n objects of which each contains all later ones in a string.
func nested(n int) []byte {
	b := []byte("%PDF-1.7\n1 0 obj\n<</Type /Catalog /Pages 2 0 R>>\nendobj\n2 0 obj\n<</Type /Pages /Kids []>>\nendobj\n")
	rows := fmt.Sprintf("0000000000 65535 f \n%010d 00000 n \n%010d 00000 n \n", 9, strings.Index(string(b), "2 0 obj"))
	for i := range n {
		rows += fmt.Sprintf("%010d 00000 n \n", len(b))
		b = fmt.Appendf(b, "%d 0 obj (", i+3)
	}
	b = append(b, strings.Repeat(")\nendobj\n", n)...)
	at := len(b)
	return fmt.Appendf(b, "xref\n0 %d\n%strailer\n<</Size %d /Root 1 0 R>>\nstartxref\n%d\n%%%%EOF\n", n+3, rows, n+3, at)
}
