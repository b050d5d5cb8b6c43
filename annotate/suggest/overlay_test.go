package suggest

import (
	"image"
	"image/color"
	"image/draw"
	"image/png"
	"os"
	"testing"
)

// overlay writes a picture and, under it, the same with the truth (blue) and the
// suggestions (checks green, dings magenta).
func overlay(t *testing.T, file string, img image.Image, ghosts []Ghost, marks []painted) {
	b := img.Bounds()
	out := image.NewRGBA(image.Rect(0, 0, b.Dx(), 2*b.Dy()))
	draw.Draw(out, b, img, b.Min, draw.Src)
	draw.Draw(out, b.Add(image.Pt(0, b.Dy())), img, b.Min, draw.Src)
	dot := func(x, y float64, c color.RGBA) { out.SetRGBA(int(x), int(y)+b.Dy(), c) }
	for _, m := range marks {
		for _, p := range m.line {
			dot(p.X, p.Y+2, color.RGBA{0, 0, 255, 255})
		}
		if m.kind == Ding {
			for d := -m.radius; d <= m.radius; d++ {
				dot(m.centre.X+d, m.centre.Y-m.radius, color.RGBA{0, 0, 255, 255})
				dot(m.centre.X+d, m.centre.Y+m.radius, color.RGBA{0, 0, 255, 255})
			}
		}
	}
	for _, g := range ghosts {
		c := color.RGBA{0, 255, 0, 255}
		if g.Kind == Ding {
			c = color.RGBA{255, 0, 255, 255}
			for d := -6.0; d <= 6; d++ {
				dot(g.Points[0].X+d, g.Points[0].Y, c)
				dot(g.Points[0].X, g.Points[0].Y+d, c)
			}
		}
		for i := 1; i < len(g.Points); i++ {
			for k := range 8 {
				p, q, t := g.Points[i-1], g.Points[i], float64(k)/8
				dot(p.X+(q.X-p.X)*t, p.Y+(q.Y-p.Y)*t, c)
			}
		}
	}
	f, err := os.Create(file)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	if err := png.Encode(f, out); err != nil {
		t.Fatal(err)
	}
}
