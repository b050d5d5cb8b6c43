//go:build bench

package main

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"strings"

	"wornwood/pdfout/archive/archivetest"
	"wornwood/pdfout/attacktest"
)

// Each attack is filed so often, each time with other bytes behind it; good
// reports lie between them.
const (
	hostileCopies = 4
	hostileGood   = 20
	hostileMiB    = 480
)

// archivingHostile files more than a thousand altered reports and files made to
// do harm, with good ones among them, and gives the largest resident set of the
// verb. The peer is that of sha256sum over the same files.
func archivingHostile(program, dir string) ([]measurement, error) {
	in := filepath.Join(dir, "hostile-in")
	files, err := writeHostile(in)
	if err != nil {
		return nil, err
	}
	n := 0
	return []measurement{{name: fmt.Sprintf("archive-hostile-%d", len(files)), unit: "MiB", rounds: 1, limit: hostileMiB, absolute: true,
		ours: func() (float64, error) {
			n++
			store := filepath.Join(dir, fmt.Sprintf("hostile-%d", n))
			if _, err := runProgram(program, "archive", "make", store); err != nil {
				return 0, err
			}
			// The exit code says that something was refused.
			r, err := runProgram(program, "archive", "file", store, in)
			if err != nil && r.out == "" {
				return 0, err
			}
			if _, err := runProgram(program, "archive", "check", store); err != nil {
				return 0, err
			}
			c, err := runProgram(program, "archive", "find", store, "number:CR-2026-10", "--lines")
			if got := strings.Count(c.out, "\n"); err == nil && got != hostileGood {
				err = fmt.Errorf("%d good reports are filed, not %d", got, hostileGood)
			}
			return r.peak, err
		},
		peer: func() (float64, error) {
			r, err := runProgram("sha256sum", files...)
			return r.peak, err
		}}}, nil
}

// writeHostile writes the files and gives their paths.
func writeHostile(in string) (files []string, err error) {
	id, err := archivetest.NewKey("R. Calloway")
	if err != nil {
		return nil, err
	}
	stranger, err := archivetest.NewKey("A. Stranger")
	if err != nil {
		return nil, err
	}
	if err := os.MkdirAll(in, 0o755); err != nil {
		return nil, err
	}
	write := func(name string, data []byte) {
		path := filepath.Join(in, name)
		if err == nil {
			err = os.WriteFile(path, data, 0o644)
		}
		files = append(files, path)
	}
	for r := range 2 {
		report, err := archivetest.Report(id, r)
		if err != nil {
			return nil, err
		}
		attacks, err := attacktest.All(report, stranger)
		if err != nil {
			return nil, err
		}
		for i, k := range attacks {
			for c := range hostileCopies {
				data := k.Data
				if c > 0 {
					data = fmt.Appendf(bytes.Clone(data), "\n%% copy %d of attack %d on report %d\n", c, i, r)
				}
				write(fmt.Sprintf("%d-%03d-%d.pdf", r, i, c), data)
			}
		}
	}
	for n := range hostileGood {
		b, err := archivetest.Report(id, 1000+n)
		if err != nil {
			return nil, err
		}
		write(fmt.Sprintf("%d-%03d-good.pdf", n%2, n*7), b)
	}
	return files, err
}
