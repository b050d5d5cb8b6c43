package reduce

import (
	"bytes"
	"fmt"
	"image"
	"image/jpeg"
	"testing"
)

var ratios = []image.YCbCrSubsampleRatio{
	image.YCbCrSubsampleRatio444, image.YCbCrSubsampleRatio422, image.YCbCrSubsampleRatio420,
	image.YCbCrSubsampleRatio440, image.YCbCrSubsampleRatio411, image.YCbCrSubsampleRatio410,
}

var oddSizes = [][2]int{{1, 1}, {17, 33}, {8, 8}, {16, 16}, {31, 7}, {7, 40}, {200, 151}}

// decoded runs Decode and expects a whole picture.
func decoded(t *testing.T, data []byte) image.Image {
	t.Helper()
	img, partial, err := Decode(data, Limits{})
	if err != nil {
		t.Fatal(err)
	}
	if partial.Broken() {
		t.Fatalf("whole file taken for a partial one: %v", partial)
	}
	return img
}

// planesOf gives the samples of a YCbCr or Gray picture, without what the standard decoder allocates beyond its edges.
func planesOf(t *testing.T, img image.Image) [][]byte {
	t.Helper()
	tight := func(pix []byte, stride, w, h int) []byte {
		var out []byte
		for y := range h {
			out = append(out, pix[y*stride:][:w]...)
		}
		return out
	}
	w, h := img.Bounds().Dx(), img.Bounds().Dy()
	switch m := img.(type) {
	case *image.Gray:
		return [][]byte{tight(m.Pix, m.Stride, w, h)}
	case *image.YCbCr:
		f := chromaFactors[m.SubsampleRatio]
		cw, ch := (w+f.x-1)/f.x, (h+f.y-1)/f.y
		return [][]byte{tight(m.Y, m.YStride, w, h), tight(m.Cb, m.CStride, cw, ch), tight(m.Cr, m.CStride, cw, ch)}
	}
	t.Fatalf("unexpected %T", img)
	return nil
}

// samePlanes compares to the standard library's decoder, which is the outside reference here.
func sameAsStd(t *testing.T, data []byte, img image.Image) {
	t.Helper()
	std, err := jpeg.Decode(bytes.NewReader(data))
	if err != nil {
		t.Fatal(err)
	}
	want, got := planesOf(t, std), planesOf(t, img)
	for i := range want {
		if len(got[i]) != len(want[i]) {
			t.Fatalf("plane %d: %d samples, want %d", i, len(got[i]), len(want[i]))
		}
		if d := maxDiff(got[i], want[i]); d > 1 {
			t.Errorf("plane %d differs from the standard decoder by up to %d levels", i, d)
		}
	}
}

func TestDecodeEverySamplingMatchesStandardLibrary(t *testing.T) {
	for _, ratio := range ratios {
		for _, size := range oddSizes {
			for _, interval := range []int{0, 1, 5} {
				t.Run(fmt.Sprintf("%v/%dx%d/restart %d", ratio, size[0], size[1], interval), func(t *testing.T) {
					data := encoded(t, scene(size[0], size[1], ratio), 90, interval)
					img := decoded(t, data)
					if m := img.(*image.YCbCr); m.SubsampleRatio != ratio {
						t.Errorf("ratio %v, want %v", m.SubsampleRatio, ratio)
					}
					sameAsStd(t, data, img)
				})
			}
		}
	}
}

func TestDecodeGray(t *testing.T) {
	for _, size := range oddSizes {
		for _, interval := range []int{0, 3} {
			data := encoded(t, grayScene(size[0], size[1]), 80, interval)
			img := decoded(t, data)
			if _, ok := img.(*image.Gray); !ok {
				t.Fatalf("got %T", img)
			}
			sameAsStd(t, data, img)
		}
	}
}

// Sampling factors of a single component mean nothing (T.81 section A.2.2), though some cameras write 2 x 2.
func TestDecodeGrayIgnoresSamplingFactors(t *testing.T) {
	data := encoded(t, grayScene(45, 37), 80, 0)
	want := decoded(t, data).(*image.Gray)
	at := bytes.Index(data, []byte{0xFF, mSOF0})
	data[at+11] = 0x22
	if got := decoded(t, data).(*image.Gray); !bytes.Equal(got.Pix, want.Pix) {
		t.Error("factors of 2 x 2 changed the picture")
	}
}

// inSeparateScans encodes each component in a scan of its own, in the order given.
func inSeparateScans(t *testing.T, img *image.YCbCr, order []int) []byte {
	t.Helper()
	e := newEncoder(85)
	e.planes = yccPlanes(img)
	e.header(img.Rect.Dx(), img.Rect.Dy())
	e.buf = e.buf[:len(e.buf)-14] // the header of the common scan
	for _, i := range order {
		p := &e.planes[i]
		e.buf = append(e.buf, 0xFF, mSOS, 0, 8, 1, byte(i+1), byte(p.table<<4|p.table), 0, 63, 0)
		for y := 0; y < p.h; y += 8 {
			for x := 0; x < p.w; x += 8 {
				e.load(p, x, y)
				e.block(p)
			}
		}
		e.align()
	}
	return append(e.buf, 0xFF, mEOI)
}

func TestDecodeSeparateScans(t *testing.T) {
	for _, ratio := range ratios[:4] { // the standard decoder reads these
		for _, order := range [][]int{{0, 1, 2}, {2, 0, 1}} {
			data := inSeparateScans(t, scene(61, 45, ratio), order)
			sameAsStd(t, data, decoded(t, data))
		}
	}
}

// The coefficients of a block that ends without an end-of-block code run straight into the next block's code. Passing
// over several symbols at a time must not read into it, at any scale.
func TestFullBlocksAreNotReadBeyond(t *testing.T) {
	img := image.NewGray(image.Rect(0, 0, 64, 64))
	for i := range img.Pix {
		img.Pix[i] = byte(noiseAt(uint64(i), 1, 5)) // white noise at the best quality: every coefficient is there
	}
	data := encoded(t, img, 100, 0)
	full := decoded(t, data).(*image.Gray)
	if d := maxDiff(full.Pix, img.Pix); d > 2 {
		t.Fatalf("decoded noise is off by %d", d)
	}
	for size := 8; size < 64; size += 8 {
		p, partial := mustPreview(t, data, 1, size)
		if partial.Broken() {
			t.Fatalf("size %d: %v", size, partial)
		}
		var sum, want int
		got := decoded(t, p.JPEG).(*image.Gray)
		for _, v := range got.Pix {
			sum += int(v)
		}
		for _, v := range img.Pix {
			want += int(v)
		}
		if a, b := float64(sum)/float64(len(got.Pix)), float64(want)/float64(len(img.Pix)); a < b-3 || a > b+3 {
			t.Errorf("size %d: mean %.1f, want %.1f", size, a, b)
		}
	}
}

func TestDecodeIsDeterministic(t *testing.T) {
	data := encoded(t, scene(300, 200, image.YCbCrSubsampleRatio420), 90, 0)
	first, _ := mustPreview(t, data, 6, 100)
	for range 3 {
		again, _ := mustPreview(t, data, 6, 100)
		if !bytes.Equal(first.JPEG, again.JPEG) {
			t.Fatal("two runs differ")
		}
	}
}
