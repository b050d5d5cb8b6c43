//go:build bench

package main

import (
	"fmt"
	"path/filepath"

	"wornwood/pdfout/archive/archivetest"
)

// archivingRebuilds makes the index of an archive anew from its log and stored
// verdicts. The limit is 5000 reports a second; the peer reads the same files with
// sha256sum.
func archivingRebuilds(program, dir string) ([]measurement, error) {
	n, err := numberOf("WORNWOOD_ARCHIVE_STORED", archiveStored)
	if err != nil {
		return nil, err
	}
	stored := filepath.Join(dir, "archive-stored")
	if err := archivetest.Filled(stored, n, 20_261_201); err != nil {
		return nil, err
	}
	// Opening an archive without an index makes one; the verb would make it twice.
	if _, err := runProgram(program, "archive", "rebuild", stored); err != nil {
		return nil, err
	}
	db := filepath.Join(stored, "index.db")
	return []measurement{
		{name: fmt.Sprintf("archive-rebuild-%d", n), unit: "s", rounds: 3, limit: float64(n) / 5000, absolute: true,
			ours: func() (float64, error) {
				r, err := runProgram(program, "archive", "rebuild", stored)
				return r.wall, err
			},
			peer: func() (float64, error) {
				r, err := runProgram("sh", "-c", "find "+filepath.Join(stored, "verdicts")+" -name '*.json' -print0 | xargs -0 sha256sum")
				return r.wall, err
			}},
		{name: fmt.Sprintf("archive-index-bytes-stored-%d", n), unit: "B", rounds: 1, limit: 3000, absolute: true,
			ours: func() (float64, error) { return bytesPer(db, n) },
			peer: func() (float64, error) { return 3000, nil }},
	}, nil
}
