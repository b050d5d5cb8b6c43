package icc

import "math"

// matrix is 3 x 3, row by row.
type matrix [9]float64

func (m matrix) apply(x, y, z float64) (float64, float64, float64) {
	return m[0]*x + m[1]*y + m[2]*z, m[3]*x + m[4]*y + m[5]*z, m[6]*x + m[7]*y + m[8]*z
}

func (m matrix) mul(n matrix) (out matrix) {
	for i := range 3 {
		for j := range 3 {
			out[3*i+j] = m[3*i]*n[j] + m[3*i+1]*n[3+j] + m[3*i+2]*n[6+j]
		}
	}
	return out
}

// inverse is by cofactors; ok is false for a matrix that has none.
func (m matrix) inverse() (out matrix, ok bool) {
	c := func(a, b, d, e int) float64 { return m[a]*m[e] - m[b]*m[d] }
	out = matrix{
		c(4, 5, 7, 8), -c(1, 2, 7, 8), c(1, 2, 4, 5),
		-c(3, 5, 6, 8), c(0, 2, 6, 8), -c(0, 2, 3, 5),
		c(3, 4, 6, 7), -c(0, 1, 6, 7), c(0, 1, 3, 4)}
	det := m[0]*out[0] + m[1]*out[3] + m[2]*out[6]
	if !(math.Abs(det) > 1e-9) || math.IsInf(det, 0) {
		return matrix{}, false
	}
	for i := range out {
		out[i] /= det
	}
	return out, true
}

// sane tells whether the matrix can be that of a picture's colours: its white
// has about the light of white, and its entries are of an ordinary size.
func (m matrix) sane() bool {
	for _, v := range m {
		if !(math.Abs(v) < 8) {
			return false
		}
	}
	x, y, z := m.apply(1, 1, 1)
	return x > 0.5 && x < 1.5 && y > 0.8 && y < 1.2 && z > 0.3 && z < 2
}

// sRGBToXYZ is the matrix of IEC 61966-2-1, and sRGBWhite the sums of its
// rows, so that equal channels are exactly neutral.
var (
	sRGBToXYZ = matrix{0.4124, 0.3576, 0.1805, 0.2126, 0.7152, 0.0722, 0.0193, 0.1192, 0.9505}
	sRGBWhite = [3]float64{0.4124 + 0.3576 + 0.1805, 0.2126 + 0.7152 + 0.0722, 0.0193 + 0.1192 + 0.9505}
)

// d50 is the white of the connection space (ICC.1:2010 section 7.2.16).
var d50 = [3]float64{0.9642, 1, 0.8249}

func xyzToSRGB() matrix {
	inv, _ := sRGBToXYZ.inverse()
	return inv
}

// White is the white of XYZ as LinearToXYZ gives it.
func White() (x, y, z float64) { return sRGBWhite[0], sRGBWhite[1], sRGBWhite[2] }

// LinearToXYZ is CIE XYZ of linear sRGB (IEC 61966-2-1), white having Y = 1.
func LinearToXYZ(r, g, b float64) (x, y, z float64) { return sRGBToXYZ.apply(r, g, b) }

// XYZToLinear is the inverse of LinearToXYZ.
func XYZToLinear(x, y, z float64) (r, g, b float64) { return xyzToSRGB().apply(x, y, z) }

// bradford is the cone response matrix of the linear Bradford adaptation
// (ICC.1:2010 annex E.3).
var bradford = matrix{0.8951, 0.2664, -0.1614, -0.7502, 1.7135, 0.0367, 0.0389, -0.0685, 1.0296}

// adapt is the Bradford adaptation of XYZ from one white to another.
func adapt(from, to [3]float64) matrix {
	inv, _ := bradford.inverse()
	fr, fg, fb := bradford.apply(from[0], from[1], from[2])
	tr, tg, tb := bradford.apply(to[0], to[1], to[2])
	return inv.mul(matrix{tr / fr, 0, 0, 0, tg / fg, 0, 0, 0, tb / fb}).mul(bradford)
}
