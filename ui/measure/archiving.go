//go:build bench

package main

import (
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"time"

	"wornwood/pdfout/archive"
	"wornwood/pdfout/archive/archivetest"
)

// archiveReports is how many reports are filed, archiveRows how many rows the
// index has that is searched; WORNWOOD_ARCHIVE_ROWS names another number.
const (
	archiveReports = 200
	archiveRows    = 100_000
)

// archiving files real reports with their full check, beside sha256sum and
// pdfsig over the same files, searches a large index (the peer reads every row
// of it once), and opens it.
func archiving(program, dir string) ([]measurement, error) {
	rows := archiveRows
	if s := os.Getenv("WORNWOOD_ARCHIVE_ROWS"); s != "" {
		var err error
		if rows, err = strconv.Atoi(s); err != nil || rows < 1 {
			return nil, fmt.Errorf("WORNWOOD_ARCHIVE_ROWS: %q is no number of rows", s)
		}
	}
	in := filepath.Join(dir, "archive-in")
	id, err := archivetest.NewKey("R. Calloway")
	if err != nil {
		return nil, err
	}
	files, err := archivetest.Write(in, id, archiveReports)
	if err != nil {
		return nil, err
	}
	large := filepath.Join(dir, "archive-large.db")
	x, err := archive.OpenSQLite(large, false)
	if err != nil {
		return nil, err
	}
	if err := fillIndex(x, rows); err != nil {
		return nil, err
	}
	n := 0
	return []measurement{
		{name: fmt.Sprintf("archive-file-%d", archiveReports), unit: "s", rounds: 3, limit: 1 / 0.6,
			ours: func() (float64, error) {
				n++
				store := filepath.Join(dir, fmt.Sprintf("archive-%d", n))
				if _, err := runProgram(program, "archive", "make", store); err != nil {
					return 0, err
				}
				r, err := runProgram(program, "archive", "file", store, in)
				return r.wall, err
			},
			peer: func() (float64, error) { return hashAndSig(files) }},
		{name: fmt.Sprintf("archive-find-p99-%d", rows), unit: "ms", rounds: 1, limit: 100, absolute: true,
			ours: func() (float64, error) { return slowest(x, rows) },
			peer: func() (float64, error) {
				r, err := runProgram("sqlite3", large, "SELECT count(*) FROM report WHERE doc LIKE '%halden%'")
				return r.wall * 1000, err
			}},
		{name: fmt.Sprintf("archive-open-%d", rows), unit: "s", rounds: 5, limit: 0.5, absolute: true,
			ours: func() (float64, error) { return openLarge(large) },
			peer: func() (float64, error) {
				r, err := runProgram("sqlite3", large, "SELECT count(*) FROM about")
				return r.wall, err
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

func fillIndex(x archive.Index, rows int) error {
	for from := 1; from <= rows; from += 5000 {
		events, at := archivetest.Events(from, min(5000, rows-from+1))
		if err := x.Apply(events, at); err != nil {
			return err
		}
	}
	return nil
}

// slowest is the 99th percentile, in milliseconds, over queries as people type
// them, each with other values.
func slowest(x archive.Index, rows int) (float64, error) {
	var took []float64
	for i := range 20 {
		n := i * rows / 20
		for _, line := range []string{
			fmt.Sprintf("serial:l%d", n), fmt.Sprintf("L-%d", n), fmt.Sprintf("number:CR-2026-%06d", n), fmt.Sprintf("key %d", n), "halden", "maker:finch year:1970..1979", "sunburst",
			fmt.Sprintf("examiner:%d index:80..", i), `kind:"headstock break" condition:2`, "part:tuners=replaced maker:tarry", "has:countersignature -has:timestamp", "date:2026-10 sort:date", "sort:-index",
			"verdict:unknown sort:date", "merrow -ding class:violin", fmt.Sprintf("ultraviolet %d", i), "tolle sort:index",
		} {
			q, err := archive.ParseQuery(line)
			if err != nil {
				return 0, err
			}
			start := time.Now()
			if _, err := x.Find(q, 0, 100); err != nil {
				return 0, err
			}
			took = append(took, float64(time.Since(start).Microseconds())/1000)
		}
	}
	slices.Sort(took)
	return took[len(took)*99/100], nil
}

// openLarge is the time to open the index and have the first answer.
func openLarge(path string) (float64, error) {
	return seconds(func() error {
		x, err := archive.OpenSQLite(path, false)
		if err != nil {
			return err
		}
		defer x.Close()
		if _, err := x.At(); err != nil {
			return err
		}
		q, err := archive.ParseQuery("halden")
		if err != nil {
			return err
		}
		_, err = x.Find(q, 0, 100)
		return err
	})
}
