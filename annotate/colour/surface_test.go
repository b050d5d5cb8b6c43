package colour

import (
	"bytes"
	"encoding/binary"
	"hash/crc32"
	"image"
	"image/color"
	"image/jpeg"
	"image/png"
	"math"
	"math/rand/v2"
	"testing"

	"wornwood/annotate/shape"
	"wornwood/capture/icc"
	"wornwood/capture/reduce"
)

// The tests of this package read surfaces made here: varnished wood, plain or
// grained, lit evenly or not, with mirrored lights, seen by a camera with noise,
// an exposure and a white balance of its own.

// side is the side of a surface in pixels, and margin how far inside it the
// patches are drawn.
const (
	side   = 80
	margin = 4
)

// surface is a square of wood.
type surface struct {
	base  Linear
	grain float64 // contrast: 0 plain, 1 open and strongly figured
	hues  float64 // how much wood of another hue runs through it
	seed  uint64
	sheen func(x, y float64) float64 // mirrored light at x, y of 0..1, as a share of white; nil for none
	slope [2]float64                 // how unevenly it is lit: the share of light that changes across, and down
}

// lattice noise: -1..1, one feature a unit.
func noise(x, y float64, seed uint64) float64 {
	fx, fy := math.Floor(x), math.Floor(y)
	at := func(dx, dy float64) float64 {
		h := (seed+1)*0x9e3779b97f4a7c15 ^ uint64(int64(fx+dx))*0xbf58476d1ce4e5b9 ^ uint64(int64(fy+dy))*0x94d049bb133111eb
		h = (h ^ h>>30) * 0xbf58476d1ce4e5b9
		h = (h ^ h>>27) * 0x94d049bb133111eb
		return float64((h^h>>31)>>11)/(1<<52) - 1
	}
	ease := func(t float64) float64 { return t * t * t * (t*(t*6-15) + 10) }
	u, v := ease(x-fx), ease(y-fy)
	a, b := at(0, 0)*(1-u)+at(1, 0)*u, at(0, 1)*(1-u)+at(1, 1)*u
	return a*(1-v) + b*v
}

// at is the light that comes from the surface under even white light of 1.
func (s *surface) at(x, y int) Linear {
	u, v := float64(x), float64(y)
	w := 0.012 * noise(u/40, v/40, s.seed) // even lacquer has clouds too
	if s.grain > 0 {
		ring := (u + 9*noise(u/60, v/140, s.seed+1)) / 11
		t := ring - math.Floor(ring)
		line := 0.4 * (t*t*t - 0.25)
		fibre := 0.10*noise(u/1.7, v/30, s.seed+2) + 0.06*noise(u/0.9, v/12, s.seed+3)
		pore := 0.35 * max(0, noise(u/1.3, v/14, s.seed+4)-0.55)
		figure := 0.10 * noise(u/30, v/22, s.seed+5)
		w += s.grain * (line + fibre + pore + figure)
	}
	h := 0.0
	if s.hues > 0 {
		h = s.hues * (noise(u/17, v/90, s.seed+6) + 0.5*noise(u/45, v/60, s.seed+7))
	}
	// Wood gets warmer as it darkens.
	c := Linear{s.base[0] * math.Exp(0.5*h-0.8*w), s.base[1] * math.Exp(-w), s.base[2] * math.Exp(-0.7*h-1.25*w)}
	c = c.times(1 + s.slope[0]*(u/side-0.5) + s.slope[1]*(v/side-0.5))
	if s.sheen != nil {
		m := s.sheen(u/side, v/side)
		c = c.plus(Linear{m, m, m})
	}
	return c
}

// truth is the surface's colour as a reading of it should be: the mean of its
// light, without what is mirrored and with even light.
func (s *surface) truth() Linear {
	plain := surface{base: s.base, grain: s.grain, hues: s.hues, seed: s.seed}
	var sum Linear
	for y := margin; y < side-margin; y++ {
		for x := margin; x < side-margin; x++ {
			sum = sum.plus(plain.at(x, y))
		}
	}
	return sum.times(1 / math.Pow(side-2*margin, 2))
}

// camera is what stands between a surface and a file.
type camera struct {
	ev      float64    // exposure
	balance [3]float64 // gains of its own channels; zero is 1
	noise   float64    // standard deviation at white
	curve   func(v float64) float64
}

// The camera's channels are not those of sRGB: a matrix as of common sensors
// (its rows sum to 1) leads from one to the other, so that a wrong white balance
// is not undone by gains of sRGB's channels alone.
var (
	sensorToRGB = [9]float64{1.62, -0.47, -0.15, -0.19, 1.48, -0.29, 0.03, -0.48, 1.45}
	rgbToSensor = inverse(sensorToRGB)
)

func inverse(m [9]float64) (out [9]float64) {
	c := func(a, b, d, e int) float64 { return m[a]*m[e] - m[b]*m[d] }
	out = [9]float64{c(4, 5, 7, 8), -c(1, 2, 7, 8), c(1, 2, 4, 5), -c(3, 5, 6, 8), c(0, 2, 6, 8), -c(0, 2, 3, 5), c(3, 4, 6, 7), -c(0, 1, 6, 7), c(0, 1, 3, 4)}
	det := m[0]*out[0] + m[1]*out[3] + m[2]*out[6]
	for i := range out {
		out[i] /= det
	}
	return out
}

func apply(m [9]float64, c Linear) Linear {
	return Linear{m[0]*c[0] + m[1]*c[1] + m[2]*c[2], m[3]*c[0] + m[4]*c[1] + m[5]*c[2], m[6]*c[0] + m[7]*c[1] + m[8]*c[2]}
}

// see is the linear light that the camera reports for c.
func (k *camera) see(c Linear, r *rand.Rand) Linear {
	v := apply(rgbToSensor, c)
	for i := range v {
		g := k.balance[i]
		if g == 0 {
			g = 1
		}
		v[i] *= g * math.Exp2(k.ev)
		v[i] += k.noise * (math.Sqrt(max(0, v[i])) + 0.05) * r.NormFloat64()
	}
	v = apply(sensorToRGB, v)
	if k.curve != nil {
		for i := range v {
			v[i] = k.curve(max(0, v[i]))
		}
	}
	return v
}

// raster is linear light as a camera reports it.
type raster struct {
	w, h int
	px   []Linear
}

// light is the surface as it shines, pixel by pixel.
func (s *surface) light() *raster {
	p := &raster{w: side, h: side, px: make([]Linear, side*side)}
	for i := range p.px {
		p.px[i] = s.at(i%side, i/side)
	}
	return p
}

// shoot is the raster as the camera reports it.
func (k *camera) shoot(light *raster, r *rand.Rand) *raster {
	p := &raster{w: light.w, h: light.h, px: make([]Linear, len(light.px))}
	for i, c := range light.px {
		p.px[i] = k.see(c, r)
	}
	return p
}

// eight is the picture in a file of sRGB with 8 bits, sixteen the same linear
// with 16, without going through a file.
func (p *raster) eight() *Image { return p.image(icc.SRGB(), 255, Encode) }
func (p *raster) sixteen() *Image {
	return p.image(icc.LinearSRGB(), 65535, func(v float64) float64 { return v })
}

func (p *raster) image(profile *icc.Profile, top float64, encode func(v float64) float64) *Image {
	m := &Image{ID: "made", Width: p.w, Height: p.h, w: p.w, h: p.h, whole: p.h, profile: profile, Profile: profile.Name(), Linear: profile.Linear()}
	m.code = func(x, y int) (c [3]float64, ok bool) {
		ok = true
		for k, v := range p.px[y*p.w+x] {
			n := math.Round(top * max(0, min(1, encode(v))))
			ok = ok && n > 0 && n < top
			c[k] = n / top
		}
		return c, ok
	}
	return m
}

// linearPNG is a file of 16 bits with a gamma of 1.
func (p *raster) linearPNG(t testing.TB) []byte {
	t.Helper()
	img := image.NewNRGBA64(image.Rect(0, 0, p.w, p.h))
	for i, c := range p.px {
		n := func(v float64) uint16 { return uint16(65535*max(0, min(1, v)) + 0.5) }
		img.SetNRGBA64(i%p.w, i/p.w, color.NRGBA64{R: n(c[0]), G: n(c[1]), B: n(c[2]), A: 0xffff})
	}
	var b bytes.Buffer
	if err := (&png.Encoder{CompressionLevel: png.BestSpeed}).Encode(&b, img); err != nil {
		t.Fatal(err)
	}
	chunk := append([]byte("gAMA"), binary.BigEndian.AppendUint32(nil, 100000)...)
	out := append(append([]byte(nil), b.Bytes()[:33]...), 0, 0, 0, 4)
	out = binary.BigEndian.AppendUint32(append(out, chunk...), crc32.ChecksumIEEE(chunk))
	return append(out, b.Bytes()[33:]...)
}

// jpeg is a file as cameras write it.
func (p *raster) jpeg(t testing.TB) []byte {
	t.Helper()
	img := image.NewRGBA(image.Rect(0, 0, p.w, p.h))
	for i, c := range p.px {
		s := c.Swatch()
		img.SetRGBA(i%p.w, i/p.w, color.RGBA{s.R, s.G, s.B, 255})
	}
	var b bytes.Buffer
	if err := jpeg.Encode(&b, img, &jpeg.Options{Quality: 92}); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func open(t testing.TB, data []byte) *Image {
	t.Helper()
	m, err := Open(data, 1, reduce.Limits{})
	if err != nil {
		t.Fatal(err)
	}
	return m
}

// inner is the patch that leaves the margin out.
func inner() []shape.Pt {
	return []shape.Pt{{X: margin, Y: margin}, {X: side - margin, Y: margin}, {X: side - margin, Y: side - margin}, {X: margin, Y: side - margin}}
}

func sRGB(r, g, b float64) Linear { return Linear{Decode(r / 255), Decode(g / 255), Decode(b / 255)} }

// woods are pairs of a colour as it was and as it has faded, in sRGB as one
// sees them in even light: pale, amber, red and dark wood and lacquer.
var woods = []struct {
	name       string
	was, faded Linear
}{
	{"spruce", sRGB(214, 170, 110), sRGB(222, 186, 135)},
	{"amber lacquer", sRGB(201, 128, 48), sRGB(208, 144, 70)},
	{"cherry lacquer", sRGB(142, 34, 30), sRGB(168, 66, 48)},
	{"mahogany", sRGB(118, 66, 40), sRGB(132, 82, 54)},
	{"rosewood", sRGB(90, 56, 38), sRGB(104, 70, 50)},
	{"blue lacquer", sRGB(52, 92, 128), sRGB(84, 118, 140)},
	{"cream lacquer", sRGB(232, 216, 172), sRGB(236, 224, 190)},
	{"nearly the same", sRGB(150, 90, 50), sRGB(152, 92, 53)},
}

// card is a grey card of 18 per cent.
func card() *surface { return &surface{base: Linear{0.18, 0.18, 0.18}} }
