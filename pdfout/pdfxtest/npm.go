package pdfxtest

import (
	"archive/tar"
	"bytes"
	"compress/gzip"
	"crypto/sha512"
	"encoding/base64"
	"errors"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// maxPackage bounds what is unpacked of a package, in bytes.
const maxPackage = 16 << 20

// NPM fetches a package such as "name@1.2.3" with the npm client, once, into the
// user's cache, and unpacks it into a folder of the test's own, which it
// returns. integrity is the SHA-512 that the registry states for that version
// (npm view name@1.2.3 dist.integrity, behind "sha512-"); other bytes fail.
// Nothing of the package is run by npm.
func NPM(t testing.TB, pkg, integrity string) string {
	t.Helper()
	cache, err := os.UserCacheDir()
	if err != nil {
		t.Fatalf("find a folder to keep %s in: %v", pkg, err)
	}
	cache = filepath.Join(cache, "wornwood-test")
	if err := os.MkdirAll(cache, 0o755); err != nil {
		t.Fatal(err)
	}
	kept := filepath.Join(cache, strings.ReplaceAll(pkg, "@", "-")+".tgz")
	data, err := os.ReadFile(kept)
	if err != nil || stated(data) != integrity {
		dir := t.TempDir()
		Output(t, "npm", "pack", pkg, "--silent", "--ignore-scripts", "--pack-destination", dir)
		if data, err = os.ReadFile(filepath.Join(dir, filepath.Base(kept))); err != nil {
			t.Fatalf("npm pack %s: %v", pkg, err)
		}
		if s := stated(data); s != integrity {
			t.Fatalf("npm pack %s: its SHA-512 is %s, not the one stated for that version", pkg, s)
		}
		if err := os.WriteFile(kept, data, 0o600); err != nil {
			t.Fatal(err)
		}
	}
	return unpack(t, data)
}

func stated(data []byte) string {
	h := sha512.Sum512(data)
	return base64.StdEncoding.EncodeToString(h[:])
}

func unpack(t testing.TB, data []byte) string {
	t.Helper()
	z, err := gzip.NewReader(bytes.NewReader(data))
	if err != nil {
		t.Fatal(err)
	}
	dir := t.TempDir()
	for r, left := tar.NewReader(z), int64(maxPackage); ; {
		h, err := r.Next()
		if errors.Is(err, io.EOF) {
			return dir
		}
		if err != nil {
			t.Fatal(err)
		}
		if h.Typeflag != tar.TypeReg || !filepath.IsLocal(h.Name) || h.Size > left {
			continue
		}
		left -= h.Size
		to := filepath.Join(dir, h.Name)
		b, err := io.ReadAll(r)
		if err == nil {
			err = os.MkdirAll(filepath.Dir(to), 0o755)
		}
		if err == nil {
			err = os.WriteFile(to, b, 0o600)
		}
		if err != nil {
			t.Fatal(err)
		}
	}
}
