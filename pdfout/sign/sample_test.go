package sign

import (
	"bytes"
	"context"
	"crypto/rand"
	"fmt"
	"image"
	"image/jpeg"
	"sync"
	"testing"
	"time"

	"github.com/jung-kurt/gofpdf"
	"golang.org/x/image/font/gofont/goregular"

	"wornwood/pdfout/pdf"
)

// Names are invented.
var (
	signedAt  = time.Date(2025, 3, 14, 9, 26, 53, 0, time.UTC)
	countered = time.Date(2025, 3, 16, 18, 0, 0, 0, time.UTC)
)

const sampleRecord = `{"schema":"examination","serial":"41873","grade":72}`

func samplePhoto(t testing.TB, seed, w, h int) []byte {
	t.Helper()
	img := image.NewYCbCr(image.Rect(0, 0, w, h), image.YCbCrSubsampleRatio420)
	for i := range img.Y {
		img.Y[i] = uint8(i*seed ^ i>>5)
	}
	for i := range img.Cb {
		img.Cb[i], img.Cr[i] = 128+uint8(seed), 120
	}
	var b bytes.Buffer
	if err := jpeg.Encode(&b, img, nil); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// drawSample draws pages with photos of w by h pixels spread over them,
// nothing tagged.
func drawSample(t testing.TB, pages, photos, w, h int) []byte {
	t.Helper()
	f := gofpdf.New("P", "pt", "A4", "")
	f.SetCatalogSort(true)
	f.SetCreationDate(signedAt)
	f.AddUTF8FontFromBytes("text", "", goregular.TTF)
	n := 0
	for p := range pages {
		f.AddPage()
		f.SetFont("text", "", 11)
		f.Text(60, 60, fmt.Sprintf("Larkfoot Standard, page %d", p+1))
		for n < photos*(p+1)/pages {
			n++
			name := fmt.Sprintf("photo%d", n)
			opt := gofpdf.ImageOptions{ImageType: "JPG"}
			f.RegisterImageOptionsReader(name, opt, bytes.NewReader(samplePhoto(t, n+2, w, h)))
			f.ImageOptions(name, 60, 80+float64(n%8)*60, 80, 54, false, opt, 0, "")
		}
		f.LinkString(60, 700, 100, 12, "https://example.org/verify")
	}
	var b bytes.Buffer
	if err := f.Output(&b); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func sampleOptions() pdf.Options {
	return pdf.Options{
		Title: "Condition report", Author: "Anselm Tarry", Producer: "Wornwood", Created: signedAt, Lang: "en-GB",
		Attachments: []pdf.Attachment{{Name: "record.json", MediaType: "application/json", Data: []byte(sampleRecord)}},
		Fields: []pdf.Field{
			{Name: FieldExaminer, Page: 1, Rect: pdf.Rect{60, 60, 260, 110}, Contents: "Signature of the examiner"},
			{Name: FieldBuyer, Page: 1, Rect: pdf.Rect{300, 60, 500, 110}, Contents: "Signature of the buyer"},
		},
	}
}

func unsignedSample(t testing.TB) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := pdf.Rewrite(&b, drawSample(t, 2, 4, 64, 48), sampleOptions()); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// Keys are made once: they are slow, and no test changes one.
var (
	examinerKey = sync.OnceValues(func() (*Identity, error) {
		return NewKey(Subject{Name: "Anselm Tarry", Shop: "Merrow & Finch", Country: "GB"}, signedAt, rand.Reader)
	})
	buyerKey = sync.OnceValues(func() (*Identity, error) {
		return NewKey(Subject{Name: "Odile Penrose"}, signedAt, rand.Reader)
	})
)

func key(t testing.TB, make func() (*Identity, error)) *Identity {
	t.Helper()
	id, err := make()
	if err != nil {
		t.Fatal(err)
	}
	return id
}

func signBytes(t testing.TB, in []byte, id *Identity, opt SignOptions) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := Sign(context.Background(), bytes.NewReader(in), int64(len(in)), &b, id, opt); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func examinerOptions() SignOptions {
	return SignOptions{
		Field: FieldExaminer, Now: signedAt, Reason: "Condition report issued", Location: "Larkfoot",
		Appearance: []string{"Signed by Anselm Tarry", "Merrow & Finch", "14 March 2025, 09:26 UTC"}, Font: goregular.TTF,
	}
}

func buyerOptions() SignOptions {
	return SignOptions{
		Field: FieldBuyer, Now: countered, Reason: "Report received",
		Appearance: []string{"Received by Odile Penrose"}, Font: goregular.TTF,
	}
}

func signedSample(t testing.TB) []byte {
	t.Helper()
	return signBytes(t, unsignedSample(t), key(t, examinerKey), examinerOptions())
}

func countersigned(t testing.TB) []byte {
	t.Helper()
	return signBytes(t, signedSample(t), key(t, buyerKey), buyerOptions())
}

func verifyBytes(t testing.TB, data []byte, opt VerifyOptions) *Report {
	t.Helper()
	r, err := Verify(context.Background(), bytes.NewReader(data), int64(len(data)), opt)
	if err != nil {
		t.Fatal(err)
	}
	return r
}
