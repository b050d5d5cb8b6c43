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

// stampDir holds photographed string instruments that were cut out by hand,
// their silhouettes in the alpha channel (Debian package
// tuxpaint-stamps-default).
const stampDir = "/usr/share/tuxpaint/stamps/hobbies/music/string"

// stamp is one of them enlarged onto a canvas.
type stamp struct {
	name string
	w, h int
	rgba []float32  // premultiplied, 0 to 1
	mean [3]float64 // levels of sRGB
}

func stamps(t testing.TB, w, h int) []*stamp {
	t.Helper()
	files, _ := filepath.Glob(filepath.Join(stampDir, "*.png"))
	if len(files) != 6 {
		t.Fatalf("%d instruments in %s where 6 are known; install tuxpaint-stamps-default", len(files), stampDir)
	}
	var out []*stamp
	for _, f := range files {
		out = append(out, readStamp(t, f, w, h, 0.88))
	}
	return out
}

// readStamp enlarges a cut-out to the share fill of the canvas's height. Its
// edge, which would come out as soft as a pixel of the file is large, is made
// about two pixels wide, as in a photo, about the same place: alpha one half.
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

// near is the instrument's mean colour, so many levels lighter.
func (s *stamp) near(lighter float64) color.RGBA {
	v := func(c int) uint8 { return uint8(math.Max(0, math.Min(255, s.mean[c]+lighter))) }
	return color.RGBA{v(0), v(1), v(2), 255}
}

// over lays the instrument over a backdrop, with normal noise of so many
// levels.
func (s *stamp) over(b backdrop, noise float64, rnd *rand.Rand) *image.RGBA {
	img := image.NewRGBA(image.Rect(0, 0, s.w, s.h))
	var table [4096]float32
	for i := range table {
		table[i] = float32(noise * rnd.NormFloat64())
	}
	for i := range s.w * s.h {
		k := 1 - s.rgba[4*i+3]
		r := rnd.Uint64()
		for c := range 3 {
			v := 255*(s.rgba[4*i+c]+k*b[3*i+c]) + table[r>>(12*c)&4095] + 0.5
			img.Pix[4*i+c] = uint8(max(0, min(255, v)))
		}
		img.Pix[4*i+3] = 255
	}
	return img
}

// shadowed lets the instrument cast a soft shadow, and a darker narrow one
// where it touches.
func shadowed(s *stamp, c color.RGBA, rnd *rand.Rand) backdrop {
	b := plain(s.w, s.h, c)
	a := rnd.Float64() * 2 * math.Pi
	far := (0.012 + 0.02*rnd.Float64()) * float64(s.h)
	soft := s.cast(far*math.Cos(a), far*math.Sin(a), int(0.008*float64(s.h)))
	near := s.cast(0.3*far*math.Cos(a), 0.3*far*math.Sin(a), int(0.003*float64(s.h)))
	depth := 0.35 + 0.25*rnd.Float64()
	for i := range s.w * s.h {
		if soft[i] == 0 && near[i] == 0 {
			continue
		}
		k := float32(math.Pow((1-depth*float64(soft[i]))*(1-0.35*float64(near[i])), 1/2.2))
		for ch := range 3 {
			b[3*i+ch] *= k
		}
	}
	return b
}

// cast is the silhouette moved and blurred, 0 to 1.
func (s *stamp) cast(dx, dy float64, blur int) []float32 {
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

// iou is intersection over union.
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
