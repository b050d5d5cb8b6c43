package icc

import (
	"encoding/binary"
	"errors"
	"math"
	"testing"
)

// A profile's white is sRGB's white, and what is neutral stays neutral.
func TestNeutralStaysNeutral(t *testing.T) {
	for name, raw := range builtProfiles(t) {
		p, err := Parse(raw)
		if err != nil {
			t.Fatal(err)
		}
		for _, v := range []float64{0.2, 0.5, 1} {
			r, g, b := p.ToLinearSRGB(v, v, v)
			if name == "table.icc" || name == "formulas.icc" || name == "mixed.icc" {
				continue // their channels have curves of their own
			}
			// The connection space has four digits: its white is not quite the sum of rounded colorants.
			if math.Abs(r-g) > 2e-4 || math.Abs(b-g) > 4e-4 {
				t.Errorf("%s at %g: %.5f %.5f %.5f", name, v, r, g, b)
			}
		}
	}
}

func TestSRGBIsItself(t *testing.T) {
	p := SRGB()
	for i := range 256 {
		v := float64(i) / 255
		r, g, b := p.ToLinearSRGB(v, v/2, 0)
		if math.Abs(r-linear(v)) > 1e-12 || math.Abs(g-linear(v/2)) > 1e-12 || math.Abs(b) > 1e-12 {
			t.Fatalf("%d: %v %v %v", i, r, g, b)
		}
	}
	if x, y, z := LinearToXYZ(XYZToLinear(0.3, 0.4, 0.5)); math.Abs(x-0.3)+math.Abs(y-0.4)+math.Abs(z-0.5) > 1e-12 {
		t.Errorf("there and back: %v %v %v", x, y, z)
	}
}

func TestLinearIsSeen(t *testing.T) {
	want := map[string]bool{"linear.icc": true, "identity.icc": true}
	for name, raw := range builtProfiles(t) {
		p, err := Parse(raw)
		if err != nil {
			t.Fatal(err)
		}
		if p.Linear() != want[name] {
			t.Errorf("%s: linear %v", name, p.Linear())
		}
	}
}

func TestNamesAreKept(t *testing.T) {
	for name, want := range map[string]string{"p3.icc": "P3 primaries", "a98.icc": "Adobe RGB primaries", "gray.icc": "grey"} {
		if p, err := Parse(builtProfiles(t)[name]); err != nil || p.Name() != want {
			t.Errorf("%s: %v, want the name %q", name, err, want)
		}
	}
	odd := rgbProfile(t, 2, "a\x01b\u200bc\xff", bt709, curv())
	if p, err := Parse(odd); err != nil || p.Name() != "abc" {
		t.Errorf("unprintable characters stay: %q, %v", p.Name(), err)
	}
}

func TestRefusals(t *testing.T) {
	ok := func() []byte { return rgbProfile(t, 4, "x", bt709, para(0, 2)) }
	with := func(at int, s string) []byte { b := ok(); copy(b[at:], s); return b }
	c := []tag{{"rXYZ", xyzTag(0.4361, 0.2225, 0.0139)}, {"gXYZ", xyzTag(0.3851, 0.7169, 0.0971)}, {"bXYZ", xyzTag(0.1431, 0.0606, 0.7141)}}
	curves := func(b []byte) []tag { return append(c[:3:3], tag{"rTRC", b}, tag{"gTRC", b}, tag{"bTRC", b}) }
	rgb := func(tags ...tag) []byte { return profileOf(4, "mntr", "RGB ", "XYZ ", tags...) }
	longTable := curv(1, 2)
	binary.BigEndian.PutUint32(longTable[8:], 1<<31)
	outside := ok()
	binary.BigEndian.PutUint32(outside[136:], 1<<31)
	tooMany := ok()
	binary.BigEndian.PutUint32(tooMany[128:], 1<<30)
	for name, tc := range map[string]struct {
		data []byte
		want error
	}{
		"four inks":           {profileOf(2, "mntr", "CMYK", "Lab ", tag{"A2B0", []byte("mft1")}), ErrKind},
		"printer":             {with(12, "prtr"), ErrKind},
		"version 5":           {with(8, "\x05"), ErrKind},
		"connection by Lab":   {with(20, "Lab "), ErrKind},
		"tables only":         {rgb(tag{"A2B0", []byte("mft2")}), ErrKind},
		"tables and matrix":   {rgb(append(curves(para(0, 2)), tag{"A2B0", []byte("mAB ")})...), ErrKind},
		"unknown formula":     {rgb(curves(para(9, 1))...), ErrKind},
		"unknown curve":       {rgb(curves([]byte("curf\x00\x00\x00\x00\x00\x00\x00\x00"))...), ErrKind},
		"grey without curve":  {profileOf(2, "mntr", "GRAY", "XYZ "), ErrKind},
		"short":               {ok()[:100], errDamaged},
		"no signature":        {with(36, "xxxx"), errDamaged},
		"tag outside":         {outside, errDamaged},
		"too many tags":       {tooMany, errDamaged},
		"colorants of naught": {rgb(append([]tag{{"rXYZ", xyzTag(0, 0, 0)}, {"gXYZ", xyzTag(0, 0, 0)}, {"bXYZ", xyzTag(0, 0, 0)}}, curves(para(0, 2))[3:]...)...), errDamaged},
		"long table":          {rgb(curves(longTable)...), errCurve},
		"short formula":       {rgb(curves(para(3, 2.4))...), errCurve},
		"gamma of naught":     {rgb(curves(curv(0))...), errCurve},
		"short curve":         {rgb(curves([]byte("curv"))...), errCurve},
	} {
		if p, err := Parse(tc.data); p != nil || !errors.Is(err, tc.want) {
			t.Errorf("%s: %v, want %v", name, err, tc.want)
		}
	}
	if _, err := Parse(ok()); err != nil {
		t.Errorf("the profile that the others were made from: %v", err)
	}
}
