package icc

import (
	"bytes"
	"compress/zlib"
	"encoding/binary"
	"fmt"
	"io"
)

const pngSignature = "\x89PNG\r\n\x1a\n"

// FromPNG unpacks the ICC profile of a PNG (chunk iCCP; PNG third edition,
// section 11.3.2.3). It returns nil when there is none, and a one-sentence
// error when it is damaged or unpacks to more than MaxBytes.
func FromPNG(data []byte) ([]byte, error) {
	for c := range chunks(data) {
		if c.name == "iCCP" {
			return unpack(c.body)
		}
	}
	return nil, nil
}

func unpack(body []byte) ([]byte, error) {
	_, rest, ok := bytes.Cut(body[:min(len(body), 80)], []byte{0})
	if !ok || len(rest) < 1 || rest[0] != 0 {
		return nil, errDamaged
	}
	rest = body[bytes.IndexByte(body, 0)+2:]
	z, err := zlib.NewReader(bytes.NewReader(rest))
	if err != nil {
		return nil, errDamaged
	}
	out, err := io.ReadAll(io.LimitReader(z, MaxBytes+1))
	if err != nil || len(out) > MaxBytes {
		return nil, errDamaged
	}
	return out, nil
}

// chunk is one chunk of a PNG.
type chunk struct {
	name string
	body []byte
}

// chunks walks through a PNG up to its picture data: all that says what its
// colours are comes before them.
func chunks(data []byte) func(yield func(chunk) bool) {
	return func(yield func(chunk) bool) {
		if !bytes.HasPrefix(data, []byte(pngSignature)) {
			return
		}
		for p := data[8:]; len(p) >= 12; {
			n, name := int64(binary.BigEndian.Uint32(p)), string(p[4:8])
			if n+12 > int64(len(p)) || name == "IDAT" || name == "IEND" || !yield(chunk{name, p[8 : 8+n]}) {
				return
			}
			p = p[n+12:]
		}
	}
}

// ofPNG decides by the order of the PNG specification (third edition, section
// 4.3): cICP, then iCCP, then sRGB, then gAMA with cHRM.
func ofPNG(data []byte) (*Profile, []string) {
	found := map[string][]byte{}
	for c := range chunks(data) {
		if _, again := found[c.name]; !again {
			found[c.name] = c.body
		}
	}
	if b, ok := found["cICP"]; ok {
		if p := ofNumbers(b); p != nil {
			return p, nil
		}
		return SRGB(), []string{sentence(ErrKind)}
	}
	if b, ok := found["iCCP"]; ok {
		raw, err := unpack(b)
		return parsed(raw, err)
	}
	if _, ok := found["sRGB"]; ok {
		return SRGB(), nil
	}
	if b, ok := found["gAMA"]; ok {
		if p := ofGamma(b, found["cHRM"]); p != nil {
			return p, nil
		}
		return SRGB(), []string{sentence(errDamaged)}
	}
	return nil, nil
}

// ofNumbers takes a cICP chunk: numbers of ITU-T H.273 for primaries and curve.
// Only sRGB's curve and none at all are known here, at full range.
func ofNumbers(b []byte) *Profile {
	if len(b) != 4 || b[2] != 0 || b[3] != 1 {
		return nil
	}
	names := map[byte]string{1: "sRGB primaries", 9: "BT.2020 primaries", 12: "Display P3 primaries"}
	c, ok := map[byte]primaries{1: bt709, 9: bt2020, 12: displayP3}[b[0]]
	if !ok {
		return nil
	}
	var p *Profile
	switch b[1] {
	case 8:
		p, _ = withPrimaries(names[b[0]]+", linear", c, identity)
	case 13:
		p, _ = withPrimaries(names[b[0]]+", sRGB curve", c, sRGBCurve)
	}
	return p
}

// ofGamma takes a gAMA chunk (PNG third edition, section 11.3.2.2) and, if
// there is one, cHRM (section 11.3.2.1); without it the primaries of sRGB.
func ofGamma(gamma, chroma []byte) *Profile {
	if len(gamma) != 4 {
		return nil
	}
	g := float64(binary.BigEndian.Uint32(gamma)) / 100000
	if g < 0.1 || g > 10 {
		return nil
	}
	c := identity
	name := "linear"
	if g == 1 && chroma == nil {
		return LinearSRGB()
	}
	if g != 1 {
		c, name = power(1/g), fmt.Sprintf("gamma %.2f", 1/g)
	}
	if chroma == nil {
		return withMatrix(name+", sRGB primaries", sRGBToXYZ, sRGBWhite, c)
	}
	if len(chroma) != 32 {
		return nil
	}
	v := func(i int) float64 { return float64(binary.BigEndian.Uint32(chroma[4*i:])) / 100000 }
	own := primaries{{v(2), v(3)}, {v(4), v(5)}, {v(6), v(7)}, {v(0), v(1)}}
	p, ok := withPrimaries(name+", own primaries", own, c)
	if !ok {
		return nil
	}
	return p
}
