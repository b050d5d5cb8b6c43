package reduce

import (
	"bytes"
	"fmt"
	"image"
	"image/png"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
)

// The outside reference of these checks is ImageMagick (commands convert and identify) with libjpeg behind it.

// magick runs an ImageMagick command, which must be installed.
func magick(t testing.TB, tool string, args ...string) string {
	t.Helper()
	path, err := exec.LookPath(tool)
	if err != nil {
		t.Fatalf("ImageMagick's %s is needed for this check: %v", tool, err)
	}
	out, err := exec.Command(path, args...).CombinedOutput()
	if err != nil {
		t.Fatalf("%s %v: %v\n%s", tool, args, err, out)
	}
	return string(out)
}

// withMagick converts data; the last argument is the output format's prefix.
func withMagick(t testing.TB, data []byte, in string, args ...string) []byte {
	t.Helper()
	dir := t.TempDir()
	src, dst := filepath.Join(dir, "in"), filepath.Join(dir, "out")
	if err := os.WriteFile(src, data, 0o644); err != nil {
		t.Fatal(err)
	}
	last := len(args) - 1
	all := append([]string{in + src}, args[:last]...)
	magick(t, "convert", append(all, args[last]+dst)...)
	out, err := os.ReadFile(dst)
	if err != nil {
		t.Fatal(err)
	}
	return out
}

// progressive converts a PNG to a progressive JPEG.
func progressive(t testing.TB, pngData []byte, sampling string) []byte {
	t.Helper()
	return withMagick(t, pngData, "png:", "-interlace", "JPEG", "-sampling-factor", sampling, "-quality", "85", "jpg:")
}

// magickDecoded is what ImageMagick sees in a picture, after args.
func magickDecoded(t testing.TB, data []byte, args ...string) image.Image {
	t.Helper()
	args = append(args, "-define", "png:compression-level=1", "-depth", "8", "png24:")
	img, err := png.Decode(bytes.NewReader(withMagick(t, data, "", args...)))
	if err != nil {
		t.Fatal(err)
	}
	return img
}

// The preview of a 24-megapixel photograph against a full decode and Lanczos by ImageMagick. A JPEG of quality 85 made
// of ImageMagick's own reduction reaches 36.7 dB on this picture, so nearly all of the difference is the encoding.
func TestPreviewQualityAgainstImageMagick(t *testing.T) {
	data := photo24()
	p, _, err := Previews(t.Context(), data, 1, []int{2048, 320}, 85, Limits{})
	if err != nil {
		t.Fatal(err)
	}
	for i, want := range []float64{36, 30} {
		size := fmt.Sprintf("%dx%d!", p[i].Width, p[i].Height)
		ref := magickDecoded(t, data, "-filter", "Lanczos", "-resize", size)
		v := psnr(t, magickDecoded(t, p[i].JPEG), ref)
		t.Logf("%s: %.2f dB", size, v)
		if v < want {
			t.Errorf("%s: %.2f dB, want %.1f or more", size, v, want)
		}
	}
}

func TestOrientationAgainstImageMagick(t *testing.T) {
	ops := [9][]string{2: {"-flop"}, 3: {"-rotate", "180"}, 4: {"-flip"}, 5: {"-transpose"}, 6: {"-rotate", "90"}, 7: {"-transverse"}, 8: {"-rotate", "270"}}
	for _, size := range [][2]int{{320, 200}, {301, 203}} {
		data := encoded(t, scene(size[0], size[1], image.YCbCrSubsampleRatio420), 95, 0)
		for o := 1; o <= 8; o++ {
			for _, long := range []int{320, 121} {
				p, _ := mustPreview(t, data, o, long)
				resize := []string{"-filter", "Lanczos", "-resize", fmt.Sprintf("%dx%d!", p.Width, p.Height)}
				ref := magickDecoded(t, data, append(append([]string{}, ops[o]...), resize...)...)
				if v := psnr(t, magickDecoded(t, p.JPEG), ref); v < 31 {
					t.Errorf("%v, orientation %d at %d: %.1f dB", size, o, long, v)
				}
			}
		}
	}
}

// Our files in other hands: ImageMagick finds no fault with them and sees what was encoded.
func TestEncoderAgainstImageMagick(t *testing.T) {
	dir := t.TempDir()
	for _, ratio := range ratios {
		for _, size := range [][2]int{{1, 1}, {17, 33}, {200, 151}} {
			img := scene(size[0], size[1], ratio)
			for _, interval := range []int{0, 2} {
				data := encoded(t, img, 97, interval)
				name := filepath.Join(dir, "x.jpg")
				if err := os.WriteFile(name, data, 0o644); err != nil {
					t.Fatal(err)
				}
				want := fmt.Sprintf("JPEG %d %d 8", size[0], size[1])
				if got := magick(t, "identify", "-regard-warnings", "-format", "%m %w %h %z", name); got != want {
					t.Errorf("%v %v: identify says %q, want %q", ratio, size, got, want)
				}
				// libjpeg interpolates chroma where Go repeats it, so only brightness is close.
				got := magickDecoded(t, data, "-colorspace", "Gray")
				ref := &image.Gray{Pix: img.Y, Stride: img.YStride, Rect: img.Rect}
				if v := psnr(t, got, ref); v < 33 {
					t.Errorf("%v %v: brightness %.1f dB", ratio, size, v)
				}
			}
		}
	}
}

// Files written by libjpeg, with its own tables and sampling, decoded here and by libjpeg.
func TestDecodeFilesOfImageMagick(t *testing.T) {
	var src bytes.Buffer
	if err := png.Encode(&src, scene(211, 150, image.YCbCrSubsampleRatio444)); err != nil {
		t.Fatal(err)
	}
	for _, sampling := range []string{"1x1", "2x1", "2x2", "1x2", "4x1", "4x2", "2x2,2x1,2x1", "2x2,1x2,1x1"} {
		for _, quality := range []string{"30", "90", "100"} {
			data := withMagick(t, src.Bytes(), "png:", "-sampling-factor", sampling, "-quality", quality, "jpg:")
			if d := (&jpegDecoder{data: data, pos: 2}); d.readFrame() != nil || !d.ordinary() {
				t.Fatalf("%s: not an ordinary file", sampling)
			}
			p, _, err := Previews(t.Context(), data, 1, []int{211, 75}, 97, Limits{})
			if err != nil {
				t.Fatalf("%s: %v", sampling, err)
			}
			for _, one := range p {
				ref := magickDecoded(t, data, "-filter", "Lanczos", "-resize", fmt.Sprintf("%dx%d!", one.Width, one.Height))
				if v := psnr(t, magickDecoded(t, one.JPEG), ref); v < 31 { // the preview halves chroma
					t.Errorf("%s, quality %s at %d: %.1f dB", sampling, quality, one.Width, v)
				}
			}
			if !strings.Contains(sampling, ",") {
				sameAsStd(t, data, decoded(t, data))
			}
		}
	}
}
