package render

import "math"

// surface is what the paint on an object says about one spot.
type surface struct {
	albedo rgb     // diffuse colour
	n      vec     // normal with fine relief; zero means the shape's own
	coat   float64 // share of a clear layer over it, 0..1
	haze   float64 // roughness of that layer or of the metal
	metal  rgb     // mirror colour of bare metal; zero for everything else
	brush  vec     // direction of brushing, if brushed
	dim    float64 // light kept out by a fine groove, 0..1
}

func (s *surface) isMetal() bool { return s.metal.R > 0 }

// matt is a plain surface without gloss.
func matt(c rgb) surface { return surface{albedo: c} }

// plastic is a moulded surface with a slightly hazy gloss.
func plastic(c rgb, haze float64) surface { return surface{albedo: c, coat: 1, haze: haze} }

// nickel is plated metal, worn to the given haze.
func nickel(haze float64) surface {
	return surface{metal: rgb{0.74, 0.71, 0.65}, albedo: rgb{0.02, 0.02, 0.02}, haze: haze}
}

// tilt bends a normal by the slope of a height h(p) in mm, for relief that is
// too fine to be a shape of its own.
func tilt(n, p vec, h func(vec) float64) vec {
	const e = 0.04
	u, v := basis(n)
	base := h(p)
	gu := (h(p.add(u.mul(e))) - base) / e
	gv := (h(p.add(v.mul(e))) - base) / e
	return n.sub(u.mul(gu)).sub(v.mul(gv)).unit()
}

// thin covers a line of half width w mm at distance d from its middle, when a
// pixel sees foot mm: narrow lines fade instead of flickering.
func thin(d, w, foot float64) float64 {
	s := max(w, foot*0.6)
	return w / s * smooth(s*1.35, s*0.55, math.Abs(d))
}
