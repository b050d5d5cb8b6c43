package outline

import (
	"image"
	"image/color"
	"image/draw"
	"image/png"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"golang.org/x/image/vector"

	"wornwood/annotate/shape"
)

// picture is a sheet painted for looking at and for counting pixels.
type picture struct {
	img  *image.RGBA
	view shape.Affine
}

func newPicture(r shape.Rect, pxPerMM float64) *picture {
	w, h := int(math.Ceil(r.Dx()*pxPerMM)), int(math.Ceil(r.Dy()*pxPerMM))
	p := &picture{img: image.NewRGBA(image.Rect(0, 0, w, h))}
	draw.Draw(p.img, p.img.Bounds(), image.White, image.Point{}, draw.Src)
	p.view = shape.Translate(shape.Mul(r.Min, -1)).Then(shape.Scale(pxPerMM, pxPerMM))
	return p
}

// fill paints the paths, all wound the same way where they overlap.
func (p *picture) fill(a shape.Path, c color.Color) {
	a = a.Transform(p.view)
	box := a.Bounds().Grow(2)
	b := image.Rect(int(box.Min.X)-1, int(box.Min.Y)-1, int(box.Max.X)+1, int(box.Max.Y)+1).Intersect(p.img.Bounds())
	if b.Empty() {
		return
	}
	o := shape.Pt{X: float64(b.Min.X), Y: float64(b.Min.Y)}
	z := vector.NewRasterizer(b.Dx(), b.Dy())
	f := func(q shape.Pt) (float32, float32) { return float32(q.X - o.X), float32(q.Y - o.Y) }
	for _, s := range a.Segs {
		x0, y0 := f(s.P[0])
		switch s.Op {
		case shape.Move:
			z.MoveTo(x0, y0)
		case shape.Line:
			z.LineTo(x0, y0)
		case shape.Cubic:
			x1, y1 := f(s.P[1])
			x2, y2 := f(s.P[2])
			z.CubeTo(x0, y0, x1, y1, x2, y2)
		case shape.Close:
			z.ClosePath()
		}
	}
	z.Draw(p.img, b, image.NewUniform(c), image.Point{})
}

// stroke draws a line w pixels wide as one small quadrilateral per step.
func (p *picture) stroke(a shape.Path, w float64, dash []float64, c color.Color) {
	var bars shape.Path
	half := w / 2 / p.view.Factor()
	for _, line := range a.FlattenOpen(0.05) {
		run := 0.0
		for i := 1; i < len(line); i++ {
			a, b := line[i-1], line[i]
			d := shape.Dist(a, b)
			on := len(dash) == 0 || math.Mod(run, dash[0]+dash[1]) < dash[0]
			run += d
			if d == 0 || !on {
				continue
			}
			e := shape.Mul(shape.Sub(b, a), half/d)
			n := shape.Pt{X: -e.Y, Y: e.X}
			a, b = shape.Sub(a, shape.Mul(e, 0.5)), shape.Add(b, shape.Mul(e, 0.5))
			bars.Append(shape.Polygon(shape.Add(a, n), shape.Add(b, n), shape.Sub(b, n), shape.Sub(a, n)))
		}
	}
	p.fill(bars, c)
}

// paint draws a side the way a screen would.
func paint(s *SideDrawing, r shape.Rect, pxPerMM float64) *picture {
	p := newPicture(r, pxPerMM)
	ink := color.RGBA{0x1b, 0x1f, 0x22, 0xff}
	w := 1.6
	for _, reg := range s.Regions {
		tone := color.RGBA{0xf4, 0xf3, 0xef, 0xff}
		switch {
		case strings.Contains(reg.ID, "board"), strings.HasSuffix(reg.ID, "/neck"):
			tone = color.RGBA{0xec, 0xe6, 0xdd, 0xff}
		case strings.Contains(reg.ID, "guard"), strings.Contains(reg.ID, "cover"), strings.Contains(reg.ID, "plate"):
			tone = color.RGBA{0xe6, 0xe6, 0xe2, 0xff}
		case reg.Piece > 0, strings.HasSuffix(reg.ID, "bridge"), strings.HasSuffix(reg.ID, "/nut"):
			tone = color.RGBA{0xff, 0xff, 0xff, 0xff}
		}
		p.fill(reg.Path, tone)
		lw := w * 0.7
		if strings.Contains(reg.ID, "fret-") {
			lw = w * 0.4
		}
		p.stroke(reg.Path, lw, nil, ink)
	}
	for _, d := range s.Detail {
		if d.Filled {
			p.fill(d.Path, ink)
			continue
		}
		p.stroke(d.Path, math.Max(0.6, w*d.Weight), d.Dash, ink)
	}
	p.stroke(s.Silhouette, w, nil, ink)
	return p
}

// TestPictures paints every side of several instruments and counts the ink of
// the silhouette with a rasteriser that shares no code with ours. With
// WORNWOOD_PICTURES set to a folder the pictures are also written there.
func TestPictures(t *testing.T) {
	dir := os.Getenv("WORNWOOD_PICTURES")
	for name, p := range map[string]Params{
		"usual": {}, "seven": {Strings: 7, ScaleLength: 673, Frets: 24}, "bass": {Strings: 4, ScaleLength: 864, Frets: 20, LeftHanded: true},
	} {
		d, err := New(p)
		if err != nil {
			t.Fatal(err)
		}
		for i := range d.Sides {
			s := &d.Sides[i]
			blank := newPicture(s.Bounds.Grow(4), 1)
			blank.fill(s.Silhouette, color.Black)
			ink := 0.0
			for j := 0; j < len(blank.img.Pix); j += 4 {
				ink += float64(255-blank.img.Pix[j]) / 255
			}
			if want := s.Silhouette.Area(); math.Abs(ink-want) > want*0.001 {
				t.Errorf("%s %s: %.0f mm2 of ink, Area says %.0f", name, s.Side, ink, want)
			}
			if dir == "" {
				continue
			}
			write(t, filepath.Join(dir, name+"-"+strings.ReplaceAll(string(s.Side), " ", "-")+".png"), paint(s, s.Bounds.Grow(8), 1.7).img)
		}
		if dir != "" {
			for _, v := range d.Views() {
				write(t, filepath.Join(dir, name+"-view-"+v.ID+".png"), paint(d.Side(v.Side), v.Bounds, 900/v.Bounds.Dy()).img)
			}
		}
	}
}

func write(t *testing.T, file string, img image.Image) {
	t.Helper()
	f, err := os.Create(file)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	if err := png.Encode(f, img); err != nil {
		t.Fatal(err)
	}
}
