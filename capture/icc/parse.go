package icc

import (
	"encoding/binary"
	"errors"
	"strings"
	"unicode"
	"unicode/utf16"
)

// MaxBytes bounds a profile that is read. Those of matrix and curves have a
// few kilobytes; large ones are tables that would be refused anyway.
const MaxBytes = 4 << 20

// maxTags bounds the directory of a profile.
const maxTags = 256

// ErrKind says that a profile is sound as far as was looked, but of a kind
// that is not converted.
var ErrKind = errors.New("its colour profile is of a kind this program does not convert; colours are read as sRGB and the reading says so")

// errDamaged says that a profile makes no sense.
var errDamaged = errors.New("its colour profile is damaged; colours are read as sRGB and the reading says so")

// tags is a profile's directory.
type tags map[string][]byte

// Parse reads an ICC profile of version 2 or 4 (ICC.1:2010). It returns ErrKind
// for profiles that are made of tables, for four inks, of printers, or of
// another version, and another one-sentence error for a damaged one.
func Parse(b []byte) (*Profile, error) {
	if len(b) < 132 || len(b) > MaxBytes || string(b[36:40]) != "acsp" {
		return nil, errDamaged
	}
	if v := b[8]; v != 2 && v != 4 {
		return nil, ErrKind
	}
	class, space, pcs := string(b[12:16]), string(b[16:20]), string(b[20:24])
	if class != "mntr" && class != "scnr" && class != "spac" {
		return nil, ErrKind
	}
	t, err := directory(b)
	if err != nil {
		return nil, err
	}
	p := &Profile{name: describe(t["desc"])}
	switch {
	case space == "RGB " && pcs == "XYZ ":
		err = p.readMatrix(t)
	case space == "GRAY" && (pcs == "XYZ " || pcs == "Lab "):
		p.gray, p.lab = true, pcs == "Lab "
		err = p.readGray(t)
	default:
		err = ErrKind
	}
	if err != nil {
		return nil, err
	}
	return p, nil
}

// directory reads the tag table (ICC.1:2010 section 7.3).
func directory(b []byte) (tags, error) {
	n := int64(binary.BigEndian.Uint32(b[128:]))
	if n > maxTags || 132+12*n > int64(len(b)) {
		return nil, errDamaged
	}
	t := tags{}
	for i := range n {
		e := b[132+12*i:]
		at, size := int64(binary.BigEndian.Uint32(e[4:])), int64(binary.BigEndian.Uint32(e[8:]))
		if at+size > int64(len(b)) {
			return nil, errDamaged
		}
		t[string(e[:4])] = b[at : at+size]
	}
	return t, nil
}

// readMatrix takes a three-component matrix-based profile (ICC.1:2010 section
// 8.3.3, annex F.3). Where tables stand beside the matrix they would have to be
// used instead, so such a profile is refused.
func (p *Profile) readMatrix(t tags) error {
	for _, table := range []string{"A2B0", "A2B1", "D2B0", "D2B1"} {
		if t[table] != nil {
			return ErrKind
		}
	}
	for i, c := range []string{"r", "g", "b"} {
		xyz, trc := t[c+"XYZ"], t[c+"TRC"]
		if xyz == nil || trc == nil {
			return ErrKind
		}
		if len(xyz) < 20 || string(xyz[:4]) != "XYZ " {
			return errDamaged
		}
		for row := range 3 {
			p.toXYZ[3*row+i] = fixed(xyz[8+4*row:])
		}
		var err error
		if p.curves[i], err = parseCurve(trc); err != nil {
			return err
		}
	}
	if !p.toXYZ.sane() {
		return errDamaged
	}
	p.toSRGB = fromD50().mul(p.toXYZ)
	return nil
}

// fromD50 leads from the connection space to linear sRGB.
func fromD50() matrix { return xyzToSRGB().mul(adapt(d50, sRGBWhite)) }

// readGray takes a monochrome profile (ICC.1:2010 section 8.3.4): its curve
// times the white of the connection space.
func (p *Profile) readGray(t tags) error {
	if t["A2B0"] != nil || t["A2B1"] != nil || t["kTRC"] == nil {
		return ErrKind
	}
	c, err := parseCurve(t["kTRC"])
	if err != nil {
		return err
	}
	p.curves = [3]curve{c, c, c}
	for row, w := range d50 {
		p.toXYZ[3*row] = w
	}
	p.toSRGB = fromD50().mul(p.toXYZ)
	return nil
}

// maxName is how many characters of a description are kept.
const maxName = 60

// describe is the profile's description in characters that print: a
// textDescriptionType of version 2, or the first text of a
// multiLocalizedUnicodeType of version 4 (ICC.1:2010 section 10.13).
func describe(b []byte) string {
	text := ""
	switch {
	case len(b) >= 12 && string(b[:4]) == "desc":
		n := min(int64(binary.BigEndian.Uint32(b[8:])), int64(len(b)-12))
		text = string(b[12 : 12+n])
	case len(b) >= 28 && string(b[:4]) == "mluc":
		n, at := int64(binary.BigEndian.Uint32(b[20:])), int64(binary.BigEndian.Uint32(b[24:]))
		if at+n > int64(len(b)) || n > 4096 {
			break
		}
		var u []uint16
		for s := b[at : at+n]; len(s) >= 2; s = s[2:] {
			u = append(u, binary.BigEndian.Uint16(s))
		}
		text = string(utf16.Decode(u))
	}
	text, _, _ = strings.Cut(text, "\x00")
	text = strings.Map(func(r rune) rune {
		if !unicode.IsPrint(r) || r == unicode.ReplacementChar {
			return -1
		}
		return r
	}, strings.ToValidUTF8(text, ""))
	if r := []rune(strings.TrimSpace(text)); len(r) > 0 {
		return string(r[:min(len(r), maxName)])
	}
	return "a profile without a name"
}
