package pdf

import (
	"bytes"
	"fmt"
	"io"
	"sort"
	"strconv"
)

// Object is one value of a PDF file (ISO 32000-1, 7.3): nil for null, bool,
// int64, Real, Name, String, Array, Dict, Ref or *Stream.
type Object any

// Real is a number with a fraction, kept as it was written so that copying a
// file does not change its digits.
type Real string

// Float returns the number; a malformed one, which the parser never lets
// through, is 0.
func (r Real) Float() float64 {
	f, err := strconv.ParseFloat(string(r), 64)
	if err != nil {
		return 0
	}
	return f
}

// Name is a PDF name without its slash and with #xx sequences resolved.
type Name string

// String holds the bytes of a PDF string, decoded from either notation.
type String string

// Array is an ordered list of objects.
type Array []Object

// Dict maps names to objects; it is written in the order of its names.
type Dict map[Name]Object

// Ref points at an indirect object.
type Ref struct {
	Num int // object number, from 1
	Gen int // generation, 0 in everything this package writes
}

func (r Ref) String() string { return fmt.Sprintf("%d %d R", r.Num, r.Gen) }

// Keys returns the names of d in byte order.
func (d Dict) Keys() []Name {
	keys := make([]Name, 0, len(d))
	for k := range d {
		keys = append(keys, k)
	}
	sort.Slice(keys, func(i, j int) bool { return keys[i] < keys[j] })
	return keys
}

// Clone returns a copy of d whose entries can be set without touching d.
func (d Dict) Clone() Dict {
	c := make(Dict, len(d)+4)
	for k, v := range d {
		c[k] = v
	}
	return c
}

// Stream is a dictionary with bytes. The bytes stay where they are, in the
// file or in the caller's memory, until somebody reads them.
type Stream struct {
	Dict Dict
	// Offset and Length locate the encoded bytes in the file the stream was
	// read from, in bytes; both are 0 for a stream made in memory.
	Offset, Length int64

	source io.ReaderAt // nil when parts holds the bytes
	parts  [][]byte
}

// NewStream makes a stream of the given encoded bytes, which are not copied.
func NewStream(d Dict, parts ...[]byte) *Stream {
	return &Stream{Dict: d, parts: parts}
}

// RawLen is the number of encoded bytes.
func (s *Stream) RawLen() int64 {
	if s.source != nil {
		return s.Length
	}
	var n int64
	for _, p := range s.parts {
		n += int64(len(p))
	}
	return n
}

// Raw reads the encoded bytes from the beginning; each call starts anew.
func (s *Stream) Raw() io.Reader {
	if s.source != nil {
		return io.NewSectionReader(s.source, s.Offset, s.Length)
	}
	readers := make([]io.Reader, len(s.parts))
	for i, p := range s.parts {
		readers[i] = bytes.NewReader(p)
	}
	return io.MultiReader(readers...)
}

// Number returns the value of an int64 or Real.
func Number(o Object) (float64, bool) {
	switch v := o.(type) {
	case int64:
		return float64(v), true
	case Real:
		return v.Float(), true
	}
	return 0, false
}

// Num makes a number object of f with at most three decimals, which is a
// thousandth of a point and below what paper can show.
func Num(f float64) Object {
	s := strconv.FormatFloat(f, 'f', 3, 64)
	for s[len(s)-1] == '0' {
		s = s[:len(s)-1]
	}
	if s[len(s)-1] == '.' {
		s = s[:len(s)-1]
	}
	if s == "-0" {
		s = "0"
	}
	if n, err := strconv.ParseInt(s, 10, 64); err == nil {
		return n
	}
	return Real(s)
}
