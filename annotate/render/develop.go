package render

import (
	"image"
	"math"
)

// develop turns light into an 8-bit picture the way a camera does: exposure, a
// curve that rolls highlights off, the lens's falloff and the sensor's noise.
func (b *buffer) develop(c *camera, exposure float64, workers int) *image.RGBA {
	e := b.clean(workers)
	img := image.NewRGBA(image.Rect(0, 0, b.w, b.h))
	rows(b.h, workers, func(y int) {
		for x := 0; x < b.w; x++ {
			p := &b.px[y*b.w+x]
			v := p.albedo.by(e[y*b.w+x]).add(b.litOther(e, x, y)).add(p.rest)
			v = v.mul(exposure * c.falloff(float64(x), float64(y)))
			die := newDice(x, y, 99)
			out := img.Pix[img.PixOffset(x, y):]
			common := bellShaped(&die)
			for k, ch := range [3]float64{v.R, v.G, v.B} {
				s := 255 * tone(max(0, ch))
				s += (0.55*common + 0.3*bellShaped(&die)) * (0.9 + 0.5*(1-s/255))
				out[k] = uint8(max(0, min(255, s+0.5)))
			}
			out[3] = 255
		}
	})
	return img
}

func bellShaped(d *dice) float64 { return (d.next() + d.next() + d.next() - 1.5) * 2 }

// tone is sRGB's curve up to about 0.6 of full light, above that a shoulder.
func tone(x float64) float64 {
	const knee = 0.6
	if x > knee {
		x = knee + (1-knee)*(1-math.Exp(-(x-knee)/(1-knee)))
	}
	if x <= 0.0031308 {
		return 12.92 * x
	}
	return 1.055*math.Pow(x, 1/2.4) - 0.055
}
