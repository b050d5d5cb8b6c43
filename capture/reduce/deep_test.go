package reduce

import (
	"bytes"
	"errors"
	"image"
	"image/color"
	"image/png"
	"testing"
)

// A PNG of 16 bits keeps them, with and without transparency; 8-bit files keep what they have.
func TestDecodeDeepKeepsEveryBit(t *testing.T) {
	opaque := image.NewRGBA64(image.Rect(0, 0, 9, 7))
	for i := range opaque.Pix {
		opaque.Pix[i] = byte(i * 31)
		if i%8 >= 6 {
			opaque.Pix[i] = 0xff
		}
	}
	gray := image.NewGray16(image.Rect(0, 0, 5, 3))
	for i := range gray.Pix {
		gray.Pix[i] = byte(i * 53)
	}
	for _, want := range []image.Image{opaque, gray, sixteenBits(12, 20), translucent(20, 12), paletted(15, 9)} {
		var b bytes.Buffer
		if err := png.Encode(&b, want); err != nil {
			t.Fatal(err)
		}
		got, partial, err := DecodeDeep(b.Bytes(), Limits{})
		if err != nil || partial.Broken() || got.Bounds() != want.Bounds() {
			t.Fatalf("%T: %v, %v", want, partial, err)
		}
		for y := range want.Bounds().Dy() {
			for x := range want.Bounds().Dx() {
				g, w := color.NRGBA64Model.Convert(got.At(x, y)), color.NRGBA64Model.Convert(want.At(x, y))
				if g != w {
					t.Fatalf("%T at %d, %d: %v, want %v", want, x, y, g, w)
				}
			}
		}
	}
}

// JPEGs come out as with Decode, except that four inks stay four.
func TestDecodeDeepOfJPEG(t *testing.T) {
	for _, name := range []string{"ordinary.jpg", "progressive.jpg", "gray.jpg", "rgb.jpg", "cut.jpg"} {
		data := readSeed(t, name)
		want, wantPartial, err := Decode(data, Limits{})
		if err != nil {
			t.Fatal(err)
		}
		got, partial, err := DecodeDeep(data, Limits{})
		if err != nil || partial != wantPartial || got.Bounds() != want.Bounds() {
			t.Fatalf("%s: %v, %v", name, partial, err)
		}
		if p, q := got.At(20, 12), want.At(20, 12); color.RGBAModel.Convert(p) != color.RGBAModel.Convert(q) {
			t.Errorf("%s: %v, want %v", name, p, q)
		}
	}
	img, _, err := DecodeDeep(readSeed(t, "fourinks.jpg"), Limits{})
	if _, ok := img.(*image.CMYK); !ok || err != nil {
		t.Errorf("four inks became %T, %v", img, err)
	}
}

func TestDecodeDeepKeepsLimits(t *testing.T) {
	var large *TooLargeError
	if _, _, err := DecodeDeep(readSeed(t, "sixteen.png"), Limits{HeavyPixels: 12*20 - 1}); !errors.As(err, &large) {
		t.Errorf("beyond the limit for 16 bits: %v", err)
	}
	if _, _, err := DecodeDeep(readSeed(t, "sixteen.png"), Limits{HeavyPixels: 12 * 20}); err != nil {
		t.Errorf("at the limit: %v", err)
	}
	if _, _, err := DecodeDeep([]byte("GIF89a"), Limits{}); !errors.Is(err, ErrFormat) {
		t.Errorf("not a picture: %v", err)
	}
}

// Stored undoes Upright, pixel by pixel.
func TestStoredUndoesUpright(t *testing.T) {
	img := image.NewGray(image.Rect(0, 0, 7, 4))
	for i := range img.Pix {
		img.Pix[i] = byte(i)
	}
	for o := 0; o <= 9; o++ {
		up := Upright(img, o).(*image.Gray)
		for y := range up.Rect.Dy() {
			for x := range up.Rect.Dx() {
				sx, sy := Stored(o, 7, 4, x, y)
				if img.GrayAt(sx, sy) != up.GrayAt(x, y) {
					t.Fatalf("orientation %d at %d, %d: stored %d, %d", o, x, y, sx, sy)
				}
			}
		}
	}
}
