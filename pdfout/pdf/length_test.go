package pdf

import (
	"errors"
	"fmt"
	"testing"
)

// small writes numbered objects, the first being the catalogue, with a table.
func small(objects ...string) []byte {
	b := []byte("%PDF-1.7\n")
	rows := "0000000000 65535 f \n"
	for i, o := range objects {
		rows += fmt.Sprintf("%010d 00000 n \n", len(b))
		b = fmt.Appendf(b, "%d 0 obj\n%s\nendobj\n", i+1, o)
	}
	at := len(b)
	return fmt.Appendf(b, "xref\n0 %d\n%strailer\n<</Size %d /Root 1 0 R>>\nstartxref\n%d\n%%%%EOF\n", len(objects)+1, rows, len(objects)+1, at)
}

func TestStreamLengths(t *testing.T) {
	cases := map[string]struct {
		stream string
		want   string // the bytes, or "" for a refusal
	}{
		"a plain length":            {"<</Length 5>>\nstream\nhello\nendstream", "hello"},
		"a length elsewhere":        {"<</Length 3 0 R>>\nstream\nhello\nendstream", "hello"},
		"CR LF after the word":      {"<</Length 5>>\nstream\r\nhello\r\nendstream", "hello"},
		"no line end before":        {"<</Length 5>>\nstream\nhelloendstream", "hello"},
		"CR alone after the word":   {"<</Length 5>>\nstream\rhello\nendstream", ""},
		"too short a length":        {"<</Length 3>>\nstream\nhello\nendstream", ""},
		"too long a length":         {"<</Length 9>>\nstream\nhello\nendstream", ""},
		"a negative length":         {"<</Length -1>>\nstream\nhello\nendstream", ""},
		"no length":                 {"<<>>\nstream\nhello\nendstream", ""},
		"a length that is a name":   {"<</Length /Five>>\nstream\nhello\nendstream", ""},
		"a length that is a stream": {"<</Length 4 0 R>>\nstream\nhello\nendstream", ""},
		"a length that is nothing":  {"<</Length 9 0 R>>\nstream\nhello\nendstream", ""},
		"bytes in another file":     {"<</Length 5 /F (x)>>\nstream\nhello\nendstream", ""},
		"an array with a stream":    {"[1]\nstream\nhello\nendstream", ""},
	}
	for name, c := range cases {
		t.Run(name, func(t *testing.T) {
			v := openBytes(t, small("<</Type /Catalog>>", c.stream, "5", "<</Length 4 0 R>>\nstream\nx\nendstream"))
			o, err := v.Get(Ref{Num: 2})
			if c.want == "" {
				if !errors.Is(err, ErrMalformed) {
					t.Errorf("got %v, %v", o, err)
				}
				return
			}
			s, ok := o.(*Stream)
			if err != nil || !ok {
				t.Fatalf("got %v, %v", o, err)
			}
			if got, err := s.Decode(100); err != nil || string(got) != c.want {
				t.Errorf("got %q, %v", got, err)
			}
		})
	}
}
