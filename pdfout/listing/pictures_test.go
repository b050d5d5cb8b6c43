package listing_test

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"image"
	"image/color"
	"image/jpeg"
	"image/png"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"wornwood/capture/record"
	"wornwood/capture/reduce"
	"wornwood/pdfout/listing"
	"wornwood/pdfout/pdfxtest"
)

// scene is a picture with much detail; in the rectangle secret it depends on the
// seed, elsewhere it does not.
func scene(w, h int, secret image.Rectangle, seed uint32) *image.RGBA {
	img := image.NewRGBA(image.Rect(0, 0, w, h))
	for y := range h {
		for x := range w {
			v := uint32(x*2654435761+y*40503) >> 7
			if (image.Point{X: x, Y: y}).In(secret) {
				v = (uint32(x)*73856093 ^ uint32(y)*19349663 ^ seed*83492791) >> 3
			}
			img.SetRGBA(x, y, color.RGBA{uint8(x/4) + uint8(v%64), uint8(y/4) + uint8(v/64%64), uint8(v / 256 % 200), 255})
		}
	}
	return img
}

func jpegOf(t testing.TB, img image.Image) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := jpeg.Encode(&b, img, &jpeg.Options{Quality: 90}); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func pictures(t testing.TB, data []byte, p *record.Photo, covers []listing.Cover, marks []record.Mark, d *listing.Draft) ([]listing.Picture, []string) {
	t.Helper()
	out, remarks, err := listing.Pictures(context.Background(), data, listing.Taken{Photo: p, Covers: covers}, marks, d)
	if err != nil {
		t.Fatal(err)
	}
	return out, remarks
}

func decode(t testing.TB, b []byte) image.Image {
	t.Helper()
	img, err := jpeg.Decode(bytes.NewReader(b))
	if err != nil {
		t.Fatal(err)
	}
	return img
}

// Two originals that differ only under the cover give the same bytes, in every
// orientation, at every size, as PNG or JPEG: nothing of what is covered is left.
// In JPEG a difference spreads over whole blocks, so this also shows that the
// cover is grown over them.
func TestCoverHidesEverything(t *testing.T) {
	const w, h = 403, 307
	for o := 1; o <= 8; o++ {
		up := listing.Cover{101.4, 83.2, 60.7, 140.9} // corners in any order, upright pixels
		p := &record.Photo{Name: "serial.jpg", Orientation: o, Width: w, Height: h}
		if o >= 5 {
			p.Width, p.Height = h, w
		}
		secret := storedRect(o, w, h, image.Rect(60, 83, 102, 141))
		for name, encode := range map[string]func(image.Image) []byte{
			"jpeg": func(m image.Image) []byte { return jpegOf(t, m) },
			"png": func(m image.Image) []byte {
				var b bytes.Buffer
				if err := png.Encode(&b, m); err != nil {
					t.Fatal(err)
				}
				return b.Bytes()
			},
		} {
			a, b := encode(scene(w, h, secret, 1)), encode(scene(w, h, secret, 2))
			if bytes.Equal(a, b) {
				t.Fatal("the originals do not differ")
			}
			before := bytes.Clone(a)
			d := &listing.Draft{Sizes: []int{350, 200}}
			got, _ := pictures(t, a, p, []listing.Cover{up}, nil, d)
			other, _ := pictures(t, b, p, []listing.Cover{up}, nil, d)
			bare, _ := pictures(t, a, p, nil, nil, d)
			for i := range got {
				if !bytes.Equal(got[i].JPEG, other[i].JPEG) {
					t.Errorf("orientation %d, %s, size %d: the covered pixels leave a trace", o, name, got[i].Size)
				}
				if bytes.Equal(got[i].JPEG, bare[i].JPEG) {
					t.Errorf("orientation %d, %s: the cover changed nothing", o, name)
				}
			}
			if !bytes.Equal(a, before) {
				t.Error("the original was changed")
			}
			flat(t, decode(t, got[0].JPEG), p, up)
		}
	}
}

// flat wants the middle of a cover to be one grey in the written picture; colour is
// coded in larger blocks and runs in from beside it.
func flat(t *testing.T, img image.Image, p *record.Photo, c listing.Cover) {
	t.Helper()
	k := float64(img.Bounds().Dx()) / float64(p.Width)
	r := c.Rect()
	for y := int(r.Min.Y*k) + 4; y < int(r.Max.Y*k)-4; y++ {
		for x := int(r.Min.X*k) + 4; x < int(r.Max.X*k)-4; x++ {
			if g := img.(*image.YCbCr).YCbCrAt(x, y); math.Abs(float64(g.Y)-112) > 8 {
				t.Fatalf("orientation %d: %v at %d,%d under the cover", p.Orientation, g, x, y)
			}
		}
	}
}

// storedRect is an upright rectangle in the stored picture.
func storedRect(o, w, h int, r image.Rectangle) image.Rectangle {
	ax, ay := reduce.Stored(o, w, h, r.Min.X, r.Min.Y)
	bx, by := reduce.Stored(o, w, h, r.Max.X-1, r.Max.Y-1)
	return image.Rect(min(ax, bx), min(ay, by), max(ax, bx)+1, max(ay, by)+1)
}

// What exiftool and ImageMagick say of a written photo whose original carries a
// place, a serial number and an owner: none of it, and that it is sRGB.
func TestNoMetadata(t *testing.T) {
	path := pdfxtest.Write(t, "in.jpg", jpegOf(t, scene(1200, 900, image.Rectangle{}, 1)))
	pdfxtest.Output(t, "exiftool", "-overwrite_original", "-GPSLatitude=52.5", "-GPSLatitudeRef=N", "-GPSLongitude=13.4", "-GPSLongitudeRef=E", "-SerialNumber=SN-998877", "-Artist=Somebody Else",
		"-XMP:Creator=Somebody Else", "-Comment=a comment", "-Make=Camera one", path)
	data, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Contains(data, []byte("SN-998877")) {
		t.Fatal("the original carries no serial number")
	}
	for name, covers := range map[string][]listing.Cover{"bare": nil, "covered": {{10, 10, 100, 100}}} {
		got, _ := pictures(t, data, &record.Photo{Name: "in.jpg", Orientation: 1, Width: 1200, Height: 900}, covers, nil, &listing.Draft{Sizes: []int{800}})
		out := pdfxtest.Write(t, "out.jpg", got[0].JPEG)
		var tags []map[string]any
		if err := json.Unmarshal([]byte(pdfxtest.Output(t, "exiftool", "-json", "-G", "-a", out)), &tags); err != nil {
			t.Fatal(err)
		}
		profile := false
		for k, v := range tags[0] {
			group, _, _ := strings.Cut(k, ":")
			switch group {
			case "SourceFile", "ExifTool", "File", "JFIF", "Composite", "ICC_Profile":
			default:
				t.Errorf("%s: %s is %v", name, k, v)
			}
			for _, bad := range []string{"GPS", "Serial", "Artist", "Creator", "Make", "Comment"} {
				if strings.Contains(k, ":"+bad) {
					t.Errorf("%s: %s is %v", name, k, v)
				}
			}
			profile = profile || k == "ICC_Profile:ProfileDescription" && strings.Contains(fmt.Sprint(v), "sRGB")
		}
		if !profile {
			t.Errorf("%s: exiftool finds no sRGB profile: %v", name, tags[0])
		}
		if s := pdfxtest.Output(t, "identify", "-format", "%w %h %[colorspace] %[profile:icc]", out); s != "800 600 sRGB sRGB IEC61966-2.1" {
			t.Errorf("%s: identify says %q", name, s)
		}
	}
}

// transicc of Little CMS converts what a camera's profile means to sRGB; the
// written photo has those numbers, but for JPEG's coding.
func TestColoursBecomeSRGB(t *testing.T) {
	profile, err := os.ReadFile("/usr/share/color/icc/colord/AdobeRGB1998.icc") // Debian package colord-data
	if err != nil {
		t.Fatal(err)
	}
	colours := []color.RGBA{{120, 90, 60, 255}, {60, 120, 90, 255}, {200, 180, 160, 255}, {40, 40, 60, 255}, {128, 128, 128, 255}, {160, 60, 50, 255}}
	img := image.NewRGBA(image.Rect(0, 0, 64*len(colours), 64))
	var in strings.Builder
	for i, c := range colours {
		fmt.Fprintf(&in, "%d %d %d\n", c.R, c.G, c.B)
		for y := range 64 {
			for x := range 64 {
				img.SetRGBA(64*i+x, y, c)
			}
		}
	}
	var b bytes.Buffer
	if err := jpeg.Encode(&b, img, &jpeg.Options{Quality: 100}); err != nil {
		t.Fatal(err)
	}
	data := withProfile(b.Bytes(), profile)
	got, remarks := pictures(t, data, &record.Photo{Name: "a.jpg", Width: 64 * len(colours), Height: 64}, nil, nil, &listing.Draft{Sizes: []int{1600}, Quality: 100})
	if len(remarks) > 0 {
		t.Error(remarks)
	}
	cmd := exec.Command("transicc", "-n", "-t1", "-i", "/usr/share/color/icc/colord/AdobeRGB1998.icc", "-o", "*sRGB")
	cmd.Stdin = strings.NewReader(in.String())
	ref, err := cmd.Output()
	if err != nil {
		t.Fatalf("transicc (Debian package liblcms2-utils): %v", err)
	}
	out := decode(t, got[0].JPEG)
	moved := 0.0
	lines := strings.Split(strings.TrimSpace(string(ref)), "\n")
	for i, c := range colours {
		var want [3]float64
		if _, err := fmt.Sscan(lines[i], &want[0], &want[1], &want[2]); err != nil {
			t.Fatalf("transicc says %q", lines[i])
		}
		g := color.NRGBAModel.Convert(out.At(64*i+32, 32)).(color.NRGBA)
		for k, v := range []uint8{g.R, g.G, g.B} {
			if math.Abs(float64(v)-max(0, min(255, want[k]))) > 3 { // JPEG's coding, twice
				t.Errorf("%v became %v, Little CMS says %.1f", c, g, want)
			}
		}
		moved = max(moved, math.Abs(want[0]-float64(c.R)))
	}
	if moved < 8 {
		t.Error("the profile changes nothing, so nothing was checked")
	}
}

// withProfile puts an ICC profile into a JPEG.
func withProfile(jpg, profile []byte) []byte {
	n := 16 + len(profile)
	seg := append([]byte{0xff, 0xe2, byte(n >> 8), byte(n)}, "ICC_PROFILE\x00\x01\x01"...)
	return append(append(append(bytes.Clone(jpg[:2]), seg...), profile...), jpg[2:]...)
}

// Pins are burned in at every size, where the mark is, and only on its photos.
func TestPins(t *testing.T) {
	img := image.NewRGBA(image.Rect(0, 0, 1000, 700))
	for i := range img.Pix {
		img.Pix[i] = 0x80 | 0x7f*uint8(i%4/3)
	}
	p := &record.Photo{ID: "a", Name: "a.jpg", Width: 1000, Height: 700}
	marks := []record.Mark{{Number: 7, Kind: "ding", Depth: record.IntoWood, Photos: []record.PhotoPlace{{Photo: "a", Shape: record.PointShape, Points: []record.Point{{X: 300, Y: 200}}}}}}
	d := &listing.Draft{Sizes: []int{1000, 500}}
	bare, _ := pictures(t, jpegOf(t, img), p, nil, marks, d)
	d.Pins = true
	with, _ := pictures(t, jpegOf(t, img), p, nil, marks, d)
	other, _ := pictures(t, jpegOf(t, img), &record.Photo{ID: "b", Name: "b.jpg", Width: 1000, Height: 700}, nil, marks, d)
	for i, k := range []float64{1, 0.5} {
		a, b := decode(t, bare[i].JPEG), decode(t, with[i].JPEG)
		box := image.Rectangle{}
		for y := range a.Bounds().Dy() {
			for x := range a.Bounds().Dx() {
				ca, cb := color.GrayModel.Convert(a.At(x, y)).(color.Gray), color.GrayModel.Convert(b.At(x, y)).(color.Gray)
				if math.Abs(float64(ca.Y)-float64(cb.Y)) > 24 {
					box = box.Union(image.Rect(x, y, x+1, y+1))
				}
			}
		}
		at := image.Pt(int(300*k), int(200*k))
		if box.Empty() || !at.In(box.Inset(-int(30*k))) || box.Dx() > int(120*k) {
			t.Errorf("the pin at %v changed %v", at, box)
		}
		if !bytes.Equal(other[i].JPEG, bare[i].JPEG) {
			t.Error("a photo without marks has a pin")
		}
	}
}

// Small photos are not enlarged; a broken one says so; what is no photo is an
// error that names it.
func TestOddPhotos(t *testing.T) {
	small := jpegOf(t, scene(300, 200, image.Rectangle{}, 1))
	p := &record.Photo{Name: "small.jpg", Width: 300, Height: 200}
	got, _ := pictures(t, small, p, nil, nil, &listing.Draft{Sizes: []int{1600, 800}})
	if len(got) != 2 || got[0].Width != 300 || got[1].Height != 200 {
		t.Errorf("%d x %d", got[0].Width, got[0].Height)
	}
	for _, covers := range [][]listing.Cover{nil, {{0, 0, 20, 20}}} {
		if _, remarks := pictures(t, small[:len(small)/2], p, covers, nil, &listing.Draft{}); len(remarks) == 0 {
			t.Error("half a photo passes without a word")
		}
	}
	if _, _, err := listing.Pictures(context.Background(), []byte("no photo"), listing.Taken{Photo: p}, nil, &listing.Draft{}); err == nil {
		t.Error("a text passes for a photo")
	}
	gray := image.NewGray(image.Rect(0, 0, 300, 200))
	for _, covers := range [][]listing.Cover{nil, {{-40, 20, 5000, 90}}} {
		got, _ := pictures(t, jpegOf(t, gray), p, covers, nil, &listing.Draft{})
		if c := color.GrayModel.Convert(decode(t, got[0].JPEG).At(150, 50)).(color.Gray); (c.Y > 100) != (covers != nil) {
			t.Errorf("covers %v: %v", covers, c)
		}
	}
}

// keep writes pictures of the package to look at.
func keep(t testing.TB, name string, data []byte) {
	if dir := os.Getenv("WORNWOOD_PICTURES"); dir != "" {
		if err := os.WriteFile(filepath.Join(dir, name), data, 0o644); err != nil {
			t.Fatal(err)
		}
	}
}

// The demonstration's photo with pins and a cover, to look at.
func TestDemoPhoto(t *testing.T) {
	data, err := os.ReadFile("../../testdata/demo/front.jpg")
	if err != nil {
		t.Fatal(err)
	}
	cfg, err := jpeg.DecodeConfig(bytes.NewReader(data))
	if err != nil {
		t.Fatal(err)
	}
	p := &record.Photo{ID: "a", Name: "front.jpg", Width: cfg.Width, Height: cfg.Height}
	w, h := float64(cfg.Width), float64(cfg.Height)
	marks := []record.Mark{
		{Number: 1, Kind: "ding", Depth: record.InFinish, Photos: []record.PhotoPlace{{Photo: "a", Shape: record.PointShape, Points: []record.Point{{X: w * 0.4, Y: h * 0.5}}}}},
		{Number: 12, Kind: "wear-through", Depth: record.Through, Photos: []record.PhotoPlace{{Photo: "a", Shape: record.AreaShape, Points: []record.Point{{X: w * 0.6, Y: h * 0.6}, {X: w * 0.7, Y: h * 0.6}, {X: w * 0.65, Y: h * 0.7}}}}},
	}
	got, _ := pictures(t, data, p, []listing.Cover{{w * 0.1, h * 0.1, w * 0.25, h * 0.16}}, marks, &listing.Draft{Pins: true})
	if got[0].Width != 1600 && got[0].Height != 1600 {
		t.Errorf("%d x %d", got[0].Width, got[0].Height)
	}
	keep(t, "listing-front.jpg", got[0].JPEG)
}
