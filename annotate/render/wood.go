package render

import "math"

// log is a piece cut from a tree: rings about an axis that runs roughly along
// the strings.
type log struct {
	x, z    float64 // the tree's heart, mm from the centre line and front face
	lean    float64 // mm that the heart drifts per mm along the strings
	ring    float64 // mm between two rings
	wander  float64 // mm by which rings wobble
	seed    uint64
	figure  float64 // strength of curl across the grain
	pores   float64 // strength of open pores
	fibre   float64 // strength of the fibres between them
	contour float64 // contrast of the rings
}

// grain is how dark the wood is at p, around 0; positive is darker.
func (g *log) grain(p vec, foot float64) float64 {
	w := layers(vec{p.X * 0.02, p.Y * 0.0045, p.Z * 0.02}, 3, g.seed) * g.wander
	fine := noise3(p.X*0.16, p.Y*0.011, p.Z*0.16, g.seed+5) * g.wander * 0.06
	r := hypot(p.X-g.x+w, p.Z-g.z+p.Y*g.lean+w*0.7) + fine
	k := r / g.ring
	year := math.Floor(k)
	t := k - year
	// Each year ends in a dark line of its own width; early wood is pale.
	late := 0.10 + 0.16*unitFloat(hash3(int64(year), 3, 1, g.seed))
	ring := smooth(1-3.2*late, 1, t) - 0.8*smooth(1-late*0.35, 1, t)
	v := g.contour * (ring*(0.6+0.5*unitFloat(hash3(int64(year), 9, 2, g.seed))) - 0.25)
	v += 0.10 * layers(vec{p.X * 0.9, p.Y * 0.03, p.Z * 0.9}, 2, g.seed+9)
	if near := smooth(0.45, 0.12, foot); near > 0 {
		v += near * g.fibre * (noise3(p.X*4.5, p.Y*0.11, p.Z*4.5, g.seed+13) + 0.8*noise3(p.X*9, p.Y*0.3, p.Z*9, g.seed+14))
	}
	if g.figure > 0 {
		bend := 9 * noise3(p.X*0.012, p.Y*0.02, p.Z*0.01, g.seed+21)
		curl := math.Sin((p.Y+bend*2)*0.42+3*noise3(p.X*0.03, p.Y*0.05, 0, g.seed+23)) * smooth(-0.5, 0.6, noise3(p.X*0.011, p.Y*0.013, 0, g.seed+24))
		v += g.figure * curl
	}
	return v + g.pores*g.pore(p, foot)
}

// pore is the short dark strokes of open-grained wood. Where a pixel covers
// many of them only their mean is left.
func (g *log) pore(p vec, foot float64) float64 {
	seen := smooth(0.9, 0.25, foot)
	if seen == 0 {
		return 0.2
	}
	a := noise3(p.X*3.1, p.Y*0.16, p.Z*3.1, g.seed+31)
	b := noise3(p.X*5.3, p.Y*0.28, p.Z*5.3, g.seed+37)
	return lerp(0.2, smooth(0.42, 0.78, a)+0.7*smooth(0.5, 0.85, b), seen)
}

// tone darkens a colour by the grain value v, warmer as it darkens.
func stain(c rgb, v float64) rgb {
	return rgb{c.R * math.Exp(-0.8*v), c.G * math.Exp(-v), c.B * math.Exp(-1.25*v)}
}

// The woods of the instrument.
var (
	bodyWood  = &log{x: 25, z: -150, lean: 0.05, ring: 6.5, wander: 26, seed: 11, figure: 0.05, fibre: 0.05, contour: 0.42, pores: 0.16}
	neckWood  = &log{x: 60, z: -70, lean: 0.012, ring: 4.3, wander: 24, seed: 23, figure: 0.09, fibre: 0.04, contour: 0.17, pores: 0.05}
	boardWood = &log{x: -80, z: 40, lean: 0.02, ring: 2.3, wander: 12, seed: 41, figure: 0, fibre: 0.08, contour: 0.5, pores: 0.8}
)

// Colours in sRGB as one sees them in even light.
var (
	rawAlder = hex(0xc49b6c)
	maple    = hex(0xd9a860)
	rosewood = hex(0x5a3826)
	bone     = hex(0xe9e0c6)
)
