package colour

import (
	"image/color"
	"math"

	"wornwood/capture/icc"
)

// Linear is a colour in linear light with the primaries of sRGB; 1, 1, 1 is
// white. Channels outside 0..1 are colours that sRGB cannot show.
type Linear [3]float64

// Lab is a colour in CIELAB relative to the white of sRGB (D65), so that equal
// channels of Linear have A and B of 0.
type Lab struct{ L, A, B float64 }

// Lab converts to CIELAB (IEC 60050 845-23-076) by the matrix of IEC
// 61966-2-1.
func (c Linear) Lab() Lab {
	x, y, z := icc.LinearToXYZ(c[0], c[1], c[2])
	wx, wy, wz := icc.White()
	fx, fy, fz := labF(x/wx), labF(y/wy), labF(z/wz)
	return Lab{116*fy - 16, 500 * (fx - fy), 200 * (fy - fz)}
}

// Y is the share of light, white being 1.
func (c Linear) Y() float64 {
	_, y, _ := icc.LinearToXYZ(c[0], c[1], c[2])
	return y
}

func (c Linear) times(k float64) Linear { return Linear{c[0] * k, c[1] * k, c[2] * k} }

func (c Linear) plus(d Linear) Linear { return Linear{c[0] + d[0], c[1] + d[1], c[2] + d[2]} }

// Swatch is the colour as a screen shows it, held to what sRGB can show.
func (c Linear) Swatch() color.NRGBA {
	b := func(v float64) uint8 { return uint8(255*max(0, min(1, Encode(v))) + 0.5) }
	return color.NRGBA{b(c[0]), b(c[1]), b(c[2]), 255}
}

// Linear is the inverse of Linear.Lab.
func (l Lab) Linear() Linear {
	fy := (l.L + 16) / 116
	wx, wy, wz := icc.White()
	x, y, z := labInverse(fy+l.A/500)*wx, labInverse(fy)*wy, labInverse(fy-l.B/200)*wz
	r, g, b := icc.XYZToLinear(x, y, z)
	return Linear{r, g, b}
}

func (l Lab) minus(m Lab) Lab { return Lab{l.L - m.L, l.A - m.A, l.B - m.B} }

// Chroma is C*ab, the distance from grey.
func (l Lab) Chroma() float64 { return math.Hypot(l.A, l.B) }

const labBend = 6.0 / 29

func labF(t float64) float64 {
	if t > labBend*labBend*labBend {
		return math.Cbrt(t)
	}
	return 841.0/108*t + 4.0/29
}

func labInverse(f float64) float64 {
	if f > labBend {
		return f * f * f
	}
	return 108.0 / 841 * (f - 4.0/29)
}

// Decode undoes the transfer of sRGB (IEC 61966-2-1): from a channel's number
// 0..1 to light.
func Decode(v float64) float64 {
	if v <= 0.04045 {
		return v / 12.92
	}
	return math.Pow((v+0.055)/1.055, 2.4)
}

// Encode is the inverse of Decode.
func Encode(v float64) float64 {
	if v <= 0.04045/12.92 {
		return 12.92 * v
	}
	return 1.055*math.Pow(v, 1/2.4) - 0.055
}
