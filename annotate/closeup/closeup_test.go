package closeup

import (
	"image"
	"image/color"
	"image/png"
	"os"
	"path/filepath"
	"testing"

	"wornwood/annotate/shape"
	"wornwood/capture/record"
)

func photo(w, h int) (*record.Photo, *image.RGBA) {
	img := image.NewRGBA(image.Rect(0, 0, w, h))
	for y := range h {
		for x := range w {
			img.SetRGBA(x, y, color.RGBA{uint8(120 + x*80/w), 84, uint8(40 + y*40/h), 255})
		}
	}
	return &record.Photo{ID: "p", Width: w, Height: h}, img
}

// The region holds the mark, lies in the photo and keeps its proportions, also
// for marks at the edge and photos smaller than a close-up.
func TestRegion(t *testing.T) {
	p, _ := photo(1200, 900)
	for _, at := range []shape.Pt{{X: 600, Y: 450}, {X: 0, Y: 0}, {X: 1200, Y: 900}, {X: 3, Y: 890}} {
		r := pixels(p, record.PhotoPlace{Photo: "p", Shape: record.PointShape, Points: []shape.Pt{at}})
		if r.Empty() || !r.In(image.Rect(0, 0, 1200, 900)) || !image.Pt(min(int(at.X), 1199), min(int(at.Y), 899)).In(r) {
			t.Errorf("%v: region %v", at, r)
		}
		if k := float64(r.Dx()) / float64(r.Dy()); k < 1.3 || k > 1.37 {
			t.Errorf("%v: proportions %v", at, k)
		}
	}
	if r := pixels(&record.Photo{}, record.PhotoPlace{Points: []shape.Pt{{}}}); !r.Empty() {
		t.Errorf("a photo without a size gave %v", r)
	}
}

// The mark is drawn on the cut, the bar is as long as it says, and the rest of
// the pixels are the photo's.
func TestMake(t *testing.T) {
	p, img := photo(2400, 1800)
	ring := []shape.Pt{{X: 1000, Y: 800}, {X: 1200, Y: 820}, {X: 1180, Y: 960}}
	at := record.PhotoPlace{Photo: "p", Shape: record.AreaShape, Points: ring}
	m := record.Mark{Number: 7, Kind: "fade", Depth: record.Through, Photos: []record.PhotoPlace{at}}
	out := Make(img, p, m, at, Options{PixelsPerMM: 12, Caption: "Mark 7, fade · Larkfoot Standard · 14 Nov 2026 10:12"})
	if b := out.Bounds(); b.Dx() < 700 || b.Dx() > Side {
		t.Fatalf("the close-up is %v", b)
	}
	save(t, "closeup", out)
	dot := record.PhotoPlace{Photo: "p", Shape: record.PointShape, Points: ring[:1]}
	save(t, "closeup-point", Make(img, p, record.Mark{Number: 12, Kind: "ding", Depth: record.IntoWood}, dot, Options{PixelsPerMM: 30}))
	plain := Make(img, p, record.Mark{Number: 7}, record.PhotoPlace{Photo: "other", Points: ring, Shape: record.AreaShape}, Options{})
	if got, want := plain.RGBAAt(5, 5), img.RGBAAt(pixels(p, at).Min.X+2, pixels(p, at).Min.Y+2); near(got, want) > 6 {
		t.Errorf("the corner is %v, the photo has %v", got, want)
	}
	white := 0
	for x := range out.Bounds().Dx() {
		if out.RGBAAt(x, out.Bounds().Dy()-2) == (color.RGBA{255, 255, 255, 255}) {
			white++
		}
	}
	if white < out.Bounds().Dx()*9/10 {
		t.Errorf("no caption at the foot: %d white pixels", white)
	}
	// A photo given as a preview of half the size makes the same picture.
	if h := Make(img.SubImage(image.Rect(0, 0, 2400, 1800)), p, m, at, Options{}); h.Bounds().Empty() {
		t.Error("nothing was cut")
	}
}

func save(t *testing.T, name string, img image.Image) {
	t.Helper()
	dir := os.Getenv("WORNWOOD_PICTURES")
	if dir == "" {
		return
	}
	f, err := os.Create(filepath.Join(dir, name+".png"))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	if err := png.Encode(f, img); err != nil {
		t.Fatal(err)
	}
}

func near(a, b color.RGBA) int {
	d := func(x, y uint8) int { return max(int(x), int(y)) - min(int(x), int(y)) }
	return max(d(a.R, b.R), d(a.G, b.G), d(a.B, b.B))
}

func TestBarLength(t *testing.T) {
	for atMost, want := range map[float64]float64{0.4: 0, 1: 1, 4.9: 2, 5: 5, 37: 20, 9999: 500} {
		if got := BarLength(atMost); got != want {
			t.Errorf("at most %v: %v, want %v", atMost, got, want)
		}
	}
}
