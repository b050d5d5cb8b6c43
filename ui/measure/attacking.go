//go:build bench

package main

import (
	"bytes"
	"crypto/rand"
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"time"

	"wornwood/pdfout/attacktest"
	"wornwood/pdfout/sign"
)

// attacking has the verb verify read every altered report of the suite, each in
// a process of its own, and gives the worst time and the worst peak of memory.
// The peer is sha256sum over the unaltered report.
func attacking(program, dir string) ([]measurement, error) {
	report, err := issuedReport(program, filepath.Join(dir, "attack"))
	if err != nil {
		return nil, err
	}
	whole, err := os.ReadFile(report)
	if err != nil {
		return nil, err
	}
	stranger, err := sign.NewKey(sign.Subject{Name: "A. Stranger"}, time.Now(), rand.Reader)
	if err != nil {
		return nil, err
	}
	attacks, err := attacktest.All(whole, stranger)
	if err != nil {
		return nil, err
	}
	var worst ran
	ours := func() (float64, error) {
		for i, a := range attacks {
			r, err := judged(program, filepath.Join(dir, fmt.Sprintf("attack-%d.pdf", i)), a)
			if err != nil {
				return 0, fmt.Errorf("%s: %w", a.Name, err)
			}
			worst.wall, worst.peak = max(worst.wall, r.wall), max(worst.peak, r.peak)
		}
		return worst.wall, nil
	}
	peer := func() (ran, error) { return runProgram("sha256sum", report) }
	return []measurement{
		{name: fmt.Sprintf("verify-worst-of-%d-attacks", len(attacks)), unit: "s", rounds: 1, limit: 2, absolute: true, ours: ours,
			peer: func() (float64, error) { r, err := peer(); return r.wall, err }},
		{name: "verify-worst-memory-of-attacks", unit: "MiB", rounds: 1, limit: 256, absolute: true, ours: func() (float64, error) { return worst.peak, nil },
			peer: func() (float64, error) { r, err := peer(); return max(r.peak, 1), err }},
	}, nil
}

// judged writes one altered report, verifies it and sees that it is refused
// where it must be.
func judged(program, path string, a attacktest.Attack) (ran, error) {
	if err := os.WriteFile(path, a.Data, 0o644); err != nil {
		return ran{}, err
	}
	defer os.Remove(path)
	r, err := runProgram(program, "verify", path)
	var exit *exec.ExitError
	if err != nil && !errors.As(err, &exit) {
		return r, err
	}
	if refused := err != nil; refused == a.Explained {
		return r, fmt.Errorf("refused is %v", refused)
	}
	return r, nil
}

// issuedReport makes a bench with a few photos and issues its report.
func issuedReport(program, dir string) (string, error) {
	src := filepath.Join(dir, "photos")
	if _, err := makePhotos(src, 4, 4, 1200, 800, 90); err != nil {
		return "", err
	}
	pass := filepath.Join(dir, "passphrase")
	if err := os.WriteFile(pass, []byte(passphrase+"\n"), 0o600); err != nil {
		return "", err
	}
	b := filepath.Join(dir, "bench")
	if err := prepareIssue(program, b, src, pass); err != nil {
		return "", err
	}
	r, err := runProgram(program, "issue", b, "--passphrase-file", pass, "--json")
	if err != nil {
		return "", err
	}
	var res struct{ Path string }
	err = json.NewDecoder(bytes.NewReader([]byte(r.out))).Decode(&res)
	return res.Path, err
}
