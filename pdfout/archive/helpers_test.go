package archive_test

import (
	"crypto/sha256"
	"encoding/hex"
	"os"
	"path/filepath"
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

// path is where FORMAT.md says that a file lies.
func path(dir string, r archive.Ref) string {
	if r.Area == archive.Refused {
		return filepath.Join(dir, "refused", r.Hash+".pdf")
	}
	ext := ".json"
	if r.Area == archive.Files {
		ext = ".pdf"
	}
	return filepath.Join(dir, string(r.Area), r.Hash[:2], r.Hash+ext)
}

// damage changes a byte in the middle of a file.
func damage(dir string, r archive.Ref) error {
	p := path(dir, r)
	b, err := os.ReadFile(p)
	if err != nil {
		return err
	}
	b[len(b)/2] ^= 1
	if err := os.Chmod(p, 0o644); err != nil {
		return err
	}
	return os.WriteFile(p, b, 0o444)
}
