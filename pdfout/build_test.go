package pdfout

import (
	"bytes"
	"context"
	"os"
	"path/filepath"
	"testing"
	"time"

	"wornwood/capture/record"
	"wornwood/pdfout/reporttest"
)

var issuedAt = time.Date(2026, 11, 14, 16, 5, 0, 0, reporttest.Zone)

var testSigner = Signer{Name: "M. Østergård-Łuczak, Fen Street Instruments", Key: "7f2a91c40d55e8b37f2a91c40d55e8b37f2a91c40d55e8b37f2a91c40d55e8b3"}

// build makes the report of a record and returns the file's path.
func build(t testing.TB, r *record.Record, change func(*Input)) string {
	t.Helper()
	in := Input{Record: r, Photos: &reporttest.Photos{Small: len(r.Photos) > 60}, Created: issuedAt, Signer: testSigner}
	if change != nil {
		change(&in)
	}
	var b bytes.Buffer
	if _, err := Build(context.Background(), in, &b, nil); err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(t.TempDir(), "report.pdf")
	if dir := os.Getenv("REPORTS"); dir != "" { // keep the files to look at
		path = filepath.Join(dir, filepath.Base(t.Name())+".pdf")
	}
	if err := os.WriteFile(path, b.Bytes(), 0o600); err != nil {
		t.Fatal(err)
	}
	return path
}

func TestBuildDemo(t *testing.T) {
	build(t, reporttest.Demo(12), nil)
}
