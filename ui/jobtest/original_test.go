package jobtest

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"image"
	"image/draw"
	"image/jpeg"
	"os"
	"testing"

	"wornwood/capture/bench"
	"wornwood/capture/record"
)

func sumOf(t *testing.T, path string) string {
	t.Helper()
	data, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	h := sha256.Sum256(data)
	return hex.EncodeToString(h[:])
}

// checkOriginals compares each photo on the bench with the file it came from,
// byte for byte, and its name in the record with its content's SHA-256.
func (j *job) checkOriginals() {
	j.t.Helper()
	for _, p := range j.ex.Record().Photos {
		src := j.from[p.ID]
		if src == "" {
			j.t.Errorf("%s: no source has its digest", p.Name)
			continue
		}
		want, err := os.ReadFile(src)
		if err != nil {
			j.t.Fatal(err)
		}
		got, err := j.b.OriginalBytes(p.ID)
		if err != nil || !bytes.Equal(got, want) || p.Size != int64(len(want)) {
			j.t.Errorf("%s: the original on the bench is not the file (%d and %d bytes, the record says %d), %v", p.Name, len(got), len(want), p.Size, err)
		}
		if h := sha256.Sum256(got); hex.EncodeToString(h[:]) != p.ID {
			j.t.Errorf("%s: its ID is not its SHA-256", p.Name)
		}
	}
}

// checkPreviews compares both previews of a photo with what ImageMagick makes
// of the same original: turned upright by the file's orientation, transparency
// laid on white, reduced to the same size. maxDifference is the mean over all
// samples, in levels of 255.
func (j *job) checkPreviews(p record.Photo, maxDifference float64) {
	j.t.Helper()
	for _, size := range []int{bench.LargePreview, bench.SmallPreview} {
		data, err := j.b.Preview(p.ID, size)
		if err != nil {
			j.t.Errorf("%s: %v", p.Name, err)
			return
		}
		img, err := jpeg.Decode(bytes.NewReader(data))
		if err != nil {
			j.t.Errorf("%s: preview: %v", p.Name, err)
			return
		}
		w, h := img.Bounds().Dx(), img.Bounds().Dy()
		j.checkSize(p, size, w, h)
		if d := difference(samplesOf(img), upright(j.t, j.b.OriginalPath(p.ID), w, h)); d > maxDifference {
			j.t.Errorf("%s: the preview of %d pixels is %.1f levels from ImageMagick's", p.Name, size, d)
		}
		if max(p.Width, p.Height) <= bench.SmallPreview {
			return // both previews have the photo's own size
		}
	}
}

// checkSize: the longer side is the size asked for, or the photo's own when it
// is smaller, and the shape is the upright photo's to within a pixel.
func (j *job) checkSize(p record.Photo, size, w, h int) {
	j.t.Helper()
	long := min(size, max(p.Width, p.Height))
	if max(w, h) != long || (w > h) != (p.Width > p.Height) && p.Width != p.Height {
		j.t.Errorf("%s, %d x %d upright: preview of %d is %d x %d", p.Name, p.Width, p.Height, size, w, h)
	}
	if off := w*p.Height - h*p.Width; max(off, -off) > max(p.Width, p.Height) {
		j.t.Errorf("%s: preview of %d x %d has another shape than %d x %d", p.Name, w, h, p.Width, p.Height)
	}
}

// samplesOf is a picture as RGB bytes.
func samplesOf(img image.Image) []byte {
	b := img.Bounds()
	m := image.NewRGBA(b)
	draw.Draw(m, b, img, b.Min, draw.Src)
	out := make([]byte, 0, 3*b.Dx()*b.Dy())
	for i := 0; i < len(m.Pix); i += 4 {
		out = append(out, m.Pix[i:i+3]...)
	}
	return out
}

// upright is a photo as RGB bytes of the given size by ImageMagick (Debian's
// imagemagick).
func upright(t *testing.T, path string, w, h int) []byte {
	t.Helper()
	out := output(t, "imagemagick", "convert", path, "-auto-orient", "-background", "white", "-alpha", "remove", "-filter", "Lanczos",
		"-resize", fmt.Sprintf("%dx%d!", w, h), "-colorspace", "sRGB", "-type", "TrueColor", "-depth", "8", "rgb:-")
	if len(out) != 3*w*h {
		t.Fatalf("ImageMagick gave %d bytes for %d x %d pixels", len(out), w, h)
	}
	return out
}

// difference is the mean difference of two pictures in levels of 255.
func difference(a, b []byte) float64 {
	sum := 0
	for i := range a {
		d := int(a[i]) - int(b[i])
		sum += max(d, -d)
	}
	return float64(sum) / float64(len(a))
}

// turned is a picture of RGB bytes upside down.
func turned(a []byte) []byte {
	out := make([]byte, 0, len(a))
	for i := len(a) - 3; i >= 0; i -= 3 {
		out = append(out, a[i:i+3]...)
	}
	return out
}
