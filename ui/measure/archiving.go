//go:build bench

package main

import (
	"fmt"
	"os"
	"path/filepath"
	"strconv"

	"wornwood/pdfout/archive/archivetest"
)

// archiveReports is how many reports are filed, archiveRows how many rows the
// index has that is searched, archiveStored of how many stored reports it is made
// anew; WORNWOOD_ARCHIVE_REPORTS, _ROWS and _STORED name other numbers.
const (
	archiveReports = 200
	archiveRows    = 100_000
	archiveStored  = 20_000
)

func numberOf(env string, usual int) (int, error) {
	s := os.Getenv(env)
	if s == "" {
		return usual, nil
	}
	n, err := strconv.Atoi(s)
	if err != nil || n < 1 {
		return 0, fmt.Errorf("%s: %q is no number", env, s)
	}
	return n, nil
}

// filingMiB bounds the largest resident set of the verb that files.
const filingMiB = 320

// archiving files real reports with their full check, beside sha256sum and
// pdfsig over the same files.
func archiving(program, dir string) ([]measurement, error) {
	reports, err := numberOf("WORNWOOD_ARCHIVE_REPORTS", archiveReports)
	if err != nil {
		return nil, err
	}
	in := filepath.Join(dir, "archive-in")
	id, err := archivetest.NewKey("R. Calloway")
	if err != nil {
		return nil, err
	}
	files, err := archivetest.Write(in, id, reports)
	if err != nil {
		return nil, err
	}
	rounds := 3
	if reports > 2*archiveReports {
		rounds = 1
	}
	n, peak := 0, 0.0
	return []measurement{
		{name: fmt.Sprintf("archive-file-%d", reports), unit: "s", rounds: rounds, limit: 1 / 0.6,
			ours: func() (float64, error) {
				n++
				store := filepath.Join(dir, fmt.Sprintf("archive-%d", n))
				if _, err := runProgram(program, "archive", "make", store); err != nil {
					return 0, err
				}
				r, err := runProgram(program, "archive", "file", store, in)
				peak = max(peak, r.peak)
				return r.wall, err
			},
			peer: func() (float64, error) { return hashAndSig(files) }},
		{name: fmt.Sprintf("archive-file-%d-memory", reports), unit: "MiB", rounds: 1, limit: filingMiB, absolute: true,
			ours: func() (float64, error) { return peak, nil }, // of the runs above
			peer: func() (float64, error) {
				r, err := runProgram("sha256sum", files...)
				return r.peak, err
			}},
	}, nil
}

// hashAndSig is what somebody without an archive does with each report.
func hashAndSig(files []string) (float64, error) {
	r, err := runProgram("sha256sum", files...)
	if err != nil {
		return 0, err
	}
	wall := r.wall
	for _, f := range files {
		// Its exit code speaks of certificates that nobody trusts here.
		r, err := runProgram("pdfsig", f)
		if err != nil && r.out == "" {
			return 0, err
		}
		wall += r.wall
	}
	return wall, nil
}
