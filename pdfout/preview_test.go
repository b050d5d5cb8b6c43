package pdfout

import (
	"context"
	"fmt"
	"image"
	"image/png"
	"math"
	"os"
	"path/filepath"
	"testing"

	"wornwood/pdfout/pdfxtest"
	"wornwood/pdfout/reporttest"
)

// previewOf lays out the demo for a screen.
func previewOf(t testing.TB, paper string) (*Preview, Input) {
	t.Helper()
	in := Input{Record: reporttest.Demo(6), Photos: &reporttest.Photos{}, Created: issuedAt, Paper: paper, Signer: SignerOf(examiner(t))}
	p, err := NewPreview(context.Background(), in, nil)
	if err != nil {
		t.Fatal(err)
	}
	return p, in
}

// The pages on the screen are those of the file: poppler draws the file, and the
// two differ in smoothing only.
func TestPreviewIsTheReport(t *testing.T) {
	for _, paper := range []string{"A4", "Letter"} {
		p, in := previewOf(t, paper)
		path := build(t, in.Record, func(i *Input) { i.Paper, i.Photos, i.Signer = paper, in.Photos, in.Signer })
		const dpi = 100
		dir := t.TempDir()
		pdfxtest.Output(t, "pdftoppm", "-r", fmt.Sprint(dpi), "-png", path, filepath.Join(dir, "p"))
		files, err := filepath.Glob(filepath.Join(dir, "p-*.png"))
		if err != nil || len(files) != p.Pages() {
			t.Fatalf("%s: the preview has %d pages, the file %d (%v)", paper, p.Pages(), len(files), err)
		}
		for n, f := range files {
			ours, err := p.Render(n+1, dpi/25.4)
			if err != nil {
				t.Fatal(err)
			}
			theirs := readPNG(t, f)
			if keep := os.Getenv("WORNWOOD_REPORTS"); keep != "" {
				writePNG(t, filepath.Join(keep, fmt.Sprintf("preview-%s-%d.png", paper, n+1)), ours)
			}
			mean, far := compare(ours, theirs)
			t.Logf("%s page %d: mean difference %.2f of 255, %.2f %% of places far off", paper, n+1, mean, 100*far)
			if mean > 6 || far > 0.02 { // text is smoothed otherwise
				t.Errorf("%s page %d differs from the file: mean %.2f of 255, %.2f %% of places far off", paper, n+1, mean, 100*far)
			}
		}
	}
}

// compare blurs both by squares of four pixels, so that smoothing does not
// count, and gives the mean difference and the share of squares more than 48
// grey values apart.
func compare(a, b image.Image) (mean, far float64) {
	const side = 4
	r := a.Bounds().Intersect(b.Bounds())
	n := 0.0
	for y := r.Min.Y; y+side <= r.Max.Y; y += side {
		for x := r.Min.X; x+side <= r.Max.X; x += side {
			d := math.Abs(greyOf(a, x, y, side) - greyOf(b, x, y, side))
			mean += d
			if d > 48 {
				far++
			}
			n++
		}
	}
	return mean / n, far / n
}

func greyOf(img image.Image, x0, y0, side int) float64 {
	sum := 0.0
	for y := y0; y < y0+side; y++ {
		for x := x0; x < x0+side; x++ {
			r, g, b, _ := img.At(x, y).RGBA()
			sum += 0.299*float64(r>>8) + 0.587*float64(g>>8) + 0.114*float64(b>>8)
		}
	}
	return sum / float64(side*side)
}

func readPNG(t testing.TB, path string) image.Image {
	t.Helper()
	f, err := os.Open(path)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	img, err := png.Decode(f)
	if err != nil {
		t.Fatal(err)
	}
	return img
}

func writePNG(t testing.TB, path string, img image.Image) {
	t.Helper()
	f, err := os.Create(path)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	if err := png.Encode(f, img); err != nil {
		t.Fatal(err)
	}
}

// The comparison bites: another page, and the same without its signer, are far
// off.
func TestPreviewComparisonBites(t *testing.T) {
	p, in := previewOf(t, "A4")
	draw := func(p *Preview, n int) image.Image {
		img, err := p.Render(n, 4)
		if err != nil {
			t.Fatal(err)
		}
		return img
	}
	in.Signer = Signer{}
	other, err := NewPreview(context.Background(), in, nil)
	if err != nil {
		t.Fatal(err)
	}
	last := p.Pages() - 1
	for name, b := range map[string]image.Image{"another page": draw(p, last-1), "without its signer": draw(other, last)} {
		if mean, far := compare(draw(p, last), b); mean <= 6 && far <= 0.02 {
			t.Errorf("%s counts as the same: mean %.2f, %.2f %% far off", name, mean, 100*far)
		}
	}
}

func TestPreviewRefuses(t *testing.T) {
	p, _ := previewOf(t, "A4")
	for _, c := range []struct {
		n int
		k float64
	}{{0, 4}, {p.Pages() + 1, 4}, {1, 0}, {1, 1e6}, {1, math.NaN()}} {
		if _, err := p.Render(c.n, c.k); err == nil {
			t.Errorf("page %d at %g is drawn", c.n, c.k)
		}
	}
	if _, err := NewPreview(context.Background(), Input{}, nil); err == nil {
		t.Error("nothing is previewed")
	}
}

// BenchmarkPreviewPage draws each page as a screen shows it, photos decoded.
func BenchmarkPreviewPage(b *testing.B) {
	p, _ := previewOf(b, "A4")
	for n := 1; n <= p.Pages(); n++ {
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			for b.Loop() {
				if _, err := p.Render(n, 4.5); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

// BenchmarkPreviewLayout lays the report out after an edit.
func BenchmarkPreviewLayout(b *testing.B) {
	_, in := previewOf(b, "A4")
	for b.Loop() {
		if _, err := NewPreview(context.Background(), in, nil); err != nil {
			b.Fatal(err)
		}
	}
}
