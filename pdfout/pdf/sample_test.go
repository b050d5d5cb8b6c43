package pdf

import (
	"bytes"
	"fmt"
	"image"
	"image/color"
	"image/jpeg"
	"image/png"
	"testing"
	"time"

	"github.com/jung-kurt/gofpdf"
	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/goregular"
)

// Titles and names are invented.
var sampleTime = time.Date(2025, 3, 14, 9, 26, 53, 0, time.UTC)

func sampleJPEG(t testing.TB, seed, w, h int) []byte {
	t.Helper()
	img := image.NewRGBA(image.Rect(0, 0, w, h))
	for y := range h {
		for x := range w {
			img.Set(x, y, color.RGBA{uint8(x*seed + y), uint8(y * seed), uint8(x ^ y*seed), 255})
		}
	}
	var b bytes.Buffer
	if err := jpeg.Encode(&b, img, &jpeg.Options{Quality: 85}); err != nil {
		t.Fatal(err)
	}
	// A comment and a camera segment, which must not reach the report.
	extra := []byte("\xFF\xE1\x00\x10Exif\x00\x00SECRETGP\xFF\xFE\x00\x08COMMEN")
	return append(append([]byte{0xFF, 0xD8}, extra...), b.Bytes()[2:]...)
}

func samplePNG(t testing.TB) []byte {
	t.Helper()
	img := image.NewNRGBA(image.Rect(0, 0, 20, 20))
	for i := range img.Pix {
		img.Pix[i] = uint8(i)
	}
	var b bytes.Buffer
	if err := png.Encode(&b, img); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// sampleDrawn draws two pages with everything the rewrite has to mend: fonts,
// pictures of equal width, transparency, links both ways, bookmarks, tags.
func sampleDrawn(t testing.TB) []byte {
	t.Helper()
	f := gofpdf.New("P", "mm", "A4", "")
	f.SetCatalogSort(true)
	f.SetCreationDate(sampleTime)
	f.AddUTF8FontFromBytes("text", "", goregular.TTF)
	f.AddUTF8FontFromBytes("text", "B", gobold.TTF)
	pictures := map[string][]byte{}
	for i := range 6 {
		pictures[fmt.Sprintf("photo%d", i)] = sampleJPEG(t, i+3, 48, 32)
	}
	mcid := 0
	tag := func(kind string, draw func()) {
		f.RawWriteStr(fmt.Sprintf("/%s <</MCID %d>> BDC\n", kind, mcid))
		draw()
		f.RawWriteStr("EMC\n")
		mcid++
	}
	f.AddPage()
	f.Bookmark("Summary", 0, -1)
	tag("H1", func() { f.SetFont("text", "B", 16); f.Text(20, 30, "Condition of the Larkfoot Standard") })
	tag("P", func() {
		f.SetFont("text", "", 9)
		f.Text(20, 40, "Maße, Größe: 1 − 2 ≤ 3 … “quoted” Ωж")
	})
	next := f.AddLink()
	tag("Link", func() { f.Text(20, 50, "see the photographs") })
	f.Link(20, 46, 40, 6, next)
	f.LinkString(20, 60, 40, 6, "https://example.org/how-to-verify")
	mcid = 0
	f.AddPage()
	f.SetLink(next, 0, 2)
	f.Bookmark("Photographs", 0, -1)
	f.Bookmark("Front", 1, 30)
	f.Bookmark("Back", 1, 60)
	tag("Figure", func() {
		for i := range 6 {
			name := fmt.Sprintf("photo%d", i)
			opt := gofpdf.ImageOptions{ImageType: "JPG"}
			f.RegisterImageOptionsReader(name, opt, bytes.NewReader(pictures[name]))
			f.ImageOptions(name, 20+float64(i)*25, 40, 24, 16, false, opt, 0, "")
		}
		opt := gofpdf.ImageOptions{ImageType: "PNG"}
		f.RegisterImageOptionsReader("mask", opt, bytes.NewReader(samplePNG(t)))
		f.ImageOptions("mask", 20, 70, 24, 16, false, opt, 0, "")
	})
	f.RawWriteStr("/Artifact BMC\n")
	f.SetAlpha(0.5, "Normal")
	f.Rect(20, 100, 40, 10, "F")
	f.RawWriteStr("EMC\n")
	var b bytes.Buffer
	if err := f.Output(&b); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func sampleOptions() Options {
	return Options{
		Title: "Condition report: Larkfoot Standard, 1974", Author: "A. Tarry & Söhne", Subject: "Serial 41873",
		Keywords: "condition, Larkfoot", Producer: "Wornwood", Created: sampleTime, Lang: "en-GB",
		Attachments: []Attachment{
			{Name: "record.json", MediaType: "application/json", Description: "The record", Data: []byte(`{"grade":72}`)},
			{Name: "Anmerkung ä.txt", MediaType: "text/plain", Relationship: "Supplement", Data: []byte("hello")},
		},
		Fields: []Field{
			{Name: "Examiner", Page: 1, Rect: Rect{60, 60, 260, 110}, Contents: "Signature of the examiner"},
			{Name: "Buyer", Page: 1, Rect: Rect{300, 60, 500, 110}, Contents: "Signature of the buyer"},
		},
		Structure: []Element{
			{Type: "H1", Content: []Mark{{1, 0}}},
			{Type: "P", Content: []Mark{{1, 1}}},
			{Type: "P", Children: []Element{{Type: "Link", Content: []Mark{{1, 2}}, Links: []LinkRef{{1, 0}}}}},
			{Type: "Figure", Content: []Mark{{2, 0}}, Alt: "Seven pictures", BBox: Rect{50, 500, 500, 740}},
		},
	}
}

func rewriteSample(t testing.TB, opt Options) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := Rewrite(&b, sampleDrawn(t), opt); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

var zeroTime time.Time

func plainOptions() Options {
	return Options{Title: "Plain", Created: sampleTime, Lang: "en"}
}

// drawText draws one page with one untagged line.
func drawText(t testing.TB, s string) []byte {
	t.Helper()
	f := gofpdf.New("P", "mm", "A4", "")
	f.SetCreationDate(sampleTime)
	f.AddUTF8FontFromBytes("text", "", goregular.TTF)
	f.AddPage()
	f.SetFont("text", "", 12)
	f.Text(20, 20, s)
	var b bytes.Buffer
	if err := f.Output(&b); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}
