package colour

import (
	"bytes"
	"flag"
	"image"
	"image/color"
	"image/png"
	"math"
	"os"
	"path/filepath"
	"testing"

	"wornwood/annotate/shape"
	"wornwood/capture/reduce"
)

var update = flag.Bool("update", false, "write the files in testdata anew")

// seeds are small pictures of the kinds that are opened in different ways.
func seeds(t testing.TB) map[string][]byte {
	t.Helper()
	p := flat(24, 20, Linear{0.3, 0.12, 0.05})
	pal := image.NewPaletted(image.Rect(0, 0, 16, 12), color.Palette{color.NRGBA{120, 80, 45, 255}, color.NRGBA{140, 90, 45, 128}})
	for i := range pal.Pix {
		pal.Pix[i] = byte(i % 2)
	}
	var b bytes.Buffer
	if err := png.Encode(&b, pal); err != nil {
		t.Fatal(err)
	}
	camera := p.jpeg(t)
	return map[string][]byte{"linear.png": p.linearPNG(t), "camera.jpg": camera, "cut.jpg": camera[:len(camera)-20], "palette.png": b.Bytes()}
}

// TestSeeds keeps the pictures in testdata readable and there.
func TestSeeds(t *testing.T) {
	for name, data := range seeds(t) {
		file := filepath.Join("testdata", name)
		if *update {
			if err := os.WriteFile(file, data, 0o644); err != nil {
				t.Fatal(err)
			}
		}
		kept, err := os.ReadFile(file)
		if err != nil {
			t.Fatalf("a test file is missing: %v; make it with: go test ./annotate/colour -run TestSeeds -update", err)
		}
		open(t, kept)
	}
}

func FuzzReadAndCompare(f *testing.F) {
	for _, ext := range []string{"*.png", "*.jpg"} {
		files, err := filepath.Glob(filepath.Join("testdata", ext))
		if err != nil || len(files) < 2 {
			f.Fatalf("%d seeds of %s in testdata (%v), want 2 or more", len(files), ext, err)
		}
		for i, name := range files {
			data, err := os.ReadFile(name)
			if err != nil {
				f.Fatal(err)
			}
			f.Add(data, uint8(i), 0.0, 0.0, 30.0, 25.0)
		}
	}
	f.Fuzz(func(t *testing.T, data []byte, orientation uint8, x0, y0, x1, y1 float64) {
		m, err := Open(data, int(orientation), reduce.Limits{Pixels: 1 << 16, HeavyPixels: 1 << 14})
		if err != nil {
			return
		}
		a, err := Read(m, []shape.Pt{{X: x0, Y: y0}, {X: x1, Y: y0}, {X: x1, Y: y1}, {X: x0, Y: y1}})
		if err != nil {
			return
		}
		for _, grey := range []*Reading{nil, &a} {
			r, err := Compare(a, a, grey, Options{})
			if err != nil {
				continue
			}
			for _, v := range []float64{r.DE2000.Value, r.DE2000.Uncertainty, r.DEab.Value, r.DEab.Uncertainty, r.Floor, a.Repeatability, a.Trend, a.Quarters, a.Grain, r.RefLab.L} {
				if math.IsNaN(v) || math.IsInf(v, 0) {
					t.Fatalf("%v in %+v", v, r)
				}
			}
			if r.Words() == "" {
				t.Fatal("no words")
			}
		}
	})
}
