package pdf

import (
	"errors"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"
)

func parseOne(s string) (Object, error) {
	p := &parser{w: newWindow(readerAt([]byte(s)), int64(len(s))), end: int64(len(s)), lim: Limits{}.withDefaults(), refs: true}
	o, err := p.object()
	if err != nil {
		return nil, err
	}
	p.skipSpace()
	if p.pos != int64(len(s)) {
		return o, p.fail("there is more")
	}
	return o, nil
}

// The examples are those of ISO 32000-1, 7.3, where it gives any.
func TestParseObjects(t *testing.T) {
	cases := []struct {
		in   string
		want Object
	}{
		{"true", true}, {"false", false}, {"null", nil},
		{"123", int64(123)}, {"+17", int64(17)}, {"-98", int64(-98)}, {"0", int64(0)},
		{"34.5", Real("34.5")}, {"-3.62", Real("-3.62")}, {"4.", Real("4.")}, {"-.002", Real("-.002")},
		{"(This is a string)", String("This is a string")},
		{"(Strings may contain balanced parentheses ( ) and\nspecial characters (*!&}^% and so on).)", String("Strings may contain balanced parentheses ( ) and\nspecial characters (*!&}^% and so on).")},
		{"()", String("")}, {"(a\\\nb)", String("ab")}, {"(a\r\nb)", String("a\nb")}, {`(\n\r\t\b\f\(\)\\\q)`, String("\n\r\t\b\f()\\q")},
		{`(\245\307)`, String("\245\307")}, {`(\0053)`, String("\0053")}, {`(\53)`, String("+")},
		{"<4E6F762073686D6F7A206B6120706F702E>", String("Nov shmoz ka pop.")}, {"<901FA>", String("\x90\x1F\xA0")}, {"< 90 1f\nA3 >", String("\x90\x1F\xA3")},
		{"/Name1", Name("Name1")}, {"/A;Name_With-Various***Characters?", Name("A;Name_With-Various***Characters?")},
		{"/paired#28#29parentheses", Name("paired()parentheses")}, {"/A#42", Name("AB")}, {"/", Name("")},
		{"12 0 R", Ref{12, 0}}, {"[12 0 R 3 4]", Array{Ref{12, 0}, int64(3), int64(4)}}, {"[1 2 3]", Array{int64(1), int64(2), int64(3)}},
		{"<</A 1/B<</C(x)>>>>", Dict{"A": int64(1), "B": Dict{"C": String("x")}}}, {"% note\n[ % another\r 1 ]", Array{int64(1)}},
	}
	for _, c := range cases {
		got, err := parseOne(c.in)
		if err != nil || !Equal(got, c.want) {
			t.Errorf("%q: got %#v, %v; want %#v", c.in, got, err, c.want)
		}
	}
}

func TestRefusedObjects(t *testing.T) {
	for _, s := range []string{
		"", "tru", "truex", "(open", "<12", "<1x>", "[1 2", "<</A 1", "<</A>>", "<<1 2>>", "<</A 1>", "/a#4", "/a#00", "--1", "1-2", "1.2.3", "+", ".",
		"12345678901234567890", "{1}", "]", ")", ">", "<</A 1/A 2>>", "<</A#42 1/AB 2>>", strings.Repeat("1", 50),
	} {
		if o, err := parseOne(s); err == nil || !errors.Is(err, ErrMalformed) {
			t.Errorf("%q: got %#v, %v", s, o, err)
		}
	}
	for _, s := range []string{strings.Repeat("[", 100), strings.Repeat("<</A", 100), "(" + strings.Repeat("x", 2<<20) + ")", "[" + strings.Repeat("1 ", 600_000) + "]"} {
		if _, err := parseOne(s); !errors.Is(err, ErrLimit) {
			t.Errorf("%.10q...: %v", s, err)
		}
	}
}

// Whatever is written is read back the same.
func TestObjectRoundTrip(t *testing.T) {
	scalar := rapid.OneOf(
		rapid.Map(rapid.Bool(), func(b bool) Object { return b }),
		rapid.Map(rapid.Int64(), func(n int64) Object { return n }),
		rapid.Map(rapid.SliceOf(rapid.Byte()), func(b []byte) Object { return String(b) }),
		rapid.Map(rapid.SliceOf(rapid.ByteRange(1, 255)), func(b []byte) Object { return Name(b) }),
		rapid.Map(rapid.IntRange(1, 1<<30), func(n int) Object { return Ref{n, 0} }),
		rapid.Map(rapid.Float64Range(-1e6, 1e6), Num),
		rapid.Just(Object(nil)),
	)
	var value *rapid.Generator[Object]
	value = rapid.Deferred(func() *rapid.Generator[Object] {
		return rapid.OneOf(scalar, scalar,
			rapid.Map(rapid.SliceOfN(value, 0, 4), func(a []Object) Object { return Array(a) }),
			rapid.Map(rapid.MapOfN(rapid.Map(rapid.StringMatching(`[A-Z ()#]{1,6}`), func(s string) Name { return Name(s) }), value, 0, 4),
				func(m map[Name]Object) Object { return Dict(m) }))
	})
	rapid.Check(t, func(t *rapid.T) {
		o := value.Draw(t, "object")
		b := AppendObject(nil, o)
		got, err := parseOne(string(b))
		if err != nil || !Equal(got, o) {
			t.Fatalf("%q: %#v, %v; wrote %#v", b, got, err, o)
		}
	})
}

func TestTextRoundTrip(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := rapid.String().Draw(t, "text")
		if got := PlainText(Text(s)); got != s {
			t.Fatalf("%q became %q", s, got)
		}
	})
}

func TestDates(t *testing.T) {
	at := time.Date(2025, 3, 14, 9, 26, 53, 0, time.FixedZone("", 3600))
	if got := Date(at); got != "D:20250314082653+00'00'" {
		t.Errorf("%s", got)
	}
	cases := map[String]time.Time{ // the first is the example of ISO 32000-1, 7.9.4
		"D:199812231952-08'00": time.Date(1998, 12, 24, 3, 52, 0, 0, time.UTC), "D:2025": time.Date(2025, 1, 1, 0, 0, 0, 0, time.UTC),
		"D:20250314082653Z": time.Date(2025, 3, 14, 8, 26, 53, 0, time.UTC), "20250314082653+01'30'": time.Date(2025, 3, 14, 6, 56, 53, 0, time.UTC),
	}
	for s, want := range cases {
		if got, err := ParseDate(s); err != nil || !got.Equal(want) {
			t.Errorf("%s: %v, %v", s, got, err)
		}
	}
	for _, s := range []String{"", "D:", "D:20251399", "D:202", "D:20250314082653+xx", "D:20250314082653*01'00'", "yesterday"} {
		if got, err := ParseDate(s); err == nil {
			t.Errorf("%s: %v", s, got)
		}
	}
}
