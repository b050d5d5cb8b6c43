package trace

import (
	"image/color"
	"math"
	"math/rand/v2"
)

// backdrop is a colour for every pixel, red, green and blue from 0 to 1.
type backdrop []float32

func plain(w, h int, c color.RGBA) backdrop {
	b := make(backdrop, 3*w*h)
	for i := range w * h {
		b[3*i], b[3*i+1], b[3*i+2] = float32(c.R)/255, float32(c.G)/255, float32(c.B)/255
	}
	return b
}

// times multiplies every pixel by a factor of its place, coordinates running
// from 0 to 1.
func (b backdrop) times(w, h int, f func(x, y float64) float64) backdrop {
	for i := range w * h {
		k := float32(f((float64(i%w)+0.5)/float64(w), (float64(i/w)+0.5)/float64(h)))
		for c := range 3 {
			b[3*i+c] = max(0, min(1, b[3*i+c]*k))
		}
	}
	return b
}

// graded is light that falls off from one side to the other, and towards the
// corners: by about half in all.
func graded(w, h int, c color.RGBA, rnd *rand.Rand) backdrop {
	dy, dx := math.Sincos(rnd.Float64() * 2 * math.Pi)
	return plain(w, h, c).times(w, h, func(x, y float64) float64 {
		x, y = x-0.5, y-0.5
		return math.Pow((1+0.9*(x*dx+y*dy))*(1.05-0.5*(x*x+y*y)), 1/2.2)
	})
}

// fabric is a woven cloth with uneven threads of 5 to 10 pixels, lying in soft
// folds.
func fabric(w, h int, c color.RGBA, rnd *rand.Rand) backdrop {
	period := (5 + 5*rnd.Float64()) * float64(h) / 1500
	warp, weft := make([]float64, w), make([]float64, h)
	wave := func(n int) []float64 {
		v := make([]float64, n)
		for i := range v {
			v[i] = math.Sin(math.Pi * float64(i) / period)
		}
		return v
	}
	for i := range warp {
		warp[i] = 0.25 * rnd.NormFloat64()
	}
	for i := range weft {
		weft[i] = 0.25*rnd.NormFloat64() - 0.1
	}
	u, v := wave(w), wave(h)
	p1, p2 := rnd.Float64()*6, rnd.Float64()*6
	return plain(w, h, c).times(w, h, func(x, y float64) float64 {
		i, j := int(x*float64(w)), int(y*float64(h))
		thread := math.Abs(u[i]) + warp[int(float64(i)/period)]
		if u[i]*v[j] < 0 {
			thread = math.Abs(v[j]) + weft[int(float64(j)/period)]
		}
		fold := 0.06*math.Sin(2*math.Pi*(1.3*x+0.5*y)+p1) + 0.05*math.Sin(2*math.Pi*(0.4*x-1.1*y)+p2)
		return 1 + 0.22*(thread-0.6) + fold
	})
}

// planks is a floor of boards across the picture, each of another shade, with
// grain.
func planks(w, h int, c color.RGBA, rnd *rand.Rand) backdrop {
	shade := make([]float64, 14)
	for i := range shade {
		shade[i] = 0.75 + 0.5*rnd.Float64()
	}
	p := rnd.Float64() * 9
	return plain(w, h, c).times(w, h, func(x, y float64) float64 {
		board := y * 11
		k := shade[int(board)] * (1 + 0.12*math.Sin(90*board+4*math.Sin(5*x+p+3*math.Floor(board))))
		if board-math.Floor(board) < 0.03 {
			k *= 0.4
		}
		return k
	})
}

// stripes are bands of the colour and of a second one.
func stripes(w, h int, c, d color.RGBA, rnd *rand.Rand) backdrop {
	b, other := plain(w, h, c), plain(w, h, d)
	dy, dx := math.Sincos(rnd.Float64() * math.Pi)
	for i := range w * h {
		if math.Mod(float64(i%w)*dx+float64(i/w)*dy+9e4, 0.08*float64(h)) < 0.04*float64(h) {
			copy(b[3*i:3*i+3], other[3*i:3*i+3])
		}
	}
	return b
}

// clutter is a heap of boxes and discs of all colours.
func clutter(w, h int, rnd *rand.Rand) backdrop {
	b := plain(w, h, color.RGBA{120, 110, 100, 255})
	for range 150 {
		cx, cy := rnd.Float64()*float64(w), rnd.Float64()*float64(h)
		rx, ry := (0.02+0.1*rnd.Float64())*float64(h), (0.02+0.1*rnd.Float64())*float64(h)
		c := [3]float32{rnd.Float32(), rnd.Float32(), rnd.Float32()}
		round := rnd.IntN(2) == 0
		for y := max(0, int(cy-ry)); y < min(h, int(cy+ry)); y++ {
			for x := max(0, int(cx-rx)); x < min(w, int(cx+rx)); x++ {
				if !round || math.Hypot((float64(x)-cx)/rx, (float64(y)-cy)/ry) < 1 {
					copy(b[3*(y*w+x):], c[:])
				}
			}
		}
	}
	return b
}
