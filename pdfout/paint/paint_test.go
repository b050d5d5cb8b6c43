package paint

import (
	"bytes"
	"image"
	"image/color"
	"image/jpeg"
	_ "image/png"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"wornwood/annotate/draw"
	"wornwood/annotate/shape"
	"wornwood/pdfout/pdf"
	"wornwood/pdfout/pdfxtest"
)

func newDoc(t *testing.T) *Doc {
	t.Helper()
	d, err := New(Options{Width: 210, Height: 297, Title: "Test", Created: time.Date(2026, 11, 25, 9, 0, 0, 0, time.UTC)})
	if err != nil {
		t.Fatal(err)
	}
	d.AddPage()
	return d
}

func noise(w, h int, seed uint32) image.Image {
	img := image.NewRGBA(image.Rect(0, 0, w, h))
	for y := range h {
		for x := range w {
			seed = seed*1664525 + 1013904223
			img.Set(x, y, color.RGBA{uint8(x * 255 / w), uint8(y * 255 / h), uint8(seed >> 28), 255})
		}
	}
	return img
}

func encode(t *testing.T, img image.Image) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := jpeg.Encode(&b, img, nil); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// finish rewrites the document and returns its path.
func finish(t *testing.T, d *Doc) string {
	t.Helper()
	drawn, err := d.Bytes()
	if err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(t.TempDir(), "out.pdf")
	f, err := os.Create(path)
	if err != nil {
		t.Fatal(err)
	}
	var plain bytes.Buffer
	err = pdf.Rewrite(&plain, drawn, pdf.Options{Title: "Test", Lang: "en-GB", Created: time.Date(2026, 11, 25, 9, 0, 0, 0, time.UTC), Structure: d.Structure()})
	if err == nil {
		err = d.Finish(f, plain.Bytes())
	}
	if cerr := f.Close(); err != nil || cerr != nil {
		t.Fatal(err, cerr)
	}
	return path
}

// Text, paths, drawings and pictures come out as other programs read them:
// qpdf finds no fault, pdftotext the words, pdffonts embedded subsets and
// pdfimages the very JPEG that went in.
func TestPage(t *testing.T) {
	d := newDoc(t)
	photo := encode(t, noise(64, 48, 7))
	p, err := d.Picture("one", func() ([]byte, error) { return photo, nil })
	if err != nil {
		t.Fatal(err)
	}
	d.Group("Document", func() {
		d.Tag("H1", func() { d.Text(20, 30, "Østergård Δ ΔE", Font{Face: Serif, Size: 20}, Black) })
		d.Text(20, 40, "LABEL", Font{Face: CondBold, Size: 6.6, Track: 0.35}, Dim)
		d.Right(190, 40, Minus(-3.04, 1), Font{Face: Cond, Size: 8}, Black)
		d.Figure("a test picture", 20, 50, 80, 60, func() {
			d.Place(p, 20, 50, 80, 60)
			d.Ops(draw.List{{Path: Disc(50, 50, 10), Fill: draw.Hex(0x808080), Stroke: draw.Hex(0), Width: 1}}, shape.Identity())
		})
		d.Cover(p, 120, 50, 30, 30)
		d.Lead(20, 120, 40, 5, 1, 0, func() { d.Text(20, 124, "a link", Font{Face: Sans, Size: 8}, Black) })
	})
	path := finish(t, d)
	pdfxtest.Check(t, path)
	text := pdfxtest.Output(t, "pdftotext", "-layout", path, "-")
	for _, want := range []string{"Østergård Δ ΔE", "LABEL", "−3.0", "a link"} {
		if !strings.Contains(text, want) {
			t.Errorf("pdftotext does not find %q in\n%s", want, text)
		}
	}
	dir := t.TempDir()
	pdfxtest.Output(t, "pdfimages", "-all", path, filepath.Join(dir, "p"))
	got, err := os.ReadFile(filepath.Join(dir, "p-000.jpg"))
	if err != nil {
		t.Fatal(err)
	}
	want, err := Strip(photo)
	if err != nil || !bytes.Equal(got, want) {
		t.Errorf("pdfimages gives other bytes than went in (%v)", err)
	}
}

// A picture that begins left of and above the page, and is shown through a
// frame, stands where it was placed: rendered by pdftoppm, the frame is white
// left of the picture's middle and black right of it.
func TestPlaceOutsidePage(t *testing.T) {
	d := newDoc(t)
	half := image.NewGray(image.Rect(0, 0, 400, 300))
	for y := range 300 {
		for x := range 200 {
			half.SetGray(x, y, color.Gray{255})
		}
	}
	b := encode(t, half)
	p, err := d.Picture("half", func() ([]byte, error) { return b, nil })
	if err != nil {
		t.Fatal(err)
	}
	d.Group("Document", func() {
		d.Figure("half", 20, 20, 60, 40, func() {
			d.ClipBox(20, 20, 60, 40, func() { d.Place(p, -350, -280, 800, 600) }) // its middle is at x 50
		})
	})
	png := filepath.Join(t.TempDir(), "page")
	pdfxtest.Output(t, "pdftoppm", "-gray", "-png", "-singlefile", "-r", "50.8", finish(t, d), png)
	f, err := os.Open(png + ".png")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	img, _, err := image.Decode(f)
	if err != nil {
		t.Fatal(err)
	}
	for x, want := range map[int]bool{45: true, 55: false, 25: true, 75: false} { // mm; two pixels to each
		r, _, _, _ := img.At(2*x, 2*40).RGBA()
		if white := r > 0x8000; white != want {
			t.Errorf("at %d mm the page is white: %v", x, white)
		}
	}
}

func TestRefusedCharacter(t *testing.T) {
	for _, s := range []string{"clef 𝄞", "note ♫", "a\tb"} {
		d := newDoc(t)
		d.Text(20, 20, s, Font{Face: Sans, Size: 8}, Black)
		_, err := d.Bytes()
		if err == nil || !strings.Contains(err.Error(), "U+") {
			t.Errorf("%q: %v", s, err)
		}
		if CheckText(s) == nil {
			t.Errorf("CheckText lets %q pass", s)
		}
	}
	if err := CheckText("M. Østergård-Łuczak, “Nº 3”, ΔE 9.8 ± 0.4, 62 × 38 mm, Ωμέγα, Ёж"); err != nil {
		t.Error(err)
	}
}

// The widths that layout counts with are those the file prints: pdftotext
// -bbox reports where each word ends, in points.
func TestWidthAgainstReader(t *testing.T) {
	for _, f := range []Font{{Face: Serif, Size: 20}, {Face: Sans, Size: 8.2}, {Face: Cond, Size: 7.4}, {Face: Mono, Size: 6}, {Face: CondBold, Size: 6.6, Track: 0.35}} {
		d := newDoc(t)
		const word = "Wornwood-Ægis±0123456789"
		d.Group("Document", func() { d.Text(20, 20, word, f, Black) })
		out := pdfxtest.Output(t, "pdftotext", "-bbox", finish(t, d), "-")
		var x0, x1 float64
		if _, err := scanWord(out, &x0, &x1); err != nil {
			t.Fatal(err)
		}
		want := Width(word, f) / pt
		if diff := x1 - x0 - want; diff > 0.5 || diff < -0.5 {
			t.Errorf("%s: counted %.2f pt, the reader says %.2f", f.Face, want, x1-x0)
		}
	}
}

func TestWrapKeepsWidth(t *testing.T) {
	f := Font{Face: Sans, Size: 8.2}
	rapid.Check(t, func(t *rapid.T) {
		s := strings.Join(rapid.SliceOfN(rapid.StringMatching(`[A-Za-z0-9/-]{1,60}`), 0, 30).Draw(t, "words"), " ")
		w := rapid.Float64Range(10, 120).Draw(t, "width")
		lines := Wrap(s, f, w)
		for _, l := range lines {
			if Width(l, f) > w+1e-9 {
				t.Fatalf("line %q is %.2f mm of %.2f", l, Width(l, f), w)
			}
		}
		squeeze := func(s string) string { return strings.Join(strings.Fields(s), "") }
		if squeeze(strings.Join(lines, "")) != squeeze(s) {
			t.Fatalf("wrapping lost something of %q: %q", s, lines)
		}
		for _, l := range Clamp(lines, 2, f, w) {
			if Width(l, f) > w+1e-9 {
				t.Fatalf("clamped line %q is too wide", l)
			}
		}
	})
}

// Metadata goes, the picture stays: the segments are those of ITU-T T.81
// annex B; the pixels before and after are compared.
func TestStrip(t *testing.T) {
	plain := encode(t, noise(80, 60, 3))
	exif := append([]byte{0xFF, 0xE1, 0, 24}, "Exif\x00\x00GPS 51.5 N 0.1 W"...)
	note := append([]byte{0xFF, 0xFE, 0, 9}, "a place"...)
	with := append(append(append([]byte{}, plain[:2]...), append(exif[:26:26], note...)...), plain[2:]...)
	with = append(with, "a second picture behind the first"...)
	if _, err := jpeg.Decode(bytes.NewReader(with)); err != nil {
		t.Fatal("the test's own file is broken:", err)
	}
	got, err := Strip(with)
	if err != nil {
		t.Fatal(err)
	}
	for _, gone := range []string{"GPS", "a place", "a second"} {
		if bytes.Contains(got, []byte(gone)) {
			t.Errorf("%q is still there", gone)
		}
	}
	if !bytes.Equal(got, plain) {
		t.Error("more than the metadata changed")
	}
	for n := range len(with) - 40 {
		if out, err := Strip(with[:n]); err == nil {
			if _, err := jpeg.Decode(bytes.NewReader(out)); err != nil {
				t.Fatalf("cut at %d: accepted but cannot be read", n)
			}
		}
	}
}

func TestMinus(t *testing.T) {
	for v, want := range map[float64]string{-3: "−3.0", 0: "0.0", -0.04: "0.0", 12.25: "12.2", -0.06: "−0.1"} {
		if got := Minus(v, 1); got != want {
			t.Errorf("%g: %q, want %q", v, got, want)
		}
	}
}

// FuzzStrip strips what is no JPEG and what is nearly one: what comes back
// carries no application segment but APP14 before its scans, and can be read
// whenever the original could.
func FuzzStrip(f *testing.F) {
	var b bytes.Buffer
	if err := jpeg.Encode(&b, noise(16, 16, 1), nil); err != nil {
		f.Fatal(err)
	}
	f.Add(b.Bytes())
	f.Add(append([]byte{0xFF, 0xD8, 0xFF, 0xE1, 0, 4, 1, 2}, b.Bytes()[2:]...))
	f.Add([]byte{0xFF, 0xD8, 0xFF, 0xD9})
	f.Fuzz(func(t *testing.T, in []byte) {
		out, err := Strip(in)
		if err != nil {
			return
		}
		if bytes.HasPrefix(out[2:], []byte{0xFF, 0xE1}) || bytes.HasPrefix(out[2:], []byte{0xFF, 0xFE}) || len(out) > len(in) {
			t.Fatalf("%x became %x", in, out)
		}
		if again, err := Strip(out); err != nil || !bytes.Equal(again, out) {
			t.Fatalf("stripping twice changes it: %v", err)
		}
	})
}
