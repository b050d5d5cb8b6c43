package reduce

import (
	"bytes"
	"image"
	"image/color"
	"image/jpeg"
	"math"
	"testing"

	"pgregory.net/rapid"
)

// storedAt is where the pixel seen at (x, y) of the upright picture lies in the stored one of w x h, read directly off
// the descriptions of EXIF 2.32, tag 0x0112.
func storedAt(o, x, y, w, h int) (int, int) {
	switch o {
	case 2:
		return w - 1 - x, y
	case 3:
		return w - 1 - x, h - 1 - y
	case 4:
		return x, h - 1 - y
	case 5:
		return y, x
	case 6:
		return y, h - 1 - x
	case 7:
		return w - 1 - y, h - 1 - x
	case 8:
		return w - 1 - y, x
	}
	return x, y
}

func TestUprightMovesEveryPixel(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w, h := rapid.IntRange(1, 70).Draw(t, "w"), rapid.IntRange(1, 70).Draw(t, "h")
		o := rapid.IntRange(0, 9).Draw(t, "orientation")
		ratio := rapid.SampledFrom(ratios).Draw(t, "ratio")
		ycc := scene(w, h, ratio)
		cut := image.Rect(rapid.IntRange(0, w-1).Draw(t, "x0"), rapid.IntRange(0, h-1).Draw(t, "y0"), w, h)
		for _, img := range []image.Image{ycc, ycc.SubImage(cut), toRGBA(ycc), toRGBA(ycc).SubImage(cut), grayScene(w, h), translucent(w+1, h+1)} {
			out := Upright(img, o)
			b, got := img.Bounds(), out.Bounds()
			if swap := o >= 5 && o <= 8; swap && (got.Dx() != b.Dy() || got.Dy() != b.Dx()) || !swap && got.Size() != b.Size() {
				t.Fatalf("%T %v, orientation %d: %v", img, b, o, got)
			}
			for y := range got.Dy() {
				for x := range got.Dx() {
					sx, sy := storedAt(o, x, y, b.Dx(), b.Dy())
					p := color.RGBAModel.Convert(out.At(got.Min.X+x, got.Min.Y+y))
					if q := color.RGBAModel.Convert(img.At(b.Min.X+sx, b.Min.Y+sy)); p != q {
						t.Fatalf("%T %v, orientation %d at %d,%d: %v, want %v", img, b, o, x, y, p, q)
					}
				}
			}
		}
	})
}

// directResample is the definition, in floating point.
func directResample(src *image.Gray, w, h int) []float64 {
	sw, sh := src.Rect.Dx(), src.Rect.Dy()
	weights := func(i, n, m int) []float64 {
		ratio := float64(n) / float64(m)
		wide := math.Max(ratio, 1)
		out, sum := make([]float64, n), 0.0
		for j := range n {
			x := math.Abs((float64(j)+0.5)-(float64(i)+0.5)*ratio) / wide
			if x < 3 {
				out[j] = 1
				if x > 1e-9 {
					out[j] = math.Sin(math.Pi*x) / (math.Pi * x) * math.Sin(math.Pi*x/3) / (math.Pi * x / 3)
				}
			}
			sum += out[j]
		}
		for j := range out {
			out[j] /= sum
		}
		return out
	}
	out := make([]float64, w*h)
	for y := range h {
		wy := weights(y, sh, h)
		for x := range w {
			for j, a := range weights(x, sw, w) {
				if a == 0 {
					continue
				}
				for i, b := range wy {
					out[y*w+x] += a * b * float64(src.Pix[i*src.Stride+j])
				}
			}
		}
	}
	return out
}

func TestResampleMatchesDefinition(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		sw, sh := rapid.IntRange(1, 60).Draw(t, "sw"), rapid.IntRange(1, 60).Draw(t, "sh")
		w, h := rapid.IntRange(1, 60).Draw(t, "w"), rapid.IntRange(1, 60).Draw(t, "h")
		src := image.NewGray(image.Rect(0, 0, sw, sh))
		for i := range src.Pix {
			src.Pix[i] = byte(noiseAt(uint64(i), uint64(sw), 3))
		}
		got := Resample(src, w, h).(*image.Gray)
		for i, v := range directResample(src, w, h) {
			if d := float64(got.Pix[i]) - min(max(v, 0), 255); d < -0.75 || d > 0.75 {
				t.Fatalf("%dx%d to %dx%d, sample %d: %d, want %.2f", sw, sh, w, h, i, got.Pix[i], v)
			}
		}
	})
}

// A flat picture stays exactly flat, whatever its type and size.
func TestResampleKeepsFlatColour(t *testing.T) {
	for _, v := range []byte{0, 1, 127, 254, 255} {
		for _, size := range [][2]int{{1, 1}, {3, 50}, {20, 21}, {100, 7}} {
			g := image.NewGray(image.Rect(0, 0, 33, 21))
			for i := range g.Pix {
				g.Pix[i] = v
			}
			for i, p := range Resample(g, size[0], size[1]).(*image.Gray).Pix {
				if p != v {
					t.Fatalf("%d became %d at %d in %v", v, p, i, size)
				}
			}
		}
	}
}

func TestResampleKeepsTypes(t *testing.T) {
	for _, ratio := range ratios {
		src := scene(90, 61, ratio)
		out, ok := Resample(src, 31, 45).(*image.YCbCr)
		if !ok || out.SubsampleRatio != ratio || out.Rect != image.Rect(0, 0, 31, 45) {
			t.Fatalf("%v: %v", ratio, out)
		}
		cut := src.SubImage(image.Rect(13, 7, 90, 61))
		if v := psnr(t, Resample(cut, 30, 20), Resample(toRGBA(cut), 30, 20)); v < 28 {
			t.Errorf("%v: a cut-out and its copy differ: %.1f dB", ratio, v)
		}
	}
	alpha := Resample(translucent(40, 30), 17, 50).(*image.RGBA)
	for i := 0; i < len(alpha.Pix); i += 4 {
		if p := alpha.Pix[i:][:4]; max(p[0], p[1], p[2]) > p[3] {
			t.Fatalf("pixel %d: colour above alpha: %v", i/4, p)
		}
	}
	if b := Resample(image.NewRGBA(image.Rectangle{}), 0, -3).Bounds(); b.Dx() != 1 || b.Dy() != 1 {
		t.Errorf("nothing to 0 x -3: %v", b)
	}
}

func TestEncoderOutputDecodesWithStandardLibrary(t *testing.T) {
	for _, ratio := range ratios {
		for _, size := range oddSizes {
			img := scene(size[0], size[1], ratio)
			std := stdDecoded(t, encoded(t, img, 97, 0))
			want, got := planesOf(t, img), planesOf(t, std)
			for i := range want {
				if d := maxDiff(want[i], got[i]); d > 24 {
					t.Errorf("%v %v: plane %d is off by %d", ratio, size, i, d)
				}
			}
		}
	}
}

// At the same quality, ours must be about as good and as small as the standard encoder's, which has the same tables.
func TestEncoderIsOnAParWithStandardEncoder(t *testing.T) {
	img := scene(400, 300, image.YCbCrSubsampleRatio420)
	for _, quality := range []int{1, 20, 50, 85, 100} {
		var ours, std bytes.Buffer
		if err := EncodeJPEG(&ours, img, quality); err != nil {
			t.Fatal(err)
		}
		if err := jpeg.Encode(&std, img, &jpeg.Options{Quality: quality}); err != nil {
			t.Fatal(err)
		}
		a, b := psnr(t, stdDecoded(t, ours.Bytes()), img), psnr(t, stdDecoded(t, std.Bytes()), img)
		if a < b-0.1 || float64(ours.Len()) > 1.02*float64(std.Len()) {
			t.Errorf("quality %d: %.2f dB in %d bytes, standard %.2f dB in %d", quality, a, ours.Len(), b, std.Len())
		}
	}
}

func TestEncodeOtherPictures(t *testing.T) {
	for _, img := range []image.Image{toRGBA(scene(40, 30, image.YCbCrSubsampleRatio444)), scene(41, 31, image.YCbCrSubsampleRatio420).SubImage(image.Rect(5, 3, 38, 30))} {
		var buf bytes.Buffer
		if err := EncodeJPEG(&buf, img, 0); err != nil {
			t.Fatal(err)
		}
		if v := psnr(t, stdDecoded(t, buf.Bytes()), img); v < 27 {
			t.Errorf("%T: %.1f dB", img, v)
		}
	}
	for _, r := range []image.Rectangle{{}, image.Rect(0, 0, 65536, 1)} {
		if err := EncodeJPEG(new(bytes.Buffer), image.NewGray(r), 85); err == nil {
			t.Errorf("a picture of %v was encoded", r)
		}
	}
}
