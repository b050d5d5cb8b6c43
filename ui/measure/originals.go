//go:build bench

package main

import (
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
)

// slack is what verifying may take beside hashing: starting the program,
// computing the grade again, reading the pages. Seconds.
const slack = 0.1

// withOriginals issues a report of more than 50 MB with its originals inside. The
// verb verify, less 100 ms, is set beside sha256sum of the same file: it hashes
// the file for the signature, and the originals once more for the record. The
// peaks of both verbs' memory are set beside the size of the PDF.
func withOriginals(program, dir string) ([]measurement, error) {
	src := filepath.Join(dir, "originals")
	if _, err := makePhotos(src, 36, 36, 2400, 1600, 92); err != nil {
		return nil, err
	}
	pass := filepath.Join(dir, "originals-passphrase")
	if err := os.WriteFile(pass, []byte(passphrase+"\n"), 0o600); err != nil {
		return nil, err
	}
	b := filepath.Join(dir, "originals-bench")
	if err := prepareIssue(program, b, src, pass); err != nil {
		return nil, err
	}
	issued, err := runProgram(program, "issue", b, "--passphrase-file", pass, "--with-originals", "--json")
	if err != nil {
		return nil, err
	}
	var res struct{ Path string }
	if err := json.Unmarshal([]byte(issued.out), &res); err != nil {
		return nil, err
	}
	st, err := os.Stat(res.Path)
	if err != nil {
		return nil, err
	}
	size := float64(st.Size()) / (1 << 20)
	if st.Size() < 50e6 {
		return nil, fmt.Errorf("the report has %.0f MiB, less than the 50 MB that are to be verified", size)
	}
	verifyPeak := 0.0
	ours := func() (float64, error) {
		r, err := runProgram(program, "verify", res.Path)
		verifyPeak = max(verifyPeak, r.peak)
		return max(r.wall-slack, 0), err
	}
	peer := func() (float64, error) { r, err := runProgram("sha256sum", res.Path); return r.wall, err }
	whole := func() (float64, error) { return size, nil }
	return []measurement{
		{name: fmt.Sprintf("verify-%.0f-MiB-with-originals-less-100-ms", size), unit: "s", rounds: 9, limit: 2, ours: ours, peer: peer},
		{name: "issue-with-originals-peak-memory-by-PDF-size", unit: "MiB", rounds: 1, limit: 2, ours: func() (float64, error) { return issued.peak, nil }, peer: whole},
		{name: "verify-with-originals-peak-memory-by-PDF-size", unit: "MiB", rounds: 1, limit: 2, ours: func() (float64, error) { return verifyPeak, nil }, peer: whole},
	}, nil
}
