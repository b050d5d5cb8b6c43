package photo

import (
	"strconv"
	"strings"

	"wornwood/capture/record"
)

// Words of Photo.Agreement; "" means that there was no metadata.
const (
	TwoAgree = "two readers agree"
	OneOnly  = "one reader"
	Disagree = "readers disagree"
)

// field pairs the two readers' values of one field with the name that a
// difference is reported under.
type field struct {
	name          string
	first, second *string
	same          func(a, b string) bool
}

// merge takes the first reader's value and fills gaps from the second. Where
// both have one and they differ, both go into the differences.
func merge(a, b Fields) (f Fields, agreement string, diffs []record.TwoRead) {
	if a.empty() && b.empty() {
		return Fields{}, "", nil
	}
	f = a
	oa, ob := number10(a.Orientation), number10(b.Orientation)
	fa, fb := number10(a.Focal35), number10(b.Focal35)
	both := false
	for _, p := range []field{
		{"date", &f.Taken, &b.Taken, sameText},
		{"sub-seconds", &f.SubSec, &b.SubSec, sameNumber},
		{"time zone", &f.Offset, &b.Offset, sameText},
		{"date of last change", &f.Modified, &b.Modified, sameText},
		{"camera maker", &f.Make, &b.Make, sameText},
		{"camera model", &f.Model, &b.Model, sameText},
		{"camera serial", &f.Serial, &b.Serial, sameText},
		{"software", &f.Software, &b.Software, sameText},
		{"lens", &f.Lens, &b.Lens, sameText},
		{"orientation", &oa, &ob, sameText},
		{"focal length", &fa, &fb, sameText},
	} {
		switch {
		case *p.first == "":
			*p.first = *p.second
		case *p.second == "":
		default:
			both = true
			if !p.same(*p.first, *p.second) {
				diffs = append(diffs, record.TwoRead{Field: p.name, First: *p.first, Second: *p.second})
			}
		}
	}
	f.Orientation, _ = strconv.Atoi(oa)
	f.Focal35, _ = strconv.Atoi(fa)
	// imagemeta reads sub-seconds as a number and so loses leading zeros; ".045"
	// must not become ".45". Only the second reader's digits can be trusted.
	f.SubSec = b.SubSec
	switch {
	case len(diffs) > 0:
		return f, Disagree, diffs
	case both:
		return f, TwoAgree, nil
	}
	return f, OneOnly, nil
}

func number10(n int) string {
	if n == 0 {
		return ""
	}
	return strconv.Itoa(n)
}

// sameText compares without regard to blanks: some writers pad.
func sameText(a, b string) bool {
	return strings.Join(strings.Fields(a), " ") == strings.Join(strings.Fields(b), " ")
}

func sameNumber(a, b string) bool {
	return strings.TrimLeft(a, "0") == strings.TrimLeft(b, "0")
}
