//go:build bench

package main

import (
	"fmt"
	"os"
	"path/filepath"
)

// importing measures the import of 60 photos of 24 megapixels against
// vipsthumbnail (both sizes), sha256sum and exiftool run over the same files
// by xargs with two processes.
func importing(program, dir string) ([]measurement, error) {
	src := filepath.Join(dir, "import")
	if _, err := makePhotos(src, 60, 4, 6000, 4000, 88); err != nil {
		return nil, err
	}
	n := 0
	ours := func() (float64, error) {
		n++
		b := filepath.Join(dir, fmt.Sprintf("import-bench-%d", n))
		defer os.RemoveAll(b)
		if _, err := runProgram(program, "new", b); err != nil {
			return 0, err
		}
		r, err := runProgram(program, "import", b, src, "--quiet")
		return r.wall, err
	}
	peer := func() (float64, error) {
		out := filepath.Join(dir, "peer")
		if err := os.MkdirAll(out, 0o755); err != nil {
			return 0, err
		}
		defer os.RemoveAll(out)
		r, err := runProgram("sh", "-c", `cd "$1" && ls *.jpg | xargs -P2 -n 30 sh -c '
			vipsthumbnail --size 2048 -o "$0/%s-2048.jpg[Q=85]" "$@" &&
			vipsthumbnail --size 320 -o "$0/%s-320.jpg[Q=85]" "$@" &&
			sha256sum "$@" > /dev/null && exiftool -q -json "$@" > /dev/null' "$2"`, "sh", src, out)
		return r.wall, err
	}
	return []measurement{{name: "import-60x24MP", unit: "s", rounds: 3, limit: 1.5, ours: ours, peer: peer}}, nil
}
