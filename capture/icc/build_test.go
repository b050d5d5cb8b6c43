package icc

import (
	"bytes"
	"compress/zlib"
	"encoding/binary"
	"hash/crc32"
	"image"
	"image/color"
	"image/jpeg"
	"image/png"
	"math"
	"testing"
)

// These functions build profiles and files for the tests of this package.

func be32(v uint32) []byte { return binary.BigEndian.AppendUint32(nil, v) }

func s15(v float64) []byte { return be32(uint32(int32(math.Round(v * 65536)))) }

func xyzTag(x, y, z float64) []byte {
	return bytes.Join([][]byte{[]byte("XYZ \x00\x00\x00\x00"), s15(x), s15(y), s15(z)}, nil)
}

// para is a parametricCurveType.
func para(kind uint16, p ...float64) []byte {
	b := append([]byte("para\x00\x00\x00\x00"), byte(kind>>8), byte(kind), 0, 0)
	for _, v := range p {
		b = append(b, s15(v)...)
	}
	return b
}

// curv is a curveType of the given entries.
func curv(v ...uint16) []byte {
	b := append([]byte("curv\x00\x00\x00\x00"), be32(uint32(len(v)))...)
	for _, x := range v {
		b = binary.BigEndian.AppendUint16(b, x)
	}
	return b
}

func sampled(n int, f func(x float64) float64) []byte {
	v := make([]uint16, n)
	for i := range v {
		v[i] = uint16(math.Round(65535 * f(float64(i)/float64(n-1))))
	}
	return curv(v...)
}

// tag is one entry of a profile.
type tag struct {
	name string
	data []byte
}

// profileOf builds a profile.
func profileOf(version byte, class, space, pcs string, tags ...tag) []byte {
	head := make([]byte, 128)
	head[8] = version
	copy(head[12:], class+space+pcs)
	copy(head[36:], "acsp")
	copy(head[68:], append(append(s15(0.9642), s15(1)...), s15(0.8249)...))
	list := be32(uint32(len(tags)))
	var body []byte
	for _, t := range tags {
		at := 132 + 12*len(tags) + len(body)
		list = append(append(append(list, t.name...), be32(uint32(at))...), be32(uint32(len(t.data)))...)
		body = append(body, t.data...)
		for len(body)%4 != 0 {
			body = append(body, 0)
		}
	}
	out := append(append(head, list...), body...)
	binary.BigEndian.PutUint32(out, uint32(len(out)))
	return out
}

func descTag(s string) tag {
	b := append([]byte("desc\x00\x00\x00\x00"), be32(uint32(len(s)+1))...)
	return tag{"desc", append(append(append(b, s...), 0), make([]byte, 78)...)}
}

func mlucTag(s string) tag {
	b := []byte("mluc\x00\x00\x00\x00\x00\x00\x00\x01\x00\x00\x00\x0cenUS")
	b = append(append(b, be32(uint32(2*len(s)))...), be32(28)...)
	for _, r := range s {
		b = append(b, 0, byte(r))
	}
	return tag{"desc", b}
}

// rgbProfile builds a display profile of primaries, adapted to D50.
func rgbProfile(t testing.TB, version byte, name string, c primaries, trc ...[]byte) []byte {
	t.Helper()
	p, ok := withPrimaries(name, c, identity)
	if !ok {
		t.Fatalf("no profile of %v", c)
	}
	m := p.toXYZ
	d := descTag(name)
	if version == 4 {
		d = mlucTag(name)
	}
	tags := []tag{d, {"wtpt", xyzTag(0.9642, 1, 0.8249)}}
	for i, k := range []string{"r", "g", "b"} {
		tags = append(tags, tag{k + "XYZ", xyzTag(m[i], m[3+i], m[6+i])}, tag{k + "TRC", trc[i%len(trc)]})
	}
	return profileOf(version, "mntr", "RGB ", "XYZ ", tags...)
}

// grayProfile builds a profile of one channel.
func grayProfile(version byte, pcs string, trc []byte) []byte {
	d := descTag("grey")
	if version == 4 {
		d = mlucTag("grey")
	}
	return profileOf(version, "mntr", "GRAY", pcs, d, tag{"wtpt", xyzTag(0.9642, 1, 0.8249)}, tag{"kTRC", trc})
}

// sRGBFormula is sRGB's curve as a formula with a linear part.
func sRGBFormula() []byte { return para(3, 2.4, 1/1.055, 0.055/1.055, 1/12.92, 0.04045) }

// builtProfiles are profiles of every form that Parse converts.
func builtProfiles(t testing.TB) map[string][]byte {
	bow := func(x float64) float64 { return 0.7*x*x + 0.3*x*x*x }
	return map[string][]byte{
		"p3.icc":       rgbProfile(t, 4, "P3 primaries", displayP3, sRGBFormula()),
		"a98.icc":      rgbProfile(t, 2, "Adobe RGB primaries", adobeRGB, curv(563)),
		"linear.icc":   rgbProfile(t, 4, "linear", bt709, para(0, 1)),
		"identity.icc": rgbProfile(t, 2, "identity", bt2020, curv()),
		"table.icc":    rgbProfile(t, 2, "tables", bt709, sampled(1024, bow), sampled(256, math.Sqrt), sampled(2, bow)),
		"formulas.icc": rgbProfile(t, 4, "formulas", bt709, para(1, 2.2, 0.95, 0.05), para(2, 1.8, 0.9, 0.04, 0.02), para(4, 2.3, 0.9, 0.05, 0.3, 0.1, 0.02, 0.01)),
		"mixed.icc":    rgbProfile(t, 4, "mixed", displayP3, para(0, 2.6), curv(461), sRGBFormula()),
		"gray.icc":     grayProfile(2, "XYZ ", curv(563)),
		"graylab.icc":  grayProfile(4, "Lab ", para(0, 1.1)),
	}
}

// jpegOf makes a small JPEG with segments put in behind its start.
func jpegOf(t testing.TB, segs ...segment) []byte {
	t.Helper()
	img := image.NewRGBA(image.Rect(0, 0, 8, 8))
	for i := range img.Pix {
		img.Pix[i] = byte(i*37) | 3
	}
	var b bytes.Buffer
	if err := jpeg.Encode(&b, img, nil); err != nil {
		t.Fatal(err)
	}
	out := []byte{0xff, 0xd8}
	for _, s := range segs {
		out = append(out, 0xff, s.marker)
		out = binary.BigEndian.AppendUint16(out, uint16(len(s.body)+2))
		out = append(out, s.body...)
	}
	return append(out, b.Bytes()[2:]...)
}

// piece is one APP2 segment of a profile.
func piece(at, of byte, data []byte) segment {
	return segment{0xe2, append(append([]byte(iccMark), at, of), data...)}
}

// pngOf makes a small PNG with chunks put in behind its header.
func pngOf(t testing.TB, cs ...chunk) []byte {
	t.Helper()
	img := image.NewNRGBA(image.Rect(0, 0, 4, 4))
	img.Set(1, 1, color.NRGBA{200, 100, 50, 255})
	var b bytes.Buffer
	if err := png.Encode(&b, img); err != nil {
		t.Fatal(err)
	}
	out := append([]byte(nil), b.Bytes()[:33]...)
	for _, c := range cs {
		out = append(out, be32(uint32(len(c.body)))...)
		out = append(append(out, c.name...), c.body...)
		out = append(out, be32(crc32.ChecksumIEEE(append([]byte(c.name), c.body...)))...)
	}
	return append(out, b.Bytes()[33:]...)
}

// packed is the body of an iCCP chunk.
func packed(t testing.TB, profile []byte) []byte {
	t.Helper()
	var b bytes.Buffer
	b.WriteString("some name\x00\x00")
	z := zlib.NewWriter(&b)
	if _, err := z.Write(profile); err != nil {
		t.Fatal(err)
	}
	if err := z.Close(); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// exifSegment is an Exif segment with ColorSpace and, unless it is "", an
// interoperability index.
func exifSegment(space uint16, index string) segment {
	le := binary.LittleEndian
	entry := func(tag, kind uint16, count, value uint32) []byte {
		b := le.AppendUint16(nil, tag)
		b = le.AppendUint16(b, kind)
		return le.AppendUint32(le.AppendUint32(b, count), value)
	}
	b := []byte("Exif\x00\x00II*\x00\x08\x00\x00\x00")
	b = append(append(le.AppendUint16(b, 1), entry(tagExif, 4, 1, 26)...), 0, 0, 0, 0)
	b = append(le.AppendUint16(b, 2), entry(tagColorSpace, 3, 1, uint32(space))...)
	b = append(append(b, entry(tagInterop, 4, 1, 56)...), 0, 0, 0, 0)
	if index != "" {
		b = append(le.AppendUint16(b, 1), entry(tagIndex, 2, 4, le.Uint32([]byte(index+"\x00")))...)
		b = append(b, 0, 0, 0, 0)
	}
	return segment{0xe1, b}
}
