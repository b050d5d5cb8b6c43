package trace

import (
	"math"

	"wornwood/annotate/colour"
)

// lab is a colour in CIELAB (CIE 15:2004, section 8.2.1) for the white of
// sRGB, D65.
type lab struct{ L, A, B float32 }

func (c lab) add(d lab) lab     { return lab{c.L + d.L, c.A + d.A, c.B + d.B} }
func (c lab) sub(d lab) lab     { return lab{c.L - d.L, c.A - d.A, c.B - d.B} }
func (c lab) mul(k float32) lab { return lab{c.L * k, c.A * k, c.B * k} }

// dist2 is the square of the distance, which is dE*ab.
func (c lab) dist2(d lab) float32 {
	l, a, b := c.L-d.L, c.A-d.A, c.B-d.B
	return l*l + a*a + b*b
}

// Tables for the two curves between a byte and CIELAB. The first has sixteen
// steps a level, the second 4096 steps from black to white: both are finer than
// the noise of any photo by an order of magnitude.
const (
	linearSteps = 16
	rootSteps   = 4096
)

var (
	linearTable = func() (t [255*linearSteps + 1]float32) {
		for i := range t {
			t[i] = float32(colour.Decode(float64(i) / (255 * linearSteps)))
		}
		return t
	}()
	rootTable = func() (t [rootSteps + 2]float32) {
		for i := range t {
			v := float64(i) / rootSteps
			if v > 216.0/24389 {
				t[i] = float32(math.Cbrt(v))
			} else {
				t[i] = float32((24389.0/27*v + 16) / 116)
			}
		}
		return t
	}()
)

func linear(v float32) float32 {
	return linearTable[int(max(0, min(v, 255))*linearSteps+0.5)]
}

func root(v float32) float32 {
	v = max(0, min(v, 1)) * rootSteps
	i := int(v)
	f := v - float32(i)
	return rootTable[i]*(1-f) + rootTable[i+1]*f
}

// labOf is the colour of sRGB levels from 0 to 255, which need not be whole.
func labOf(r, g, b float32) lab {
	r, g, b = linear(r), linear(g), linear(b)
	// Rows of the sRGB matrix (IEC 61966-2-1), divided by the white D65.
	x := root(0.433953*r + 0.376219*g + 0.189828*b)
	y := root(0.212671*r + 0.715160*g + 0.072169*b)
	z := root(0.017758*r + 0.109477*g + 0.872766*b)
	return lab{116*y - 16, 500 * (x - y), 200 * (y - z)}
}
