package trace

import (
	"context"
	"image"
	"image/png"
	"io/fs"
	"os"
	"testing"

	"wornwood/capture/reduce"
	"wornwood/testdata"
)

// demoPhoto is a photo of the rendered demo set as its file stores it, and its
// true silhouette from testdata: coverage of at least half of a pixel by the rendered
// instrument, found with nine rays a pixel by the renderer's own model.
func demoPhoto(t testing.TB, name string, orientation int) (image.Image, []bool) {
	t.Helper()
	data, err := fs.ReadFile(testdata.DemoPhotos(), name+".jpg")
	if err != nil {
		t.Fatal(err)
	}
	img, _, err := reduce.Decode(data, reduce.Limits{})
	if err != nil {
		t.Fatal(err)
	}
	f, err := os.Open("testdata/mask-" + name + ".png")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	m, err := png.Decode(f)
	if err != nil {
		t.Fatal(err)
	}
	upright := m.(*image.Paletted)
	w, h := img.Bounds().Dx(), img.Bounds().Dy()
	truth := make([]bool, w*h)
	for i := range truth {
		// Exif orientations 6 and 8: stored lying on the side.
		x, y := h-1-i/w, i%w
		if orientation == 8 {
			x, y = i/w, w-1-i%w
		}
		truth[i] = upright.Pix[y*upright.Stride+x] == 1
	}
	return img, truth
}

// The rendered whole-instrument views, with a grey card lying beside the
// instrument, which must not be taken for part of it.
func TestSilhouetteOfDemoPhotos(t *testing.T) {
	for _, v := range []struct {
		name        string
		orientation int
	}{{"whole", 6}, {"whole-back", 8}} {
		img, truth := demoPhoto(t, v.name, v.orientation)
		w, h := img.Bounds().Dx(), img.Bounds().Dy()
		r, err := Silhouette(context.Background(), img, Options{})
		if err != nil {
			t.Fatal(err)
		}
		got := filled(r, w, h)
		score := iou(got, truth)
		t.Logf("%s: intersection over union %.4f; %+v %q", v.name, score, r.Figures, r.Warnings)
		if score < 0.985 {
			t.Errorf("%s: intersection over union %.4f, under 0.985", v.name, score)
		}
		if !r.Reliable {
			t.Errorf("%s: called unreliable: %q", v.name, r.Warnings)
		}
		if picturesDir != "" {
			shown := image.NewRGBA(img.Bounds())
			for i := range w * h {
				shown.Set(i%w, i/w, img.At(i%w, i/w))
			}
			overlay(t, "demo-"+v.name, shown, got, truth)
		}
	}
}
