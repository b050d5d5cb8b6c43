package reduce

import (
	"bytes"
	"encoding/binary"
	"errors"
	"hash/crc32"
	"image"
	"runtime"
	"testing"
)

// pngHeader is a PNG that ends after its IHDR chunk.
func pngHeader(w, h uint32, depth, colour byte) []byte {
	chunk := []byte("IHDR")
	chunk = binary.BigEndian.AppendUint32(chunk, w)
	chunk = binary.BigEndian.AppendUint32(chunk, h)
	chunk = append(chunk, depth, colour, 0, 0, 0)
	out := append([]byte(pngSignature), 0, 0, 0, 13)
	return binary.BigEndian.AppendUint32(append(out, chunk...), crc32.ChecksumIEEE(chunk))
}

// withSize rewrites the size in a JPEG's frame header.
func withSize(t *testing.T, data []byte, marker byte, w, h int) []byte {
	t.Helper()
	at := bytes.Index(data, []byte{0xFF, marker})
	if at < 0 {
		t.Fatal("no frame header")
	}
	out := bytes.Clone(data)
	binary.BigEndian.PutUint16(out[at+5:], uint16(h))
	binary.BigEndian.PutUint16(out[at+7:], uint16(w))
	return out
}

func TestBombsAreRefusedBeforeDecoding(t *testing.T) {
	small := encoded(t, scene(64, 48, image.YCbCrSubsampleRatio420), 85, 0)
	progressive := readSeed(t, "progressive.jpg")
	cases := map[string][]byte{
		"PNG 60000 x 60000, 16 bits": pngHeader(60000, 60000, 16, 6),
		"PNG 11000 x 11000, 16 bits": pngHeader(11000, 11000, 16, 2),
		"PNG 15000 x 15000, 8 bits":  pngHeader(15000, 15000, 8, 2),
		"PNG of one endless row":     pngHeader(150_000_000, 1, 8, 0),
		"JPEG 65535 x 65535":         withSize(t, small, mSOF0, 65535, 65535),
		"progressive 12000 x 9000":   withSize(t, progressive, mSOF2, 12000, 9000),
	}
	for name, data := range cases {
		var before, after runtime.MemStats
		runtime.ReadMemStats(&before)
		errs := []error{second(Decode(data, Limits{})), previewError(data)}
		runtime.ReadMemStats(&after)
		for _, err := range errs {
			var large *TooLargeError
			if !errors.As(err, &large) || large.Width == 0 || large.Have <= large.Limit {
				t.Errorf("%s: %v", name, err)
			}
		}
		if n := after.TotalAlloc - before.TotalAlloc; n > 1<<20 {
			t.Errorf("%s: %d bytes allocated before refusing", name, n)
		}
	}
}

func TestLimitsAreInclusiveAndAdjustable(t *testing.T) {
	data := encoded(t, scene(64, 48, image.YCbCrSubsampleRatio420), 85, 0)
	n, pixels := int64(len(data)), int64(64*48)
	for _, c := range []struct {
		lim Limits
		ok  bool
	}{
		{Limits{Pixels: pixels, Bytes: n}, true},
		{Limits{Pixels: pixels - 1}, false},
		{Limits{Bytes: n - 1}, false},
		{Limits{HeavyPixels: 1}, true}, // an ordinary JPEG is not heavy
	} {
		var large *TooLargeError
		err := second(Decode(data, c.lim))
		if c.ok != (err == nil) || !c.ok && !errors.As(err, &large) {
			t.Errorf("%+v: %v", c.lim, err)
		}
	}
	var large *TooLargeError
	if err := second(Decode(readSeed(t, "progressive.jpg"), Limits{HeavyPixels: 1})); !errors.As(err, &large) {
		t.Errorf("progressive beyond HeavyPixels: %v", err)
	}
}

func TestConfigReadsHeadersOnly(t *testing.T) {
	ycc := encoded(t, scene(33, 17, image.YCbCrSubsampleRatio422), 85, 0)
	header := ycc[:bytes.Index(ycc, []byte{0xFF, mDHT})]
	for name, c := range map[string]struct {
		data []byte
		want Info
	}{
		"colour JPEG, header alone": {header, Info{Format: "jpeg", Width: 33, Height: 17, Depth: 8, Components: 3}},
		"grey JPEG":                 {encoded(t, grayScene(9, 5), 85, 0), Info{Format: "jpeg", Width: 9, Height: 5, Depth: 8, Components: 1}},
		"progressive JPEG":          {readSeed(t, "progressive.jpg"), Info{Format: "jpeg", Width: 61, Height: 45, Depth: 8, Components: 3, Progressive: true}},
		"PNG, header alone":         {pngHeader(60000, 5, 16, 6), Info{Format: "png", Width: 60000, Height: 5, Depth: 16, Components: 4}},
		"grey PNG with alpha":       {pngHeader(3, 4, 8, 4), Info{Format: "png", Width: 3, Height: 4, Depth: 8, Components: 2}},
	} {
		if got, err := Config(c.data); err != nil || got != c.want {
			t.Errorf("%s: %+v, %v; want %+v", name, got, err, c.want)
		}
	}
	for name, data := range map[string][]byte{"PNG cut": pngHeader(5, 5, 8, 2)[:20], "PNG without size": pngHeader(0, 5, 8, 2), "PNG of unknown colour": pngHeader(5, 5, 8, 5)} {
		var damaged *DamagedError
		if _, err := Config(data); !errors.As(err, &damaged) {
			t.Errorf("%s: %v", name, err)
		}
	}
	if _, err := Config([]byte("GIF89a......")); !errors.Is(err, ErrFormat) {
		t.Errorf("another format: %v", err)
	}
}

func TestAbsurdNumberOfScansIsRefused(t *testing.T) {
	data := readSeed(t, "progressive.jpg")
	last := bytes.LastIndex(data, []byte{0xFF, mSOS})
	scan := data[last : len(data)-2]
	data = append(bytes.Clone(data[:len(data)-2]), bytes.Repeat(scan, maxScans)...)
	data = append(data, 0xFF, mEOI)
	var damaged *DamagedError
	if err := previewError(data); !errors.As(err, &damaged) || damaged.Err != nil {
		t.Errorf("got %v", err)
	}
}
