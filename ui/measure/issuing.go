//go:build bench

package main

import (
	"context"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"time"

	"wornwood/capture/bench"
	"wornwood/pdfout"
)

// issuing measures issue plus verify of a report with 40 photos against
// img2pdf, which only embeds the same photos. The signing key is opened before
// the clock starts: its derivation from the passphrase is slow on purpose, a
// quarter of a second however large the report is. A second line runs the two
// verbs as a person does, key and starting of the program included; a third
// sets the verb's peak memory beside the size of the PDF, a fourth that memory
// less what the program holds when it only prints a verb's options: most of
// that is the window's libraries, which a program of verbs alone does without.
func issuing(program, dir string) ([]measurement, error) {
	src := filepath.Join(dir, "issue")
	paths, err := makePhotos(src, 40, 40, 2400, 1600, 90)
	if err != nil {
		return nil, err
	}
	pass := filepath.Join(dir, "passphrase")
	if err := os.WriteFile(pass, []byte(passphrase+"\n"), 0o600); err != nil {
		return nil, err
	}
	model := filepath.Join(dir, "issue-bench")
	if err := prepareIssue(program, model, src, pass); err != nil {
		return nil, err
	}
	n, peak, size := 0, 0.0, 0.0
	fresh := func(f func(b string) (float64, error)) func() (float64, error) {
		return func() (float64, error) {
			n++
			b := filepath.Join(dir, fmt.Sprintf("issue-bench-%d", n))
			defer os.RemoveAll(b)
			if err := os.CopyFS(b, os.DirFS(model)); err != nil {
				return 0, err
			}
			return f(b)
		}
	}
	verbs := func(b string) (float64, error) {
		a, err := runProgram(program, "issue", b, "--passphrase-file", pass, "--json")
		if err != nil {
			return 0, err
		}
		var res struct{ Path string }
		if err := json.Unmarshal([]byte(a.out), &res); err != nil {
			return 0, err
		}
		st, err := os.Stat(res.Path)
		if err != nil {
			return 0, err
		}
		v, err := runProgram(program, "verify", res.Path)
		peak, size = max(a.peak, v.peak), float64(st.Size())/(1<<20)
		return a.wall + v.wall, err
	}
	peer := func() (float64, error) {
		r, err := runProgram("img2pdf", append(paths[:len(paths):len(paths)], "-o", filepath.Join(dir, "peer.pdf"))...)
		return r.wall, err
	}
	return []measurement{
		{name: "issue+verify-40-photos", unit: "s", rounds: 7, limit: 1, ours: fresh(issueAndVerify), peer: peer},
		{name: "issue+verify-40-photos-verbs-and-key", unit: "s", rounds: 5, limit: 3, ours: fresh(verbs), peer: peer},
		{name: "issue-peak-memory-by-PDF-size", unit: "MiB", rounds: 1, limit: 3,
			ours: func() (float64, error) { return peak, nil }, peer: func() (float64, error) { return size, nil }},
		{name: "issue-memory-beyond-the-program's-own-by-PDF-size", unit: "MiB", rounds: 1, limit: 2,
			ours: func() (float64, error) {
				r, err := runProgram(program, "issue", "--help")
				return peak - r.peak, err
			}, peer: func() (float64, error) { return size, nil }},
	}, nil
}

// passphrase opens the key of the measured bench.
const passphrase = "measured, not kept secret"

// issueAndVerify is the time from an opened key to a verdict on the report.
func issueAndVerify(dir string) (float64, error) {
	ctx := context.Background()
	b, err := bench.Open(dir, bench.Options{})
	if err != nil {
		return 0, err
	}
	defer b.Close()
	rows, err := b.Instruments()
	if err != nil || len(rows) != 1 {
		return 0, fmt.Errorf("%d instruments: %w", len(rows), err)
	}
	ex, err := b.OpenExam(rows[0].Exam)
	if err != nil {
		return 0, err
	}
	defer ex.Close()
	id, err := pdfout.OpenIdentity(b, ex.Record(), passphrase, time.Now())
	if err != nil {
		return 0, err
	}
	return seconds(func() error {
		is, err := pdfout.Issue(ctx, b, ex, id, pdfout.IssueOptions{Now: time.Now()}, nil)
		if err != nil {
			return err
		}
		v, err := pdfout.Verify(ctx, is.Path, pdfout.VerifyOptions{})
		if err == nil && !v.OK {
			err = fmt.Errorf("the report does not verify: %s", v.Worst())
		}
		return err
	})
}

// prepareIssue makes a bench with 40 photos, 20 marks tied to them, and a key.
func prepareIssue(program, dir, src, pass string) error {
	if _, err := runProgram(program, "new", dir, "--maker", "Halden & Rowe", "--model", "Larkfoot Standard", "--serial", "41873", "--examiner", "R. Calloway"); err != nil {
		return err
	}
	r, err := runProgram(program, "import", dir, src, "--json")
	if err != nil {
		return err
	}
	var imported struct {
		Added []struct {
			ID string `json:"id"`
		}
	}
	if err := json.Unmarshal([]byte(r.out), &imported); err != nil {
		return err
	}
	var cs []string
	for i := 1; i <= 20; i++ {
		id := imported.Added[i%len(imported.Added)].ID
		cs = append(cs, fmt.Sprintf(`{"target":"mark/%d","value":{"number":%d,"kind":"ding","depth":"through the finish",
			"on":[{"side":"front","shape":"point","points":[[%d,%d]]}],"photos":[{"photo":%q,"shape":"point","points":[[%d,800]]}]}}`,
			i, i, -120+12*i, 700-6*i, id, 200+80*i))
	}
	file := filepath.Join(filepath.Dir(src), "changes.json")
	if err := os.WriteFile(file, []byte("["+strings.Join(cs, ",")+"]"), 0o644); err != nil {
		return err
	}
	if _, err := runProgram(program, "change", dir, file); err != nil {
		return err
	}
	_, err = runProgram(program, "key", dir, "--make", "--passphrase-file", pass)
	return err
}
