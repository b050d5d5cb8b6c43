package pdf

import (
	"strings"
	"testing"
)

func TestSame(t *testing.T) {
	stream := func(d Dict, s string) *Stream { return NewStream(d, []byte(s)) }
	long := strings.Repeat("0123456789", 20_000)
	cases := []struct {
		a, b Object
		want bool
	}{
		{stream(Dict{}, long), stream(Dict{}, long), true},
		{stream(Dict{}, long), stream(Dict{}, long[:len(long)-1]+"x"), false},
		{stream(Dict{}, long), stream(Dict{}, long+"x"), false},
		{stream(Dict{"A": int64(1)}, "x"), stream(Dict{"A": int64(2)}, "x"), false},
		{stream(Dict{}, ""), stream(Dict{}, ""), true},
		{stream(Dict{}, ""), Dict{}, false},
		{Dict{"A": Array{int64(1), nil}}, Dict{"A": Array{int64(1), nil}}, true},
		{Dict{"A": nil}, Dict{}, false}, {Dict{"A": nil}, Dict{"B": nil}, false},
		{int64(1), Real("1.0"), false}, {Name("A"), String("A"), false}, {nil, nil, true}, {Ref{1, 0}, Ref{1, 1}, false},
		{Array{}, nil, false}, {int64(1), Array{}, false},
	}
	for i, c := range cases {
		for range 2 {
			if got, err := Same(c.a, c.b); err != nil || got != c.want {
				t.Errorf("case %d: %v, %v", i, got, err)
			}
			c.a, c.b = c.b, c.a
		}
	}
}
