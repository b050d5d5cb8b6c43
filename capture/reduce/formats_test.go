package reduce

import (
	"bytes"
	"errors"
	"image"
	"image/color"
	"image/jpeg"
	"image/png"
	"testing"
)

// translucent has every degree of alpha.
func translucent(w, h int) *image.NRGBA {
	img := image.NewNRGBA(image.Rect(0, 0, w, h))
	for y := range h {
		for x := range w {
			img.SetNRGBA(x, y, color.NRGBA{R: uint8(200 * x / w), G: 40, B: uint8(255 * y / h), A: uint8(255 * (x + y) / (w + h - 2))})
		}
	}
	return img
}

// sixteenBits is translucent with more depth.
func sixteenBits(w, h int) *image.NRGBA64 {
	img := image.NewNRGBA64(image.Rect(0, 0, w, h))
	for y := range h {
		for x := range w {
			img.SetNRGBA64(x, y, color.NRGBA64{R: uint16(51234 * x / w), G: 10021, B: uint16(65535 * y / h), A: uint16(65535 * (x + y) / (w + h - 2))})
		}
	}
	return img
}

func paletted(w, h int) *image.Paletted {
	img := image.NewPaletted(image.Rect(0, 0, w, h), color.Palette{
		color.NRGBA{R: 255, A: 255}, color.NRGBA{G: 200, A: 128}, color.NRGBA{B: 90, A: 255}, color.NRGBA{},
	})
	for i := range img.Pix {
		img.Pix[i] = byte(i % 4)
	}
	return img
}

// overWhiteAt is the definition of laying over white, in floating point.
func overWhiteAt(c color.Color) [3]float64 {
	n := color.NRGBA64Model.Convert(c).(color.NRGBA64)
	a := float64(n.A) / 65535
	f := func(v uint16) float64 { return (float64(v)/65535*a + 1 - a) * 255 }
	return [3]float64{f(n.R), f(n.G), f(n.B)}
}

func TestTransparencyIsLaidOverWhite(t *testing.T) {
	rgba := image.NewRGBA(image.Rect(0, 0, 20, 12))
	rgba64 := image.NewRGBA64(rgba.Rect)
	grey16 := image.NewGray16(rgba.Rect)
	for y := range 12 {
		for x := range 20 {
			rgba.Set(x, y, translucent(20, 12).At(x, y))
			rgba64.Set(x, y, translucent(20, 12).At(x, y))
			grey16.SetGray16(x, y, color.Gray16{Y: uint16(x * y * 250)})
		}
	}
	for _, img := range []image.Image{translucent(20, 12), sixteenBits(20, 12), paletted(20, 12), rgba, rgba64, grey16} {
		b := img.Bounds()
		var want [][3]float64
		for y := range b.Dy() {
			for x := range b.Dx() {
				want = append(want, overWhiteAt(img.At(x, y)))
			}
		}
		got := flatten(img)
		for i, w := range want {
			p := got.Pix[4*i:][:4]
			for c := range 3 {
				if d := float64(p[c]) - w[c]; d < -1.5 || d > 1.5 || p[3] != 255 {
					t.Fatalf("%T pixel %d: %v, want %v", img, i, p, w)
				}
			}
		}
	}
}

func TestPNGDecodeAndPreview(t *testing.T) {
	for _, name := range []string{"alpha.png", "sixteen.png", "palette.png"} {
		data := readSeed(t, name)
		img := decoded(t, data)
		rgba, ok := img.(*image.RGBA)
		if !ok || !rgba.Opaque() {
			t.Fatalf("%s: %T", name, img)
		}
		src, err := png.Decode(bytes.NewReader(data))
		if err != nil {
			t.Fatal(err)
		}
		if v := psnr(t, rgba, flatten(src)); v < 80 {
			t.Errorf("%s: %.1f dB", name, v)
		}
		p, _ := mustPreview(t, data, 6, 100)
		if b := src.Bounds(); p.Width != b.Dy() || p.Height != b.Dx() {
			t.Errorf("%s: %d x %d", name, p.Width, p.Height)
		}
	}
}

func TestPNGPreviewMatchesItsPicture(t *testing.T) {
	var buf bytes.Buffer
	src := toRGBA(scene(300, 200, image.YCbCrSubsampleRatio420))
	if err := png.Encode(&buf, src); err != nil {
		t.Fatal(err)
	}
	p, _ := mustPreview(t, buf.Bytes(), 1, 150)
	if v := psnr(t, stdDecoded(t, p.JPEG), Resample(src, 150, 100)); v < 30 {
		t.Errorf("%.1f dB", v)
	}
	var gray bytes.Buffer
	if err := png.Encode(&gray, grayScene(50, 40)); err != nil {
		t.Fatal(err)
	}
	if _, ok := decoded(t, gray.Bytes()).(*image.Gray); !ok {
		t.Error("a grey PNG did not stay grey")
	}
}

func TestDamagedPNG(t *testing.T) {
	data := readSeed(t, "sixteen.png")
	for n := len(pngSignature); n < len(data)-12; n += 7 { // without its last chunk, the picture is whole
		var damaged *DamagedError
		if err := previewError(data[:n]); !errors.As(err, &damaged) || damaged.Format != "PNG" {
			t.Fatalf("%d bytes: %v", n, err)
		}
	}
}

// asRGB encodes planes that mean red, green and blue, and says so as some writers do: with an Adobe segment whose
// transform is 0, or by the names of the components alone.
func asRGB(t *testing.T, adobe bool) []byte {
	t.Helper()
	data := encoded(t, scene(61, 45, image.YCbCrSubsampleRatio444), 85, 0)
	rest := bytes.Clone(data[20:]) // start marker and JFIF segment
	if adobe {
		return append([]byte("\xFF\xD8\xFF\xEE\x00\x0EAdobe\x00\x64\x00\x00\x00\x00\x00"), rest...)
	}
	sof, sos := bytes.Index(rest, []byte{0xFF, mSOF0}), bytes.Index(rest, []byte{0xFF, mSOS})
	for i, name := range []byte("RGB") {
		rest[sof+10+3*i], rest[sos+5+2*i] = name, name
	}
	return append([]byte{0xFF, mSOI}, rest...)
}

// Files that the standard library decodes for us: the preview must show what it decodes.
func TestUnusualJPEGsTakeTheStandardDecoder(t *testing.T) {
	for name, data := range map[string][]byte{
		"progressive": readSeed(t, "progressive.jpg"),
		"four inks":   readSeed(t, "fourinks.jpg"),
		"Adobe RGB":   readSeed(t, "rgb.jpg"),
		"named RGB":   asRGB(t, false),
	} {
		d := jpegDecoder{data: data, pos: 2}
		if _, err := d.readHeader(); err != nil {
			t.Fatal(err)
		}
		if d.ordinary() {
			t.Errorf("%s was taken for an ordinary file", name)
		}
		std, err := jpeg.Decode(bytes.NewReader(data))
		if err != nil {
			t.Fatal(err)
		}
		if v := psnr(t, decoded(t, data), std); v < 60 {
			t.Errorf("%s: %.1f dB", name, v)
		}
		p, _ := mustPreview(t, data, 1, 30)
		if v := psnr(t, stdDecoded(t, p.JPEG), Resample(toRGBA(std), p.Width, p.Height)); v < 28 {
			t.Errorf("preview of %s: %.1f dB", name, v)
		}
	}
}

// A progressive file that breaks off is decoded from the scans before, which hold the whole picture more coarsely.
func TestTruncatedProgressive(t *testing.T) {
	data := readSeed(t, "progressive.jpg")
	whole := decoded(t, data)
	coarse := 0
	for n := len(data) - 10; n > 700; n -= 90 {
		img, partial, err := Decode(data[:n], Limits{})
		if err != nil {
			var damaged *DamagedError
			if !errors.As(err, &damaged) {
				t.Fatalf("%d bytes: %v", n, err)
			}
			continue
		}
		coarse++
		if !partial.Broken() || !partial.Coarse || partial.Height != 45 {
			t.Fatalf("%d bytes: %+v", n, partial)
		}
		if v := psnr(t, img, whole); v < 18 {
			t.Errorf("%d of %d bytes: %.1f dB", n, len(data), v)
		}
	}
	if coarse < 3 {
		t.Errorf("only %d cut files gave a picture", coarse)
	}
}
