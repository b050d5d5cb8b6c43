package markview

import (
	"image"
	"testing"

	"golang.org/x/image/draw"

	"wornwood/annotate/shape"
)

// photo24 is a made-up photo of 24 megapixels.
func photo24() *image.RGBA {
	m := image.NewRGBA(image.Rect(0, 0, 6000, 4000))
	for i := 0; i < len(m.Pix); i += 4 {
		m.Pix[i], m.Pix[i+1], m.Pix[i+2], m.Pix[i+3] = uint8(i>>4), uint8(i>>9), uint8(i>>13), 255
	}
	return m
}

func BenchmarkView(b *testing.B) {
	p := NewPyramid(photo24())
	dst := image.NewRGBA(image.Rect(0, 0, 1200, 800))
	room := shape.Rect{Max: shape.Pt{X: 1200, Y: 800}}
	all := shape.Rect{Max: shape.Pt{X: 6000, Y: 4000}}
	fit := shape.Fit(all, room, 0)
	mid := shape.Pt{X: 600, Y: 400}
	for _, c := range []struct {
		name string
		a    shape.Affine
	}{
		{"fit", fit},
		{"worst case just above a half", shape.Fit(all, room, 0).ZoomAbout(mid, 0.51/0.4)},
		{"one to one", shape.Translate(shape.Pt{X: -2000, Y: -1500})},
		{"three to one", shape.Scale(3, 3).Then(shape.Translate(shape.Pt{X: -5000, Y: -5000}))},
		{"eight to one", shape.Scale(8, 8).Then(shape.Translate(shape.Pt{X: -20000, Y: -9000}))},
	} {
		b.Run(c.name, func(b *testing.B) {
			for b.Loop() {
				p.View(dst, c.a)
			}
		})
	}
}

// BenchmarkWholePhoto is what a toolkit's image object does when it scales a
// photo by itself: the whole of it, every time.
func BenchmarkWholePhoto(b *testing.B) {
	src := photo24()
	dst := image.NewRGBA(image.Rect(0, 0, 1200, 800))
	for _, c := range []struct {
		name string
		s    draw.Scaler
	}{{"CatmullRom", draw.CatmullRom}, {"BiLinear", draw.BiLinear}, {"ApproxBiLinear", draw.ApproxBiLinear}, {"NearestNeighbor", draw.NearestNeighbor}} {
		b.Run(c.name, func(b *testing.B) {
			for b.Loop() {
				c.s.Scale(dst, dst.Rect, src, src.Rect, draw.Src, nil)
			}
		})
	}
}

func BenchmarkNewPyramid(b *testing.B) {
	src := photo24()
	for b.Loop() {
		NewPyramid(src)
	}
}
