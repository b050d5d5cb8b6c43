package pdf

import (
	"testing"
)

func TestFiltersRefused(t *testing.T) {
	for _, d := range []Dict{
		{"Filter": Name("LZWDecode")}, {"Filter": int64(1)}, {"Filter": Array{int64(1)}},
		{"Filter": Array{Name("FlateDecode"), Name("FlateDecode"), Name("FlateDecode")}},
		{"Filter": Name("FlateDecode")}, // and the bytes are not compressed
	} {
		if _, err := NewStream(d, []byte("hello")).Decode(100); !IsRefusal(err) {
			t.Errorf("%v: %v", d, err)
		}
	}
	twice := []byte("hello")
	for range 2 {
		var err error
		if twice, err = Deflate(twice); err != nil {
			t.Fatal(err)
		}
	}
	s := NewStream(Dict{"Filter": Array{Name("FlateDecode"), Name("FlateDecode")}, "DecodeParms": Array{nil, Dict{}}}, twice)
	if got, err := s.Decode(100); err != nil || string(got) != "hello" {
		t.Errorf("%q, %v", got, err)
	}
}
