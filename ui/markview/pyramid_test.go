package markview

import (
	"image"
	"image/color"
	"math"
	"testing"

	"golang.org/x/image/draw"
	"pgregory.net/rapid"

	"wornwood/annotate/shape"
)

// ramp is a smooth picture in which every channel says where it is.
func ramp(w, h int) *image.RGBA {
	m := image.NewRGBA(image.Rect(0, 0, w, h))
	for y := range h {
		for x := range w {
			m.SetRGBA(x, y, color.RGBA{uint8(x * 255 / w), uint8(y * 255 / h), uint8(128 + 100*math.Sin(float64(x+y)/9)), 255})
		}
	}
	return m
}

// apart is the largest and the mean difference of two pictures, channel by
// channel, away from the edges.
func apart(a, b *image.RGBA, edge int) (most, mean float64) {
	n := 0
	for y := edge; y < a.Rect.Dy()-edge; y++ {
		for x := edge; x < a.Rect.Dx()-edge; x++ {
			i := a.PixOffset(x, y)
			for k := range 3 {
				d := math.Abs(float64(a.Pix[i+k]) - float64(b.Pix[i+k]))
				most, mean, n = max(most, d), mean+d, n+1
			}
		}
	}
	return most, mean / float64(n)
}

// The reference is golang.org/x/image/draw: its bilinear kernel spans the area
// a pixel stands for when scaling down, its approximate one samples between
// four pixels when scaling up. Both use the same convention for pixel centres,
// so a shift by a fraction of a pixel would show here.
func TestViewAgainstReference(t *testing.T) {
	src := ramp(640, 480)
	p := NewPyramid(src)
	for _, c := range []struct {
		name       string
		k          float64
		ref        draw.Scaler
		most, mean float64
	}{
		{"up to twice", 2, draw.ApproxBiLinear, 2, 0.6},
		{"up by half", 1.5, draw.ApproxBiLinear, 2, 0.6},
		{"down to nine tenths", 0.9, draw.BiLinear, 6, 1.5},
		{"down to a half", 0.5, draw.BiLinear, 8, 2},
		{"down to three tenths", 0.3, draw.BiLinear, 12, 3},
		{"down to a tenth", 0.1, draw.BiLinear, 14, 4},
	} {
		t.Run(c.name, func(t *testing.T) {
			w, h := int(640*c.k), int(480*c.k)
			want, got := image.NewRGBA(image.Rect(0, 0, w, h)), image.NewRGBA(image.Rect(0, 0, w, h))
			c.ref.Scale(want, want.Rect, src, src.Rect, draw.Src, nil)
			p.View(got, shape.Scale(c.k, c.k))
			if most, mean := apart(got, want, 2); most > c.most || mean > c.mean {
				t.Errorf("differs by %.0f at most and %.2f in the mean", most, mean)
			}
		})
	}
}

func TestViewOneToOne(t *testing.T) {
	src := ramp(300, 200)
	p := NewPyramid(src)
	rapid.Check(t, func(t *rapid.T) {
		dx, dy := rapid.IntRange(-400, 400).Draw(t, "dx"), rapid.IntRange(-400, 400).Draw(t, "dy")
		dst := image.NewRGBA(image.Rect(0, 0, rapid.IntRange(1, 350).Draw(t, "w"), rapid.IntRange(1, 250).Draw(t, "h")))
		p.View(dst, shape.Translate(shape.Pt{X: float64(dx), Y: float64(dy)}))
		for y := range dst.Rect.Dy() {
			for x := range dst.Rect.Dx() {
				want := Surround
				if q := (image.Point{X: x - dx, Y: y - dy}); q.In(src.Rect) {
					want = src.RGBAAt(q.X, q.Y)
				}
				if got := dst.RGBAAt(x, y); got != want {
					t.Fatalf("pixel %d,%d is %v, want %v", x, y, got, want)
				}
			}
		}
	})
}

// At any zoom every pixel is either the surround or a mixture of the photo:
// none is left from the frame before, and none is see-through.
func TestViewFillsEverything(t *testing.T) {
	src := image.NewRGBA(image.Rect(0, 0, 101, 67))
	fillRect(src, src.Rect, color.RGBA{200, 40, 10, 255})
	p := NewPyramid(src)
	rapid.Check(t, func(t *rapid.T) {
		dst := image.NewRGBA(image.Rect(0, 0, 60, 50))
		k := math.Pow(10, rapid.Float64Range(-4, 3).Draw(t, "k"))
		at := shape.Pt{X: rapid.Float64Range(-1e5, 1e5).Draw(t, "x"), Y: rapid.Float64Range(-200, 200).Draw(t, "y")}
		p.View(dst, shape.Scale(k, k).Then(shape.Translate(at)))
		for i := 0; i < len(dst.Pix); i += 4 {
			c := color.RGBA{dst.Pix[i], dst.Pix[i+1], dst.Pix[i+2], dst.Pix[i+3]}
			if c != Surround && c != (color.RGBA{200, 40, 10, 255}) {
				t.Fatalf("pixel %d is %v", i/4, c)
			}
		}
	})
}

// From four to one on, the squares shown are the camera's pixels.
func TestViewShowsPixels(t *testing.T) {
	src := ramp(64, 48)
	p := NewPyramid(src)
	dst := image.NewRGBA(image.Rect(0, 0, 320, 240))
	p.View(dst, shape.Scale(5, 5))
	for y := range 240 {
		for x := range 320 {
			if got, want := dst.RGBAAt(x, y), src.RGBAAt(x/5, y/5); got != want {
				t.Fatalf("pixel %d,%d is %v, want %v", x, y, got, want)
			}
		}
	}
}

func TestHalve(t *testing.T) {
	src := image.NewRGBA(image.Rect(0, 0, 3, 3))
	for i := range 9 {
		src.SetRGBA(i%3, i/3, color.RGBA{uint8(10 * i), uint8(255 - i), uint8(i), 255})
	}
	got := halve(src)
	// means of 0 10 30 40; 20 20 50 50; 60 70 60 70; 80
	for i, want := range []uint8{20, 35, 65, 80} {
		if r := got.RGBAAt(i%2, i/2).R; r != want {
			t.Errorf("pixel %d is %d, want %d", i, r, want)
		}
	}
	if got.RGBAAt(1, 1) != src.RGBAAt(2, 2) {
		t.Error("the odd corner changed")
	}
}

// Pictures that are not RGBA, start elsewhere or are see-through become opaque
// and keep their place.
func TestPyramidOfAnyPicture(t *testing.T) {
	sub := ramp(50, 40).SubImage(image.Rect(10, 10, 30, 30))
	if got := NewPyramid(sub).At(0, 0); got != sub.At(10, 10) {
		t.Errorf("a cut-out starts with %v", got)
	}
	clear := image.NewNRGBA(image.Rect(0, 0, 4, 4))
	if got := NewPyramid(clear).At(2, 2); got != (color.RGBA{255, 255, 255, 255}) {
		t.Errorf("a clear picture shows %v", got)
	}
	grey := image.NewGray(image.Rect(0, 0, 4, 4))
	if got := NewPyramid(grey).At(2, 2); got != (color.RGBA{0, 0, 0, 255}) {
		t.Errorf("a black picture shows %v", got)
	}
	ycc := image.NewYCbCr(image.Rect(0, 0, 4, 4), image.YCbCrSubsampleRatio420)
	for i := range ycc.Y {
		ycc.Y[i] = 119
	}
	for i := range ycc.Cb {
		ycc.Cb[i], ycc.Cr[i] = 128, 128
	}
	if got := NewPyramid(ycc).At(1, 1); got != Surround {
		t.Errorf("a mid grey picture shows %v", got)
	}
}

func TestStore(t *testing.T) {
	s := NewStore(40_000)
	one := func() *Pyramid { return NewPyramid(ramp(60, 60)) } // 14,400 bytes and no copies
	s.Put("a", one())
	s.Put("b", one())
	if _, ok := s.Get("a"); !ok {
		t.Fatal("a is gone")
	}
	s.Put("c", one())
	if _, ok := s.Get("b"); ok {
		t.Error("b was used least and is still there")
	}
	for _, k := range []string{"a", "c"} {
		if _, ok := s.Get(k); !ok {
			t.Errorf("%s is gone", k)
		}
	}
	s.Put("c", one())
	if s.Bytes() != 28_800 {
		t.Errorf("the store counts %d bytes", s.Bytes())
	}
	s.Put("large", NewPyramid(ramp(300, 300)))
	if _, ok := s.Get("large"); !ok || s.Bytes() < 360_000 {
		t.Error("a photo larger than the bound was not kept alone")
	}
	if _, ok := s.Get("a"); ok {
		t.Error("a is still there beside a photo larger than the bound")
	}
}
