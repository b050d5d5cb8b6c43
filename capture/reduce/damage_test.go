package reduce

import (
	"bytes"
	"context"
	"errors"
	"image"
	"math/rand/v2"
	"strings"
	"testing"
)

// partlyDecoded checks what Decode gives for a cut-off file against the whole picture: the rows it claims are exactly
// right, everything below is white, and the count never falls when more of the file is there.
func partlyDecoded(t *testing.T, data []byte, whole *image.YCbCr, least int) int {
	t.Helper()
	img, partial, err := Decode(data, Limits{})
	if err != nil {
		var damaged *DamagedError
		if !errors.As(err, &damaged) {
			t.Fatalf("%d bytes: %v", len(data), err)
		}
		return 0
	}
	rows := whole.Rect.Dy()
	if partial.Broken() {
		rows = partial.Rows
		if partial.Height != whole.Rect.Dy() || rows >= partial.Height || partial.Coarse || !strings.Contains(partial.String(), " rows could be read") {
			t.Fatalf("%d bytes: %+v", len(data), partial)
		}
	}
	if rows < least {
		t.Fatalf("%d bytes: %d rows, but %d with fewer bytes", len(data), rows, least)
	}
	m := img.(*image.YCbCr)
	if !bytes.Equal(m.Y[:rows*m.YStride], whole.Y[:rows*m.YStride]) || !bytes.Equal(m.Cb[:rows/2*m.CStride], whole.Cb[:rows/2*m.CStride]) {
		t.Fatalf("%d bytes: the first %d rows are not those of the whole picture", len(data), rows)
	}
	for i, v := range m.Y[rows*m.YStride:] {
		if v != 255 {
			t.Fatalf("%d bytes: sample %d below row %d is %d, not white", len(data), i, rows, v)
		}
	}
	return rows
}

func TestTruncatedFilesAreReportedAsPartial(t *testing.T) {
	for _, interval := range []int{0, 4} {
		data := encoded(t, scene(150, 170, image.YCbCrSubsampleRatio420), 85, interval)
		whole := decoded(t, data).(*image.YCbCr)
		rows, counts := 0, map[int]bool{}
		for n := 2; n < len(data); n += 3 {
			rows = partlyDecoded(t, data[:n], whole, rows)
			counts[rows] = true
		}
		rows = partlyDecoded(t, data[:len(data)-2], whole, rows)
		if rows != 170 {
			t.Errorf("only the end marker missing: %d rows", rows)
		}
		counts[rows] = true
		if len(counts) != 12 { // none, and each of the 11 rows of MCUs in 170 rows
			t.Errorf("%d different counts of rows, want 12", len(counts))
		}
	}
}

func TestTruncatedPreviewTellsStoredRows(t *testing.T) {
	data := encoded(t, scene(600, 400, image.YCbCrSubsampleRatio420), 85, 0)
	_, want, err := Decode(data[:len(data)/2], Limits{})
	if err != nil {
		t.Fatal(err)
	}
	for _, size := range []int{600, 400, 225, 100} {
		p, partial := mustPreview(t, data[:len(data)/2], 1, size)
		if partial != want {
			t.Errorf("size %d: %+v, want %+v", size, partial, want)
		}
		m := stdDecoded(t, p.JPEG).(*image.YCbCr)
		top, end := m.YCbCrAt(p.Width/2, 0), m.YCbCrAt(p.Width/2, p.Height-1)
		if end.Y < 250 || top.Y > 250 {
			t.Errorf("size %d: top %v, end %v; want the picture above and white below", size, top, end)
		}
	}
}

func TestTruncatedSeparateScans(t *testing.T) {
	img := scene(64, 64, image.YCbCrSubsampleRatio420)
	data := inSeparateScans(t, img, []int{0, 1, 2})
	last := bytes.LastIndex(data, []byte{0xFF, mSOS})
	_, partial, err := Decode(data[:last+20], Limits{})
	if err != nil {
		t.Fatal(err)
	}
	if !partial.Coarse || partial.Rows != 0 || !strings.Contains(partial.String(), "colour") {
		t.Errorf("brightness whole, red difference missing: %+v %q", partial, partial)
	}
}

// Damage in the middle: bytes changed, removed or repeated. Whatever comes out, it is a picture or a typed error.
func TestDamagedFilesGiveAPictureOrASentence(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 6))
	for _, interval := range []int{0, 3} {
		good := encoded(t, scene(97, 64, image.YCbCrSubsampleRatio420), 85, interval)
		for range 1500 {
			data := bytes.Clone(good)
			for range 1 + rng.IntN(3) {
				data[rng.IntN(len(data))] = byte(rng.IntN(256))
			}
			if rng.IntN(4) == 0 {
				at := rng.IntN(len(data) - 20)
				data = append(data[:at], data[at+rng.IntN(20):]...)
			}
			checkOutcome(t, data, 1+rng.IntN(8))
		}
	}
}

// checkOutcome runs Previews on anything and holds it to its promises.
func checkOutcome(t *testing.T, data []byte, orientation int) {
	t.Helper()
	lim := Limits{Pixels: 1 << 20, HeavyPixels: 1 << 18, Bytes: 1 << 20}
	ps, partial, err := Previews(context.Background(), data, orientation, []int{64, 24}, 85, lim)
	if err != nil {
		var damaged *DamagedError
		var large *TooLargeError
		if !errors.Is(err, ErrFormat) && !errors.As(err, &damaged) && !errors.As(err, &large) {
			t.Fatalf("untyped error %T %v", err, err)
		}
		if ps != nil || partial.Broken() || strings.Contains(err.Error(), "\n") {
			t.Fatalf("error %v with %d previews and %+v", err, len(ps), partial)
		}
		return
	}
	if len(ps) != 2 || partial.Broken() != (partial.String() != "") || partial.Broken() && !partial.Coarse && partial.Rows == 0 {
		t.Fatalf("%d previews, %+v", len(ps), partial)
	}
	for i, p := range ps {
		img := stdDecoded(t, p.JPEG)
		if img.Bounds().Dx() != p.Width || img.Bounds().Dy() != p.Height || max(p.Width, p.Height) > []int{64, 24}[i] {
			t.Fatalf("preview %d: %d x %d, file %v", i, p.Width, p.Height, img.Bounds())
		}
	}
}

func TestUndecodableFilesGiveOneSentence(t *testing.T) {
	good := encoded(t, scene(64, 64, image.YCbCrSubsampleRatio420), 85, 0)
	sof := bytes.Index(good, []byte{0xFF, mSOF0})
	patched := func(at int, v ...byte) []byte {
		d := bytes.Clone(good)
		copy(d[at:], v)
		return d
	}
	for name, c := range map[string]struct {
		data   []byte
		format bool
	}{
		"empty":              {nil, true},
		"text":               {[]byte("not a picture"), true},
		"start marker only":  {good[:2], false},
		"header cut":         {good[:100], false},
		"no scan data":       {good[:bytes.Index(good, []byte{0xFF, mSOS})+14], false},
		"no size":            {patched(sof+5, 0, 0), false},
		"arithmetic coding":  {patched(sof+1, 0xC9), true},
		"lossless":           {patched(sof+1, 0xC3), true},
		"12 bits":            {patched(sof+4, 12), true},
		"no tables":          {append(bytes.Clone(good[:20]), good[sof:]...), false},
		"impossible factors": {patched(sof+11, 0x55), false},
	} {
		for what, err := range map[string]error{"Decode": second(Decode(c.data, Limits{})), "Previews": previewError(c.data)} {
			var damaged *DamagedError
			if c.format != errors.Is(err, ErrFormat) || c.format == errors.As(err, &damaged) {
				t.Errorf("%s of %s: %v", what, name, err)
				continue
			}
			if s := err.Error(); strings.ContainsAny(s, "\n.!") || len(s) < 30 {
				t.Errorf("%s of %s: %q is not one clause with what to do", what, name, s)
			}
		}
	}
}

func second(_ image.Image, _ Partial, err error) error { return err }

func previewError(data []byte) error {
	_, _, err := Previews(context.Background(), data, 1, []int{32}, 85, Limits{})
	return err
}
