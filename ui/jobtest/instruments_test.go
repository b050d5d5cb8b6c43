package jobtest

import (
	"bytes"
	"image"
	"image/color"
	"image/jpeg"
	"image/png"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"wornwood/annotate"
	"wornwood/capture/bench"
	"wornwood/capture/record"
)

// instruments are photographed instruments cut out of their background, PNGs
// with transparency, from Debian's tuxpaint-stamps-default: electric and
// acoustic guitars, a bass, a cello, a violin.
func instruments(t *testing.T) []string {
	t.Helper()
	var list []string
	for _, f := range strings.Fields(string(output(t, "tuxpaint-stamps-default", "dpkg", "-L", "tuxpaint-stamps-default"))) {
		if strings.Contains(f, "/music/string/") && strings.HasSuffix(f, ".png") {
			list = append(list, f)
		}
	}
	if len(list) != 6 {
		t.Fatalf("%d photos of instruments, six are in the package: apt-get install tuxpaint-stamps-default", len(list))
	}
	return list
}

// TestPhotographedInstruments documents each of the six on one bench, with a
// report each.
func TestPhotographedInstruments(t *testing.T) {
	var j *job
	for i, f := range instruments(t) {
		if j == nil {
			j = begin(t)
		} else {
			j = beginOn(t, j.b)
		}
		if res := j.take(f); len(res.Added) != 1 || len(res.Refused) > 0 {
			t.Fatalf("%s: %+v", filepath.Base(f), res)
		}
		p := j.ex.Record().Photos[0]
		if err := j.s.SetPhotoView(p.ID, "whole"); err != nil {
			t.Fatal(err)
		}
		j.checkOnWhite(p)
		j.record()
		j.pinSilhouette(p)
		j.checkOriginals()
		j.checkPreviews(p, 5)
		is := j.issue()
		j.checkReport(is)
		if is.Number != "CR-2026-000"+string(rune('1'+i)) {
			t.Errorf("report %d has the number %s", i+1, is.Number)
		}
	}
	rows, err := j.b.Search("larkfoot")
	if err != nil || len(rows) != 6 || !rows[0].Issued || rows[0].Marks != 3+2 {
		t.Errorf("%d instruments found, want six with their reports: %+v, %v", len(rows), rows, err)
	}
	j.checkTampering(j.ex.Record().Photos[0].ID)
}

func decodePNG(t *testing.T, data []byte) image.Image {
	t.Helper()
	img, err := png.Decode(bytes.NewReader(data))
	if err != nil {
		t.Fatal(err)
	}
	return img
}

// checkOnWhite: where the photo is wholly transparent, and all around it too,
// its preview is white; and a good part of each photo is.
func (j *job) checkOnWhite(p record.Photo) {
	j.t.Helper()
	data, err := j.b.OriginalBytes(p.ID)
	if err != nil {
		j.t.Fatal(err)
	}
	src := decodePNG(j.t, data)
	small, err := j.b.Preview(p.ID, bench.LargePreview)
	if err != nil {
		j.t.Fatal(err)
	}
	got, err := jpeg.Decode(bytes.NewReader(small))
	if err != nil {
		j.t.Fatal(err)
	}
	if got.Bounds().Size() != src.Bounds().Size() {
		j.t.Fatalf("%s: preview of %v from %v", p.Name, got.Bounds(), src.Bounds())
	}
	clear, solid := 0, 0
	for y := range src.Bounds().Dy() {
		for x := range src.Bounds().Dx() {
			if !clearAround(src, x, y) {
				if _, _, _, a := src.At(x, y).RGBA(); a == 0xffff {
					solid++
				}
				continue
			}
			clear++
			if g := color.GrayModel.Convert(got.At(x, y)).(color.Gray); g.Y < 245 {
				j.t.Errorf("%s: transparent at %d, %d, but %d in the preview", p.Name, x, y, g.Y)
				return
			}
		}
	}
	if all := src.Bounds().Dx() * src.Bounds().Dy(); clear < all/10 || solid < all/10 {
		j.t.Errorf("%s: %d pixels clear and %d solid of %d; it is no cut-out photo", p.Name, clear, solid, all)
	}
}

// clearAround tells whether a pixel and all within eight of it, the reach of a
// JPEG block of brightness, are wholly transparent. Blocks of colour reach
// farther and cost a few levels.
func clearAround(img image.Image, x, y int) bool {
	b := img.Bounds()
	for v := max(b.Min.Y, y-8); v <= min(b.Max.Y-1, y+8); v++ {
		for u := max(b.Min.X, x-8); u <= min(b.Max.X-1, x+8); u++ {
			if _, _, _, a := img.At(u, v).RGBA(); a != 0 {
				return false
			}
		}
	}
	return true
}

// pinSilhouette adds a line down the instrument's middle and an area around its
// lower half, on the photo only, from where the photo is not transparent.
func (j *job) pinSilhouette(p record.Photo) {
	j.t.Helper()
	data, err := os.ReadFile(j.from[p.ID])
	if err != nil {
		j.t.Fatal(err)
	}
	img := decodePNG(j.t, data)
	var middle, left, right []record.Point
	for y := p.Height / 2; y < p.Height; y += 4 {
		first, last := -1, -1
		for x := range p.Width {
			if _, _, _, a := img.At(x, y).RGBA(); a > 0x8000 {
				if first < 0 {
					first = x
				}
				last = x
			}
		}
		if first < 0 {
			continue
		}
		middle = append(middle, record.Point{X: float64(first+last) / 2, Y: float64(y)})
		left = append([]record.Point{{X: float64(first), Y: float64(y)}}, left...)
		right = append(right, record.Point{X: float64(last), Y: float64(y)})
	}
	on := annotate.Surface{Photo: p.ID}
	if _, err := j.s.AddMark(on, record.LineShape, middle); err != nil {
		j.t.Fatal(err)
	}
	n, err := j.s.AddMark(on, record.AreaShape, append(right, left...))
	if err != nil {
		j.t.Fatal(err)
	}
	m := j.ex.Record().MarkByNumber(n)
	if n != 5 || len(m.Photos) != 1 || len(m.Photos[0].Points) != 2*len(middle) || len(middle) < 10 {
		j.t.Errorf("%s: mark %d around the silhouette is %+v", p.Name, n, m)
	}
}
