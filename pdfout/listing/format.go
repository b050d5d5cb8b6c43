package listing

import (
	"fmt"
	"html"
	"strings"
	"unicode"
)

// Markdown writes a plain text as Markdown (CommonMark 0.31): whatever means
// something there is escaped, so the text shows as it was typed.
func Markdown(text string) string {
	var b strings.Builder
	for i, k := range Blocks(text) {
		if i > 0 {
			b.WriteByte('\n')
		}
		switch {
		case k.Title:
			b.WriteString("# " + markdown(k.Text) + "\n")
		case k.Items != nil:
			for _, it := range k.Items {
				b.WriteString("- " + markdown(it) + "\n")
			}
		default:
			b.WriteString(markdown(k.Text) + "\n")
		}
	}
	return b.String()
}

// markdown escapes one line. CommonMark section 2.4: a backslash before any
// ASCII punctuation makes it ordinary. Only what could mean something is
// escaped, so that the text stays readable as it is.
func markdown(s string) string {
	var b strings.Builder
	digits := true // only figures so far: "1." begins a list
	for i, r := range s {
		switch {
		case strings.ContainsRune("\\`*_[]<>#|~&$", r),
			i == 0 && strings.ContainsRune("+-=:", r),
			digits && i > 0 && (r == '.' || r == ')'),
			r == '!' && strings.HasPrefix(s[i+1:], "["):
			b.WriteByte('\\')
		}
		digits = digits && r >= '0' && r <= '9'
		b.WriteRune(printable(r))
	}
	return linksOff(b.String())
}

// linksOff breaks what some readers turn into links by themselves.
func linksOff(s string) string { return strings.ReplaceAll(s, "://", "\\://") }

// printable takes control characters out; they mean nothing in a text.
func printable(r rune) rune {
	if unicode.IsControl(r) || r == unicode.ReplacementChar {
		return ' '
	}
	return r
}

// HTMLBody writes a plain text as HTML for pasting into a form: headings,
// paragraphs and lists, nothing else.
func HTMLBody(text string) string {
	var b strings.Builder
	for _, k := range Blocks(text) {
		switch {
		case k.Title:
			fmt.Fprintf(&b, "<h1>%s</h1>\n", escape(k.Text))
		case k.Items != nil:
			b.WriteString("<ul>\n")
			for _, it := range k.Items {
				fmt.Fprintf(&b, "<li>%s</li>\n", escape(it))
			}
			b.WriteString("</ul>\n")
		default:
			fmt.Fprintf(&b, "<p>%s</p>\n", escape(k.Text))
		}
	}
	return b.String()
}

func escape(s string) string { return html.EscapeString(strings.Map(printable, s)) }

// shown is a picture on the page.
type shown struct {
	file, alt     string
	width, height int
}

// page is the text with its photos, to look at in a browser. It asks no other
// machine for anything.
func page(text string, pictures []shown) string {
	title := "Listing"
	if bl := Blocks(text); len(bl) > 0 && bl[0].Title {
		title = bl[0].Text
	}
	var b strings.Builder
	b.WriteString("<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n<meta name=\"viewport\" content=\"width=device-width\">\n")
	fmt.Fprintf(&b, "<title>%s</title>\n", escape(title))
	b.WriteString("<style>body{max-width:48rem;margin:2rem auto;padding:0 1rem;font:1rem/1.5 sans-serif;color:#1f2326}img{width:100%;height:auto}figure{margin:1.5rem 0}figcaption{color:#5c6166}</style>\n</head>\n<body>\n")
	b.WriteString(HTMLBody(text))
	for _, p := range pictures {
		fmt.Fprintf(&b, "<figure><img src=\"%s\" width=\"%d\" height=\"%d\" alt=\"%s\"><figcaption>%s</figcaption></figure>\n",
			escape(p.file), p.width, p.height, escape(p.alt), escape(p.alt))
	}
	b.WriteString("</body>\n</html>\n")
	return b.String()
}
