// Package icc finds out which colours the numbers of a photograph stand for
// and turns them into linear sRGB.
//
// Start with Of, which looks at everything a JPEG or PNG file says about its
// colours and always answers with a Profile, with remarks where the answer is
// a guess. FromJPEG, FromPNG and Parse are its parts.
//
// The package converts profiles made of a matrix and three curves, and grey
// ones of one curve; that is what cameras, phones and raw developers embed. It
// does not convert profiles made of tables (of printers, scanners, four inks):
// Parse refuses them with ErrKind. It knows one rendering, the colorimetric
// one relative to white, and clips nothing: a colour outside sRGB comes out
// with channels below 0 or above 1.
package icc

import "math"

// Profile turns a file's numbers into linear sRGB. It does not change and may
// be used by several goroutines at once.
type Profile struct {
	name   string
	gray   bool
	lab    bool // a grey profile whose curve gives lightness instead of light
	curves [3]curve
	toXYZ  matrix // linear device RGB to XYZ adapted to D50
	toSRGB matrix // the same to linear sRGB
}

// Name is the profile's own description, or a few words where it has none.
func (p *Profile) Name() string { return p.name }

// Gray tells whether the profile is for pictures of one channel.
func (p *Profile) Gray() bool { return p.gray }

// Linear tells whether the file's numbers are proportional to light: no curve
// was applied that a camera or a screen calls for.
func (p *Profile) Linear() bool {
	if p.lab {
		return false
	}
	for _, c := range p.curves {
		for i := 0; i <= 16; i++ {
			x := float64(i) / 16
			if math.Abs(c.at(x)-x) > 0.002 {
				return false
			}
		}
	}
	return true
}

// ToLinearSRGB converts one colour. Channels run from 0 to 1; for a grey
// profile the three are the same. The result is linear light with the
// primaries and white of sRGB, 1 being white; it may lie outside 0..1.
func (p *Profile) ToLinearSRGB(r, g, b float64) (float64, float64, float64) {
	return p.toSRGB.apply(p.light(r, g, b))
}

// ToXYZ converts one colour to CIE XYZ adapted to D50, white having Y = 1: the
// connection space of ICC profiles.
func (p *Profile) ToXYZ(r, g, b float64) (x, y, z float64) {
	return p.toXYZ.apply(p.light(r, g, b))
}

// light undoes the curves.
func (p *Profile) light(r, g, b float64) (float64, float64, float64) {
	r, g, b = p.curves[0].at(r), p.curves[1].at(g), p.curves[2].at(b)
	if p.lab {
		r, g, b = lightOf(r), lightOf(g), lightOf(b)
	}
	return r, g, b
}

// lightOf is Y of a lightness L*/100 (IEC 60050 845-23-076, inverted).
func lightOf(l float64) float64 {
	t := (100*l + 16) / 116
	if t > 6.0/29 {
		return t * t * t
	}
	return (t - 4.0/29) * 108 / 841
}

// SRGB is the profile of sRGB (IEC 61966-2-1): what a file means that says
// nothing else.
func SRGB() *Profile {
	return withMatrix("sRGB", sRGBToXYZ, sRGBWhite, sRGBCurve)
}

// LinearSRGB is a profile of numbers that are proportional to light, with the
// primaries and white of sRGB.
func LinearSRGB() *Profile {
	return withMatrix("linear, sRGB primaries", sRGBToXYZ, sRGBWhite, identity)
}

// withMatrix makes a profile of a matrix to XYZ under its own white and one
// curve for all channels.
func withMatrix(name string, toXYZ matrix, white [3]float64, c curve) *Profile {
	p := &Profile{name: name, curves: [3]curve{c, c, c}}
	p.toXYZ = adapt(white, d50).mul(toXYZ)
	p.toSRGB = xyzToSRGB().mul(adapt(white, sRGBWhite)).mul(toXYZ)
	return p
}

// primaries are chromaticities x, y of red, green, blue and white.
type primaries [4][2]float64

// The chromaticities that a file can name by a number (ITU-T H.273 table 2:
// 1, 9, 12), and those of the optional colour space of DCF 2.0, Adobe RGB
// (IEC 61966-2-5).
var (
	bt709     = primaries{{0.64, 0.33}, {0.30, 0.60}, {0.15, 0.06}, {0.3127, 0.3290}}
	bt2020    = primaries{{0.708, 0.292}, {0.170, 0.797}, {0.131, 0.046}, {0.3127, 0.3290}}
	displayP3 = primaries{{0.680, 0.320}, {0.265, 0.690}, {0.150, 0.060}, {0.3127, 0.3290}}
	adobeRGB  = primaries{{0.64, 0.33}, {0.21, 0.71}, {0.15, 0.06}, {0.3127, 0.3290}}
)

// adobeGamma is the exponent of Adobe RGB, 2 + 51/256.
const adobeGamma = 2.19921875

// withPrimaries makes a profile from chromaticities; ok is false when they
// span no triangle.
func withPrimaries(name string, c primaries, curve curve) (p *Profile, ok bool) {
	var m matrix
	for i := range 3 {
		x, y := c[i][0], c[i][1]
		if !(y > 1e-4) || !(c[3][1] > 1e-4) {
			return nil, false
		}
		m[i], m[3+i], m[6+i] = x/y, 1, (1-x-y)/y
	}
	inv, ok := m.inverse()
	if !ok {
		return nil, false
	}
	x, y := c[3][0], c[3][1]
	white := [3]float64{x / y, 1, (1 - x - y) / y}
	s := [3]float64{}
	s[0], s[1], s[2] = inv.apply(white[0], white[1], white[2])
	for i := range m {
		m[i] *= s[i%3]
	}
	if !m.sane() {
		return nil, false
	}
	return withMatrix(name, m, white, curve), true
}
