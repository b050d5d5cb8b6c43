package archive_test

import (
	"crypto/sha256"
	"encoding/hex"
	"testing"

	"wornwood/pdfout/archive"
)

func hash(b []byte) string {
	h := sha256.Sum256(b)
	return hex.EncodeToString(h[:])
}

func find(t *testing.T, a *archive.Archive, line string) []archive.Row {
	t.Helper()
	q, err := archive.ParseQuery(line)
	if err != nil {
		t.Fatal(err)
	}
	f, err := a.Find(q, 0, 1000)
	if err != nil {
		t.Fatalf("%s: %v", line, err)
	}
	return f.Rows
}
