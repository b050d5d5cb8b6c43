// Package archivetest makes signed reports to file and holds the checks that
// every kind of store and index of an archive must pass: Run, and Property, which
// compares an index with going through random rows one by one. It is for tests
// and measurements.
package archivetest

import (
	"bytes"
	"context"
	"crypto/rand"
	"fmt"
	"os"
	"path/filepath"
	"time"

	"wornwood/icons"
	"wornwood/pdfout"
	"wornwood/pdfout/reporttest"
	"wornwood/pdfout/sign"
)

// When is the time at which the reports are signed.
var When = time.Date(2026, 11, 14, 16, 5, 0, 0, reporttest.Zone)

// NewKey makes a signing key.
func NewKey(name string) (*sign.Identity, error) {
	return sign.NewKey(sign.Subject{Name: name}, When, rand.Reader)
}

// Report is a signed report of the invented demo instrument, number n: serial
// number 41000+n, of maker "Merrow & Finch" where n is odd. Photos are small.
func Report(id *sign.Identity, n int) ([]byte, error) {
	rec := reporttest.Demo(1)
	rec.Examination.Number = fmt.Sprintf("CR-2026-%04d", n)
	rec.Instrument.Serial = fmt.Sprint(41000 + n)
	if n%2 == 1 {
		rec.Instrument.Maker, rec.Instrument.Model, rec.Instrument.Year = "Merrow & Finch", "No. 3", "about 1962"
	}
	var drawn, signed bytes.Buffer
	ctx := context.Background()
	if _, err := pdfout.Build(ctx, pdfout.Input{Record: rec, Photos: &reporttest.Photos{Small: true}, Created: When, Signer: pdfout.SignerOf(id)}, &drawn, nil); err != nil {
		return nil, err
	}
	err := sign.Sign(ctx, bytes.NewReader(drawn.Bytes()), int64(drawn.Len()), &signed, id, sign.SignOptions{
		Field: sign.FieldExaminer, Now: When, Reason: "Report issued", Appearance: []string{"Signed in a test"}, Font: icons.Font("sans")})
	return signed.Bytes(), err
}

// Write writes n reports into a folder, which is made, and gives their paths.
func Write(dir string, id *sign.Identity, n int) ([]string, error) {
	if err := os.MkdirAll(dir, 0o755); err != nil {
		return nil, err
	}
	var out []string
	for i := range n {
		b, err := Report(id, i)
		if err != nil {
			return nil, err
		}
		p := filepath.Join(dir, fmt.Sprintf("report-%03d.pdf", i))
		if err := os.WriteFile(p, b, 0o644); err != nil {
			return nil, err
		}
		out = append(out, p)
	}
	return out, nil
}

// Countersigned is a copy of a report with a buyer's countersignature.
func Countersigned(report []byte, buyer *sign.Identity) ([]byte, error) {
	var out bytes.Buffer
	err := pdfout.Countersign(context.Background(), bytes.NewReader(report), int64(len(report)), &out, buyer, When)
	return out.Bytes(), err
}
