package attacktest

import (
	"bytes"
	"cmp"
	"fmt"
	"maps"
	"slices"

	"wornwood/pdfout/pdf"
	"wornwood/pdfout/sign"
)

func sorted[K cmp.Ordered, V any](m map[K]V) []K { return slices.Sorted(maps.Keys(m)) }

// flips changes one byte in an object of every kind that the report has, in the
// middle of a stream or of a dictionary's text.
func (s *suite) flips() {
	done := map[string]bool{}
	for i, rev := range s.f.Revisions {
		for _, n := range rev.Numbers() {
			e := rev.Entries[n]
			if e.Free || e.InStream != 0 {
				continue
			}
			o, span, err := s.f.At(i).GetSpan(pdf.Ref{Num: n, Gen: e.Gen})
			if err != nil {
				s.fail(err)
				return
			}
			kind := kindOf(o)
			if done[kind] {
				continue
			}
			done[kind] = true
			s.flip(kind, o, span)
		}
	}
}

func (s *suite) flip(kind string, o pdf.Object, span pdf.Span) {
	if st, ok := o.(*pdf.Stream); ok {
		s.add("a byte flipped in the stream of "+kind, s.inPlace(func(b []byte) { b[st.Offset+st.Length/2] ^= 1 }), altered...)
		if at := bytes.Index(s.report[span.Start:st.Offset], []byte("/Length")); at > 0 {
			s.add("a letter flipped in the dictionary of "+kind, s.inPlace(func(b []byte) { b[span.Start+int64(at)+2] ^= 2 }), altered...)
		}
		return
	}
	// A letter of a name, so that the object stays well-formed.
	at := bytes.IndexByte(s.report[span.Start:span.End], '/')
	if at < 0 || span.Start+int64(at)+2 >= span.End {
		return
	}
	s.add("a letter flipped in "+kind, s.inPlace(func(b []byte) { b[span.Start+int64(at)+1] ^= 2 }), altered...)
}

// altered are the codes of which one follows from a changed byte: the digest no
// longer fits, or the file can no longer be read.
var altered = []sign.Code{sign.AlteredBytes, sign.Unreadable, sign.ByteRange, sign.BrokenSignature, sign.NotSigned, sign.ForeignSignature, sign.Encrypted, sign.TooLarge}

// kindOf names what an object is.
func kindOf(o pdf.Object) string {
	d, ok := o.(pdf.Dict)
	if st, stream := o.(*pdf.Stream); stream {
		d, ok = st.Dict, true
	}
	if !ok {
		return fmt.Sprintf("a bare %T", o)
	}
	name := func(k pdf.Name) string { n, _ := d[k].(pdf.Name); return string(n) }
	switch {
	case name("Type") != "" && name("Subtype") != "":
		return name("Type") + " " + name("Subtype")
	case name("Type") != "":
		return name("Type")
	case name("Subtype") != "":
		return name("Subtype")
	case name("FT") != "":
		return "a field"
	}
	for _, k := range []pdf.Name{"Fields", "Nums", "Names", "Kids", "N", "Producer", "FunctionType", "Length1", "CIDSystemInfo"} {
		if d[k] != nil {
			return "a dictionary with " + string(k)
		}
	}
	return "another dictionary or stream"
}

// edges changes what lies around the objects.
func (s *suite) edges() {
	b := s.report
	for _, c := range []struct{ name, find string }{
		{"the header's version", "%PDF-1"}, {"the end of the first part", "%%EOF"}, {"the start of a table", "startxref"}, {"a trailer", "trailer"}, {"a table", "xref\n"},
	} {
		at := bytes.Index(b, []byte(c.find))
		if at < 0 {
			s.fail(fmt.Errorf("no %q in the report", c.find))
			return
		}
		s.add("a byte flipped in "+c.name, s.inPlace(func(b []byte) { b[at+len(c.find)-1] ^= 1 }), append([]sign.Code{sign.StrayBytes}, altered...)...)
	}
	for _, tail := range []struct{ name, text string }{
		{"a blank line", "\n"}, {"a comment", "%more\n"}, {"a whole object", "1 0 obj\n<<>>\nendobj\n"}, {"three thousand bytes", string(make([]byte, 3000))},
		{"a second end", "startxref\n9\n%%EOF\n"}, {"another report", string(b)},
	} {
		s.add(tail.name+" behind the end", append(bytes.Clone(b), tail.text...), append([]sign.Code{sign.AfterEnd, sign.MisplacedObject, sign.StrayBytes, sign.ChangedAfter}, altered...)...)
	}
	s.add("bytes in front of the header", append([]byte("#!/bin/sh\n"), b...), altered...)
	for _, n := range []int{1, 10, 300, len(b) / 2, len(b) - 100} {
		s.add(fmt.Sprintf("cut short by %d bytes", n), bytes.Clone(b[:len(b)-n]), append([]sign.Code{sign.StrayBytes}, altered...)...)
	}
}
