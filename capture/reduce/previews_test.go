package reduce

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"image"
	"image/color"
	"image/jpeg"
	"image/png"
	"runtime"
	"testing"
)

// mustPreview makes one preview.
func mustPreview(t *testing.T, data []byte, orientation, size int) (Preview, Partial) {
	t.Helper()
	p, partial, err := Previews(context.Background(), data, orientation, []int{size}, 90, Limits{})
	if err != nil {
		t.Fatal(err)
	}
	return p[0], partial
}

// stdDecoded decodes with the standard library.
func stdDecoded(t *testing.T, data []byte) image.Image {
	t.Helper()
	img, err := jpeg.Decode(bytes.NewReader(data))
	if err != nil {
		t.Fatal(err)
	}
	return img
}

// Every reduction in the DCT, for every sampling, against the full decode reduced by Lanczos alone. A grid laid half a
// sample off, in brightness or in chroma, would fall far below the bar.
func TestPreviewsMatchFullDecode(t *testing.T) {
	for _, ratio := range ratios {
		img := scene(480, 333, ratio)
		data := encoded(t, img, 95, 0)
		full := toRGBA(decoded(t, data))
		for _, size := range []int{480, 420, 360, 300, 240, 199, 180, 120, 60, 31} {
			p, _ := mustPreview(t, data, 1, size)
			got := stdDecoded(t, p.JPEG)
			want := Resample(full, p.Width, p.Height)
			if v := psnr(t, got, want); v < 29 {
				t.Errorf("%v at %d: %.1f dB", ratio, size, v)
			}
		}
	}
}

// boxAverage reduces by averaging k x k squares, the plainest reference there is.
func boxAverage(src *image.Gray, k int) *image.Gray {
	out := image.NewGray(image.Rect(0, 0, src.Rect.Dx()/k, src.Rect.Dy()/k))
	for y := range out.Rect.Dy() {
		for x := range out.Rect.Dx() {
			sum := 0
			for i := range k * k {
				sum += int(src.Pix[(y*k+i/k)*src.Stride+x*k+i%k])
			}
			out.Pix[y*out.Stride+x] = byte((sum + k*k/2) / (k * k))
		}
	}
	return out
}

func TestScaledDecodeAgreesWithBoxAverage(t *testing.T) {
	full := grayScene(640, 480)
	data := encoded(t, full, 95, 0)
	for _, k := range []int{2, 4, 8} {
		p, _ := mustPreview(t, data, 1, 640/k)
		if v := psnr(t, stdDecoded(t, p.JPEG), boxAverage(full, k)); v < 30 {
			t.Errorf("1/%d: %.1f dB", k, v)
		}
	}
}

func TestPreviewsNeverEnlarge(t *testing.T) {
	for _, size := range oddSizes {
		data := encoded(t, scene(size[0], size[1], image.YCbCrSubsampleRatio420), 90, 0)
		ps, _, err := Previews(context.Background(), data, 1, []int{2048, 320, 20}, 0, Limits{})
		if err != nil {
			t.Fatal(err)
		}
		for i, bound := range []int{2048, 320, 20} {
			w, h := fit(size[0], size[1], bound)
			if ps[i].Width != w || ps[i].Height != h || w > size[0] || h > size[1] || max(w, h) > bound {
				t.Errorf("%v in %d: got %d x %d", size, bound, ps[i].Width, ps[i].Height)
			}
			if b := stdDecoded(t, ps[i].JPEG).Bounds(); b.Dx() != w || b.Dy() != h {
				t.Errorf("%v in %d: the file has %v", size, bound, b)
			}
		}
	}
}

func TestFitKeepsTheShape(t *testing.T) {
	for _, c := range []struct{ w, h, size, wantW, wantH int }{
		{6000, 4000, 2048, 2048, 1365},
		{4000, 6000, 2048, 1365, 2048},
		{6000, 4000, 320, 320, 213},
		{10000, 3, 100, 100, 1},
		{5, 5, 5, 5, 5},
		{65535, 65535, 1, 1, 1},
	} {
		if w, h := fit(c.w, c.h, c.size); w != c.wantW || h != c.wantH {
			t.Errorf("%d x %d in %d: %d x %d, want %d x %d", c.w, c.h, c.size, w, h, c.wantW, c.wantH)
		}
	}
}

// corners has a different colour in each quarter.
func corners(w, h int, ratio image.YCbCrSubsampleRatio) *image.YCbCr {
	img := image.NewYCbCr(image.Rect(0, 0, w, h), ratio)
	colours := [4]color.YCbCr{{Y: 60, Cb: 90, Cr: 180}, {Y: 220, Cb: 128, Cr: 128}, {Y: 120, Cb: 200, Cr: 90}, {Y: 170, Cb: 60, Cr: 110}}
	for y := range h {
		for x := range w {
			c := colours[2*y/h*2+2*x/w]
			img.Y[img.YOffset(x, y)], img.Cb[img.COffset(x, y)], img.Cr[img.COffset(x, y)] = c.Y, c.Cb, c.Cr
		}
	}
	return img
}

// EXIF 2.32, tag 0x0112, says for each value where row 0 and column 0 of the stored picture are on the upright one. The
// table says which stored quarter (0 1 over 2 3) is then seen in each upright quarter.
var quarters = [9][4]int{
	1: {0, 1, 2, 3}, // row 0 top, column 0 left
	2: {1, 0, 3, 2}, // top, right
	3: {3, 2, 1, 0}, // bottom, right
	4: {2, 3, 0, 1}, // bottom, left
	5: {0, 2, 1, 3}, // left, top
	6: {2, 0, 3, 1}, // right, top
	7: {3, 1, 2, 0}, // right, bottom
	8: {1, 3, 0, 2}, // left, bottom
}

func TestPreviewsOrientation(t *testing.T) {
	img := corners(161, 97, image.YCbCrSubsampleRatio420)
	data := encoded(t, img, 95, 0)
	for o := 0; o <= 9; o++ {
		q := quarters[1]
		if o >= 1 && o <= 8 {
			q = quarters[o]
		}
		for _, size := range []int{161, 101, 40} {
			p, _ := mustPreview(t, data, o, size)
			wide := o < 5 || o > 8
			if (p.Width > p.Height) != wide {
				t.Fatalf("orientation %d: %d x %d", o, p.Width, p.Height)
			}
			got := stdDecoded(t, p.JPEG)
			for i, from := range q {
				want := img.YCbCrAt(40+80*(from&1), 24+48*(from>>1))
				at := got.(*image.YCbCr).YCbCrAt(p.Width/4+i&1*p.Width/2, p.Height/4+i>>1*p.Height/2)
				if maxDiff([]byte{at.Y, at.Cb, at.Cr}, []byte{want.Y, want.Cb, want.Cr}) > 12 { // edges ring a little
					t.Errorf("orientation %d, size %d, quarter %d: %v, want %v", o, size, i, at, want)
				}
			}
		}
	}
}

func TestPreviewsEndWithTheirContext(t *testing.T) {
	jpegData := encoded(t, scene(400, 300, image.YCbCrSubsampleRatio420), 90, 0)
	var pngData bytes.Buffer
	if err := png.Encode(&pngData, scene(400, 300, image.YCbCrSubsampleRatio444)); err != nil {
		t.Fatal(err)
	}
	for name, data := range map[string][]byte{"jpeg": jpegData, "png": pngData.Bytes()} {
		for after := range 4 { // ends at the n-th time anybody asks
			ctx := &endingContext{Context: context.Background(), left: after}
			if _, _, err := Previews(ctx, data, 1, []int{100, 50}, 85, Limits{}); !errors.Is(err, context.Canceled) {
				t.Errorf("%s, ended after %d: %v", name, after, err)
			}
		}
	}
}

// endingContext ends after its Err has been asked left times.
type endingContext struct {
	context.Context
	left int
}

func (c *endingContext) Err() error {
	if c.left--; c.left < 0 {
		return context.Canceled
	}
	return nil
}

func TestPreviewsRefuseOddSizes(t *testing.T) {
	data := encoded(t, grayScene(20, 20), 90, 0)
	for _, sizes := range [][]int{nil, {0}, {-5}, {100, 100}, {100, 200}} {
		if _, _, err := Previews(context.Background(), data, 1, sizes, 85, Limits{}); err == nil {
			t.Errorf("sizes %v were accepted", sizes)
		}
	}
}

// A photograph of 24 megapixels has 36 MB of samples; reading it for a preview must not come near.
func TestPreviewsHoldOnlyReducedPlanes(t *testing.T) {
	data := photo24()
	var before, after runtime.MemStats
	runtime.ReadMemStats(&before)
	if _, _, err := Previews(context.Background(), data, 6, []int{2048, 320}, 85, Limits{}); err != nil {
		t.Fatal(err)
	}
	runtime.ReadMemStats(&after)
	if n := (after.TotalAlloc - before.TotalAlloc) >> 20; n > 16 {
		t.Errorf("allocated %d MiB in all", n)
	} else {
		t.Logf("allocated %s in all", fmt.Sprint(n, " MiB"))
	}
}
