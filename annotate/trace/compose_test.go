package trace

import (
	"image"
	"image/color"
	_ "image/png"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"golang.org/x/image/draw"
)

// stampDir holds photographed string instruments cut out by hand, their silhouettes in the alpha channel (Debian package
// tuxpaint-stamps-default).
const stampDir = "/usr/share/tuxpaint/stamps/hobbies/music/string"

// stamp is one of them enlarged onto a canvas.
type stamp struct {
	name string
	w, h int
	rgba []float32  // premultiplied, 0 to 1
	mean [3]float64 // sRGB levels
}

const (
	canvasW, canvasH = 1000, 1500
)

func stamps(t testing.TB) []*stamp {
	t.Helper()
	files, _ := filepath.Glob(filepath.Join(stampDir, "*.png"))
	if len(files) < 6 {
		t.Fatalf("%d instruments in %s; install tuxpaint-stamps-default", len(files), stampDir)
	}
	var out []*stamp
	for _, f := range files {
		out = append(out, readStamp(t, f, canvasW, canvasH, 0.88))
	}
	return out
}

func readStamp(t testing.TB, file string, w, h int, fill float64) *stamp {
	t.Helper()
	r, err := os.Open(file)
	if err != nil {
		t.Fatal(err)
	}
	defer r.Close()
	src, _, err := image.Decode(r)
	if err != nil {
		t.Fatal(err)
	}
	b := src.Bounds()
	k := math.Min(fill*float64(h)/float64(b.Dy()), 0.8*float64(w)/float64(b.Dx()))
	dw, dh := int(k*float64(b.Dx())), int(k*float64(b.Dy()))
	dst := image.NewRGBA64(image.Rect(0, 0, w, h))
	at := image.Rect(0, 0, dw, dh).Add(image.Pt((w-dw)/2, (h-dh)/2))
	draw.CatmullRom.Scale(dst, at, src, b, draw.Src, nil)
	s := &stamp{name: strings.TrimSuffix(filepath.Base(file), ".png"), w: w, h: h, rgba: make([]float32, 4*w*h)}
	n := 0.0
	for i := range w * h {
		c := dst.RGBA64At(i%w, i/w)
		full := float32(c.A) / 65535
		// The enlarged edge would be as soft as k pixels of the file; a photo's is about two.
		a := max(0, min(1, (full-0.5)*float32(max(1, k/1.5))+0.5))
		for j, v := range [3]uint16{c.R, c.G, c.B} {
			s.rgba[4*i+j] = a * min(float32(v)/65535/max(full, 0.01), 1)
		}
		s.rgba[4*i+3] = a
		if a > 0.98 {
			n++
			for j := range 3 {
				s.mean[j] += 255 * float64(s.rgba[4*i+j])
			}
		}
	}
	for j := range 3 {
		s.mean[j] /= n
	}
	return s
}

func (s *stamp) truth() []bool {
	m := make([]bool, s.w*s.h)
	for i := range m {
		m[i] = s.rgba[4*i+3] >= 0.5
	}
	return m
}

// backdrop is a colour for every pixel, 0 to 1.
type backdrop []float32

func (s *stamp) over(b backdrop, noise float64, rnd *rand.Rand) *image.RGBA {
	img := image.NewRGBA(image.Rect(0, 0, s.w, s.h))
	for i := range s.w * s.h {
		k := 1 - s.rgba[4*i+3]
		for c := range 3 {
			v := 255*float64(s.rgba[4*i+c]+k*b[3*i+c]) + noise*rnd.NormFloat64()
			img.Pix[4*i+c] = uint8(math.Max(0, math.Min(255, v+0.5)))
		}
		img.Pix[4*i+3] = 255
	}
	return img
}

func plain(w, h int, c color.RGBA) backdrop {
	b := make(backdrop, 3*w*h)
	for i := range w * h {
		b[3*i], b[3*i+1], b[3*i+2] = float32(c.R)/255, float32(c.G)/255, float32(c.B)/255
	}
	return b
}

// light multiplies the backdrop by a factor of the place, on linear light taken as a power of 2.2.
func (b backdrop) light(w, h int, f func(x, y float64) float64) backdrop {
	for i := range w * h {
		k := float32(math.Pow(f((float64(i%w)+0.5)/float64(w), (float64(i/w)+0.5)/float64(h)), 1/2.2))
		for c := range 3 {
			b[3*i+c] = min(1, b[3*i+c]*k)
		}
	}
	return b
}

func graded(w, h int, c color.RGBA, rnd *rand.Rand) backdrop {
	a := rnd.Float64() * 2 * math.Pi
	dx, dy := math.Cos(a), math.Sin(a)
	return plain(w, h, c).light(w, h, func(x, y float64) float64 {
		r := math.Hypot(x-0.5, y-0.5)
		return (1 + 0.45*((x-0.5)*dx+(y-0.5)*dy)*2) * (1.05 - 0.5*r*r)
	})
}

func fabric(w, h int, c color.RGBA, rnd *rand.Rand) backdrop {
	period := 5 + 5*rnd.Float64()
	warp, weft := make([]float64, w), make([]float64, h)
	for i := range warp {
		warp[i] = rnd.NormFloat64()
	}
	for i := range weft {
		weft[i] = rnd.NormFloat64()
	}
	p1, p2 := rnd.Float64()*6, rnd.Float64()*6
	b := plain(w, h, c)
	for i := range w * h {
		x, y := i%w, i/w
		u, v := float64(x)/period, float64(y)/period
		over := math.Sin(math.Pi*u) * math.Sin(math.Pi*v)
		thread := 0.0
		if over > 0 {
			thread = math.Abs(math.Sin(math.Pi*u)) + 0.25*warp[int(u)%w]
		} else {
			thread = math.Abs(math.Sin(math.Pi*v)) + 0.25*weft[int(v)%h] - 0.1
		}
		fold := 0.06 * math.Sin(2*math.Pi*(1.3*float64(x)/float64(w)+0.5*float64(y)/float64(h))+p1)
		fold += 0.05 * math.Sin(2*math.Pi*(0.4*float64(x)/float64(w)-1.1*float64(y)/float64(h))+p2)
		k := float32(1 + 0.22*(thread-0.6) + fold)
		for ch := range 3 {
			b[3*i+ch] = max(0, min(1, b[3*i+ch]*k))
		}
	}
	return b
}

// shadowed lets the instrument cast a soft shadow and a darker narrow one where it touches.
func shadowed(s *stamp, c color.RGBA, rnd *rand.Rand) backdrop {
	b := plain(s.w, s.h, c)
	a := rnd.Float64() * 2 * math.Pi
	reach := (0.012 + 0.02*rnd.Float64()) * float64(s.h)
	soft := s.shifted(reach*math.Cos(a), reach*math.Sin(a), int(0.008*float64(s.h)))
	near := s.shifted(0.3*reach*math.Cos(a), 0.3*reach*math.Sin(a), int(0.003*float64(s.h)))
	depth := 0.35 + 0.25*rnd.Float64()
	for i := range s.w * s.h {
		k := float32(math.Pow((1-depth*float64(soft[i]))*(1-0.35*float64(near[i])), 1/2.2))
		for ch := range 3 {
			b[3*i+ch] *= k
		}
	}
	return b
}

func (s *stamp) shifted(dx, dy float64, blur int) []float32 {
	v := make([]float32, s.w*s.h)
	for i := range v {
		x, y := i%s.w-int(dx), i/s.w-int(dy)
		if x >= 0 && y >= 0 && x < s.w && y < s.h {
			v[i] = s.rgba[4*(y*s.w+x)+3]
		}
	}
	smooth(v, s.w, s.h, blur, 3)
	return v
}

func iou(a, b []bool) float64 {
	both, either := 0, 0
	for i := range a {
		if a[i] && b[i] {
			both++
		}
		if a[i] || b[i] {
			either++
		}
	}
	return float64(both) / math.Max(1, float64(either))
}
