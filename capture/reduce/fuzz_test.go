package reduce

import (
	"bytes"
	"flag"
	"image"
	"image/png"
	"os"
	"path/filepath"
	"testing"
)

var update = flag.Bool("update", false, "write the files in testdata anew")

// readSeed reads one file of testdata; the tests cannot do without it.
func readSeed(t testing.TB, name string) []byte {
	t.Helper()
	data, err := os.ReadFile(filepath.Join("testdata", name))
	if err != nil {
		t.Fatalf("a test file is missing: %v; make it with: go test ./capture/reduce -run TestSeeds -update", err)
	}
	return data
}

// seeds makes the files of testdata: one of each kind that takes its own way through the package.
func seeds(t *testing.T) map[string][]byte {
	t.Helper()
	asPNG := func(img image.Image) []byte {
		var b bytes.Buffer
		if err := png.Encode(&b, img); err != nil {
			t.Fatal(err)
		}
		return b.Bytes()
	}
	small := scene(61, 45, image.YCbCrSubsampleRatio420)
	ordinary := encoded(t, small, 85, 0)
	separate := inSeparateScans(t, small, []int{1, 0, 2})
	return map[string][]byte{
		"ordinary.jpg":    ordinary,
		"cut.jpg":         ordinary[:2*len(ordinary)/3],
		"restarts.jpg":    encoded(t, scene(40, 30, image.YCbCrSubsampleRatio422), 90, 2),
		"separate.jpg":    separate,
		"gray.jpg":        encoded(t, grayScene(33, 17), 70, 0),
		"fourtoone.jpg":   encoded(t, scene(70, 20, image.YCbCrSubsampleRatio410), 100, 0),
		"alpha.png":       asPNG(translucent(20, 12)),
		"sixteen.png":     asPNG(sixteenBits(12, 20)),
		"palette.png":     asPNG(paletted(15, 9)),
		"progressive.jpg": progressive(t, asPNG(small), "4:2:0"),
		"fourinks.jpg":    withMagick(t, asPNG(small), "png:", "-colorspace", "CMYK", "-quality", "80", "jpg:"),
		"rgb.jpg":         asRGB(t, true),
	}
}

// TestSeeds keeps testdata in step with the code that makes it. The two files written by ImageMagick are only made
// when asked to, since their bytes depend on its version.
func TestSeeds(t *testing.T) {
	if *update {
		for name, data := range seeds(t) {
			if err := os.WriteFile(filepath.Join("testdata", name), data, 0o644); err != nil {
				t.Fatal(err)
			}
		}
	}
	for name, data := range seeds(t) {
		kept := readSeed(t, name)
		switch name {
		case "progressive.jpg", "fourinks.jpg":
			a, errA := Config(kept)
			b, errB := Config(data)
			if a != b || errA != nil || errB != nil {
				t.Errorf("%s: %+v %v, made anew %+v %v", name, a, errA, b, errB)
			}
		default:
			if filepath.Ext(name) == ".jpg" && !bytes.Equal(kept, data) {
				t.Errorf("%s differs from what the encoder writes now; look at both, then run with -update", name)
			}
		}
	}
}

func FuzzPreviews(f *testing.F) {
	files, err := filepath.Glob(filepath.Join("testdata", "*.*"))
	if err != nil || len(files) < 12 {
		f.Fatalf("%d files in testdata (%v), want 12 or more", len(files), err)
	}
	for i, name := range files {
		data, err := os.ReadFile(name)
		if err != nil {
			f.Fatal(err)
		}
		f.Add(data, uint8(1+i%8))
	}
	f.Fuzz(func(t *testing.T, data []byte, orientation uint8) {
		checkOutcome(t, data, int(orientation))
		lim := Limits{Pixels: 1 << 20, HeavyPixels: 1 << 18}
		if img, _, err := Decode(data, lim); err == nil {
			info, err := Config(data)
			if err != nil || img.Bounds().Dx() != info.Width || img.Bounds().Dy() != info.Height {
				t.Fatalf("decoded %v, header %+v %v", img.Bounds(), info, err)
			}
		}
	})
}
