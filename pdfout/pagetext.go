package pdfout

import (
	"fmt"
	"io"
	"unicode/utf16"

	"wornwood/pdfout/pdf"
)

// maxPageCommands bounds the drawing commands of one page, in bytes decoded.
const maxPageCommands = 16 << 20

// maxReportPages bounds how many pages are read for their text.
const maxReportPages = 2000

// pageTexts reads the strings that each page of a report shows, in the order
// in which they are drawn. It reads what this program writes, two bytes to a
// character, which are the character's own number; pages by other programs give
// other strings, which is what the caller wants to notice.
func pageTexts(r io.ReaderAt, size int64, lim pdf.Limits) ([][]string, error) {
	f, err := pdf.Open(r, size, lim)
	if err != nil {
		return nil, err
	}
	v := f.Last()
	refs, err := v.Pages()
	if err != nil {
		return nil, err
	}
	if len(refs) > maxReportPages {
		return nil, fmt.Errorf("%d pages are more than a report has", len(refs))
	}
	out := make([][]string, len(refs))
	for i, ref := range refs {
		d, err := v.Dict(ref)
		if err != nil {
			return nil, err
		}
		o, err := v.Resolve(d["Contents"])
		if err != nil {
			return nil, err
		}
		s, ok := o.(*pdf.Stream)
		if !ok {
			continue // a list of streams: not made here
		}
		b, err := s.Decode(maxPageCommands)
		if err != nil {
			return nil, err
		}
		out[i] = shownStrings(b)
	}
	return out, nil
}

// shownStrings finds the strings followed by the operator Tj.
func shownStrings(b []byte) []string {
	var out []string
	for i := 0; i < len(b); i++ {
		if b[i] != '(' {
			continue
		}
		raw, end := literal(b, i)
		i = end
		for end < len(b) && b[end] == ' ' {
			end++
		}
		if end+1 < len(b) && b[end] == 'T' && b[end+1] == 'j' {
			out = append(out, wide(raw))
		}
	}
	return out
}

// literal reads a string in parentheses (ISO 32000-1, 7.3.4.2) from its opening
// one and returns where it ends.
func literal(b []byte, i int) (raw []byte, end int) {
	depth := 0
	for ; i < len(b); i++ {
		switch c := b[i]; c {
		case '(':
			if depth++; depth > 1 {
				raw = append(raw, c)
			}
		case ')':
			if depth--; depth == 0 {
				return raw, i + 1
			}
			raw = append(raw, c)
		case '\\':
			if i++; i < len(b) {
				raw = append(raw, unescape(b[i]))
			}
		default:
			raw = append(raw, c)
		}
	}
	return raw, len(b)
}

func unescape(c byte) byte {
	switch c {
	case 'n':
		return '\n'
	case 'r':
		return '\r'
	case 't':
		return '\t'
	case 'b':
		return '\b'
	case 'f':
		return '\f'
	}
	return c
}

func wide(raw []byte) string {
	u := make([]uint16, 0, len(raw)/2)
	for i := 0; i+1 < len(raw); i += 2 {
		u = append(u, uint16(raw[i])<<8|uint16(raw[i+1]))
	}
	return string(utf16.Decode(u))
}
