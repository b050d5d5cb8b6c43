package servicetest

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
	"os/exec"
	"path/filepath"
	"strings"
)

// maxUnpacked bounds what is unpacked of one package, in bytes.
const maxUnpacked = 200 << 20

// npm fetches one package of the engine with the npm client, holds it to its
// digest and unpacks it into dir. Nothing of the package is run by npm.
func npm(name, dir string) error {
	client, err := exec.LookPath("npm")
	if err != nil {
		return errors.New("npm, which brings the outside reader of Parquet files, is not here: install Debian's package npm")
	}
	tmp, err := os.MkdirTemp("", "wornwood-npm-")
	if err != nil {
		return err
	}
	defer os.RemoveAll(tmp)
	pkg := name + "@" + engineVersion
	cmd := exec.Command(client, "pack", pkg, "--silent", "--ignore-scripts", "--pack-destination", tmp)
	if out, err := cmd.CombinedOutput(); err != nil {
		return fmt.Errorf("npm pack %s: %w: %s", pkg, err, out)
	}
	file := strings.ReplaceAll(strings.TrimPrefix(name, "@"), "/", "-") + "-" + engineVersion + ".tgz"
	data, err := os.ReadFile(filepath.Join(tmp, file))
	if err != nil {
		return fmt.Errorf("npm pack %s: %w", pkg, err)
	}
	sum := sha512.Sum512(data)
	if s := base64.StdEncoding.EncodeToString(sum[:]); s != engine[name] {
		return fmt.Errorf("npm pack %s: its SHA-512 is %s, not the one stated for that version", pkg, s)
	}
	return unpack(data, dir)
}

// unpack unpacks a package, whose files lie in one folder, into dir.
func unpack(data []byte, dir string) error {
	z, err := gzip.NewReader(bytes.NewReader(data))
	if err != nil {
		return err
	}
	for r, left := tar.NewReader(z), int64(maxUnpacked); ; {
		h, err := r.Next()
		if errors.Is(err, io.EOF) {
			return nil
		}
		if err != nil {
			return err
		}
		_, name, ok := strings.Cut(h.Name, "/")
		if h.Typeflag != tar.TypeReg || !ok || !filepath.IsLocal(name) {
			continue
		}
		if left -= h.Size; left < 0 {
			return fmt.Errorf("a package of npm unpacks to more than %d bytes", maxUnpacked)
		}
		to := filepath.Join(dir, name)
		if err := os.MkdirAll(filepath.Dir(to), 0o755); err != nil {
			return err
		}
		f, err := os.OpenFile(to, os.O_CREATE|os.O_WRONLY|os.O_EXCL, 0o644)
		if err != nil {
			return err
		}
		_, err = io.Copy(f, r)
		if err := errors.Join(err, f.Close()); err != nil {
			return err
		}
	}
}
