package pdf

import (
	"bytes"
	"fmt"
	"io"
	"strconv"
	"time"
	"unicode/utf16"
)

// AppendObject appends o to b as it is written in a file. A *Stream is written
// as its dictionary only; WriteIndirect writes whole streams.
func AppendObject(b []byte, o Object) []byte {
	switch v := o.(type) {
	case nil:
		return append(b, "null"...)
	case bool:
		return strconv.AppendBool(b, v)
	case int64:
		return strconv.AppendInt(b, v, 10)
	case int:
		return strconv.AppendInt(b, int64(v), 10)
	case Real:
		return append(b, v...)
	case Name:
		return appendName(b, v)
	case String:
		return appendString(b, v)
	case Ref:
		b = strconv.AppendInt(b, int64(v.Num), 10)
		b = append(b, ' ')
		b = strconv.AppendInt(b, int64(v.Gen), 10)
		return append(b, " R"...)
	case Array:
		b = append(b, '[')
		for i, e := range v {
			if i > 0 {
				b = append(b, ' ')
			}
			b = AppendObject(b, e)
		}
		return append(b, ']')
	case Dict:
		b = append(b, "<<"...)
		for _, k := range v.Keys() {
			b = appendName(b, k)
			b = append(b, ' ')
			b = AppendObject(b, v[k])
		}
		return append(b, ">>"...)
	case *Stream:
		return AppendObject(b, v.Dict)
	}
	panic(fmt.Sprintf("pdf: %T is not a PDF object", o))
}

func appendName(b []byte, n Name) []byte {
	const hex = "0123456789ABCDEF"
	b = append(b, '/')
	for i := 0; i < len(n); i++ {
		c := n[i]
		if c <= ' ' || c > '~' || c == '#' || isDelimiter(c) {
			b = append(b, '#', hex[c>>4], hex[c&15])
			continue
		}
		b = append(b, c)
	}
	return b
}

// appendString writes printable strings in brackets and all others in hex, so
// that no byte of a file depends on how a reader treats line ends.
func appendString(b []byte, s String) []byte {
	for i := 0; i < len(s); i++ {
		if s[i] < ' ' || s[i] > '~' {
			return fmt.Appendf(b, "<%X>", string(s))
		}
	}
	b = append(b, '(')
	for i := 0; i < len(s); i++ {
		if c := s[i]; c == '(' || c == ')' || c == '\\' {
			b = append(b, '\\')
		}
		b = append(b, s[i])
	}
	return append(b, ')')
}

// WriteIndirect writes o as the indirect object ref, streams with their bytes.
// The stream's Length entry is set here.
func WriteIndirect(w io.Writer, ref Ref, o Object) error {
	head := fmt.Appendf(nil, "%d %d obj\n", ref.Num, ref.Gen)
	s, ok := o.(*Stream)
	if !ok {
		head = AppendObject(head, o)
		_, err := w.Write(append(head, "\nendobj\n"...))
		return err
	}
	d := s.Dict.Clone()
	d["Length"] = s.RawLen()
	head = AppendObject(head, d)
	head = append(head, "\nstream\n"...)
	if _, err := w.Write(head); err != nil {
		return err
	}
	if err := s.writeRaw(w); err != nil {
		return err
	}
	_, err := io.WriteString(w, "\nendstream\nendobj\n")
	return err
}

func (s *Stream) writeRaw(w io.Writer) error {
	if s.source != nil {
		_, err := io.Copy(w, s.Raw())
		return err
	}
	for _, p := range s.parts {
		if _, err := w.Write(p); err != nil {
			return err
		}
	}
	return nil
}

// Text makes a text string (ISO 32000-1, 7.9.2.2): ASCII as it is, anything
// else as UTF-16 with a byte order mark.
func Text(s string) String {
	ascii := true
	for i := 0; i < len(s); i++ {
		if s[i] < ' ' || s[i] > '~' {
			ascii = false
			break
		}
	}
	if ascii {
		return String(s)
	}
	b := bytes.NewBuffer([]byte{0xFE, 0xFF})
	for _, u := range utf16.Encode([]rune(s)) {
		b.WriteByte(byte(u >> 8))
		b.WriteByte(byte(u))
	}
	return String(b.String())
}

// PlainText reads a text string written in UTF-16, UTF-8 (both marked) or, as
// an approximation of PDFDocEncoding, Latin-1.
func PlainText(s String) string {
	switch {
	case len(s) >= 2 && s[0] == 0xFE && s[1] == 0xFF:
		var u []uint16
		for i := 2; i+1 < len(s); i += 2 {
			u = append(u, uint16(s[i])<<8|uint16(s[i+1]))
		}
		return string(utf16.Decode(u))
	case len(s) >= 3 && s[:3] == "\xEF\xBB\xBF":
		return string(bytes.ToValidUTF8([]byte(s[3:]), []byte("\uFFFD")))
	}
	r := make([]rune, len(s))
	for i := 0; i < len(s); i++ {
		r[i] = rune(s[i])
	}
	return string(r)
}

// Date makes a date string (ISO 32000-1, 7.9.4) of t in UTC, to the second.
func Date(t time.Time) String {
	return String(t.UTC().Format("D:20060102150405") + "+00'00'")
}

// ParseDate reads a date string; the parts after the year may be missing.
func ParseDate(s String) (time.Time, error) {
	digits := string(s)
	if len(digits) > 2 && digits[:2] == "D:" {
		digits = digits[2:]
	}
	n := 0
	for n < len(digits) && n < 14 && digits[n] >= '0' && digits[n] <= '9' {
		n++
	}
	layout := "20060102150405"[:n]
	if n < 4 || n%2 != 0 {
		return time.Time{}, fmt.Errorf("date %q is not a PDF date", string(s))
	}
	t, err := time.Parse(layout, digits[:n])
	if err != nil {
		return time.Time{}, fmt.Errorf("date %q is not a PDF date", string(s))
	}
	zone := digits[n:]
	if zone == "" || zone[0] == 'Z' {
		return t, nil
	}
	var h, m int
	if _, err := fmt.Sscanf(zone[1:], "%02d'%02d", &h, &m); err != nil || h > 23 || m > 59 || h < 0 || m < 0 {
		return time.Time{}, fmt.Errorf("date %q is not a PDF date", string(s))
	}
	d := time.Duration(h)*time.Hour + time.Duration(m)*time.Minute
	switch zone[0] {
	case '+':
		return t.Add(-d), nil
	case '-':
		return t.Add(d), nil
	}
	return time.Time{}, fmt.Errorf("date %q is not a PDF date", string(s))
}
