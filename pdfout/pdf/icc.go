package pdf

import (
	"encoding/binary"
	"math"
)

// SRGBProfile is the ICC profile that reports carry, for pictures beside them.
func SRGBProfile() []byte { return sRGBProfile() }

// sRGBProfile makes an ICC profile, version 2.1 (ICC.1:2001-04), of the colour
// space of IEC 61966-2-1: three colorants and one tone curve.
func sRGBProfile() []byte {
	r, g, b := sRGBColorants()
	curve := sRGBCurve()
	tags := []struct {
		sig  string
		data []byte
	}{
		{"desc", iccDescription("sRGB IEC61966-2.1")},
		{"cprt", iccText("No copyright, use freely")},
		{"wtpt", iccXYZ(d50)},
		{"rXYZ", iccXYZ(r)}, {"gXYZ", iccXYZ(g)}, {"bXYZ", iccXYZ(b)},
		{"rTRC", curve}, {"gTRC", nil}, {"bTRC", nil}, // nil shares the tag before
	}
	body := make([]byte, 128+4+12*len(tags))
	binary.BigEndian.PutUint32(body[128:], uint32(len(tags)))
	var off, size int
	for i, t := range tags {
		if t.data != nil {
			off, size = len(body), len(t.data)
			body = append(body, t.data...)
			for len(body)%4 != 0 {
				body = append(body, 0)
			}
		}
		row := body[132+12*i:]
		copy(row, t.sig)
		binary.BigEndian.PutUint32(row[4:], uint32(off))
		binary.BigEndian.PutUint32(row[8:], uint32(size))
	}
	iccHeader(body)
	return body
}

func iccHeader(p []byte) {
	binary.BigEndian.PutUint32(p[0:], uint32(len(p)))
	binary.BigEndian.PutUint32(p[8:], 0x02100000)
	copy(p[12:], "mntrRGB XYZ ")
	// 2000-01-01 00:00:00: a fixed date, so that all files carry the same profile.
	for i, v := range []uint16{2000, 1, 1, 0, 0, 0} {
		binary.BigEndian.PutUint16(p[24+2*i:], v)
	}
	copy(p[36:], "acsp")
	copy(p[68:], iccXYZ(d50)[8:])
}

// d50 is the white of the profile connection space (ICC.1, 6.3.4.3).
var d50 = [3]float64{0.9642, 1, 0.8249}

// sRGBColorants are the primaries of IEC 61966-2-1 adapted from its white
// (D65) to D50 with the Bradford matrix of ICC.1, annex E.
func sRGBColorants() (r, g, b [3]float64) {
	xyz := func(x, y float64) [3]float64 { return [3]float64{x / y, 1, (1 - x - y) / y} }
	white := xyz(0.3127, 0.3290)
	prim := matrix{}
	for i, p := range [][3]float64{xyz(0.64, 0.33), xyz(0.30, 0.60), xyz(0.15, 0.06)} {
		for row := range 3 {
			prim[row][i] = p[row]
		}
	}
	scale := prim.inverse().apply(white)
	bradford := matrix{{0.8951, 0.2664, -0.1614}, {-0.7502, 1.7135, 0.0367}, {0.0389, -0.0685, 1.0296}}
	from, to := bradford.apply(white), bradford.apply(d50)
	adapt := func(c int) [3]float64 {
		v := bradford.apply([3]float64{prim[0][c] * scale[c], prim[1][c] * scale[c], prim[2][c] * scale[c]})
		for i := range v {
			v[i] *= to[i] / from[i]
		}
		return bradford.inverse().apply(v)
	}
	return adapt(0), adapt(1), adapt(2)
}

type matrix [3][3]float64

func (m matrix) apply(v [3]float64) (out [3]float64) {
	for i := range 3 {
		out[i] = m[i][0]*v[0] + m[i][1]*v[1] + m[i][2]*v[2]
	}
	return out
}

func (m matrix) inverse() (out matrix) {
	cof := func(r, c int) float64 {
		r1, r2, c1, c2 := (r+1)%3, (r+2)%3, (c+1)%3, (c+2)%3
		return m[r1][c1]*m[r2][c2] - m[r1][c2]*m[r2][c1]
	}
	det := m[0][0]*cof(0, 0) + m[0][1]*cof(0, 1) + m[0][2]*cof(0, 2)
	for r := range 3 {
		for c := range 3 {
			out[c][r] = cof(r, c) / det
		}
	}
	return out
}

// sRGBLinear is the transfer function of IEC 61966-2-1, from 0..1 to 0..1.
func sRGBLinear(v float64) float64 {
	if v <= 0.04045 {
		return v / 12.92
	}
	return math.Pow((v+0.055)/1.055, 2.4)
}

func sRGBCurve() []byte {
	const n = 1024
	b := make([]byte, 12+2*n)
	copy(b, "curv")
	binary.BigEndian.PutUint32(b[8:], n)
	for i := range n {
		v := sRGBLinear(float64(i) / (n - 1))
		binary.BigEndian.PutUint16(b[12+2*i:], uint16(math.Round(v*65535)))
	}
	return b
}

func iccXYZ(v [3]float64) []byte {
	b := make([]byte, 20)
	copy(b, "XYZ ")
	for i, x := range v {
		binary.BigEndian.PutUint32(b[8+4*i:], uint32(int32(math.Round(x*65536))))
	}
	return b
}

func iccText(s string) []byte {
	return append([]byte("text\x00\x00\x00\x00"+s), 0)
}

// iccDescription is a textDescriptionType with its Unicode and script parts
// empty.
func iccDescription(s string) []byte {
	b := []byte("desc\x00\x00\x00\x00")
	b = binary.BigEndian.AppendUint32(b, uint32(len(s)+1))
	b = append(b, s...)
	b = append(b, 0)
	return append(b, make([]byte, 8+3+67)...)
}
