//go:build bench

package main

import (
	"fmt"
	"os"
	"path/filepath"
)

// offering measures the making of a listing set from 30 photos of 24 megapixels,
// each in two sizes, against vipsthumbnail making the same sizes with the same
// quality, two processes at a time; and the same set with a cover on every
// photo, for which the whole originals are decoded.
func offering(program, dir string) ([]measurement, error) {
	const photos = 30
	src := filepath.Join(dir, "offer")
	files, err := makePhotos(src, photos, 4, 6000, 4000, 88)
	if err != nil {
		return nil, err
	}
	bench := filepath.Join(dir, "offer-bench")
	if _, err := runProgram(program, "new", bench); err != nil {
		return nil, err
	}
	if _, err := runProgram(program, "import", bench, src, "--quiet"); err != nil {
		return nil, err
	}
	n := 0
	ours := func(options ...string) func() (float64, error) {
		return func() (float64, error) {
			n++
			out := filepath.Join(dir, fmt.Sprintf("offer-%d", n))
			defer os.RemoveAll(out)
			r, err := runProgram(program, append([]string{"listing", bench, "--out", out, "--size", "1600,800"}, options...)...)
			return r.wall, err
		}
	}
	peer := func() (float64, error) {
		out := filepath.Join(dir, "offer-peer")
		if err := os.MkdirAll(out, 0o755); err != nil {
			return 0, err
		}
		defer os.RemoveAll(out)
		r, err := runProgram("sh", "-c", `cd "$1" && ls *.jpg | xargs -P2 -n 15 sh -c '
			vipsthumbnail --size 1600 --export-profile srgb -o "$0/%s-1600.jpg[Q=85]" "$@" &&
			vipsthumbnail --size 800 --export-profile srgb -o "$0/%s-800.jpg[Q=85]" "$@"' "$2"`, "sh", src, out)
		return r.wall, err
	}
	var covers []string
	for _, f := range files {
		covers = append(covers, "--uncover", filepath.Base(f), "--cover", filepath.Base(f)+":2000,1000,2600,1300")
	}
	return []measurement{
		{name: "listing-30x24MP-two-sizes", unit: "s", rounds: 3, limit: 1, ours: ours(), peer: peer},
		{name: "listing-30x24MP-all-covered", unit: "s", rounds: 3, limit: 2, ours: ours(covers...), peer: peer},
	}, nil
}
