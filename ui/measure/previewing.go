//go:build bench

package main

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"time"

	"wornwood/capture/bench"
	"wornwood/pdfout"
)

// previewing measures the Report screen's pages on a report with 40 photos: the
// dearest page as it is first shown, then with its photos decoded, which a page
// of twenty close-ups of twenty photos waits for, and with photos that are
// decoded already; against poppler drawing the file's first page. Last, laying
// the report out after an edit.
func previewing(program, dir string) ([]measurement, error) {
	src := filepath.Join(dir, "preview")
	if _, err := makePhotos(src, 40, 40, 2400, 1600, 90); err != nil {
		return nil, err
	}
	pass := filepath.Join(dir, "preview-pass")
	if err := os.WriteFile(pass, []byte(passphrase+"\n"), 0o600); err != nil {
		return nil, err
	}
	at := filepath.Join(dir, "preview-bench")
	if err := prepareIssue(program, at, src, pass); err != nil {
		return nil, err
	}
	b, err := bench.Open(at, bench.Options{})
	if err != nil {
		return nil, err
	}
	rows, err := b.Instruments()
	if err != nil || len(rows) != 1 {
		return nil, fmt.Errorf("%d instruments: %w", len(rows), err)
	}
	ex, err := b.OpenExam(rows[0].Exam)
	if err != nil {
		return nil, err
	}
	in := pdfout.Input{Record: ex.Record(), Photos: b, Created: time.Now()}
	laid, err := pdfout.NewPreview(context.Background(), in, nil)
	if err != nil {
		return nil, err
	}
	plain := filepath.Join(dir, "preview.pdf")
	f, err := os.Create(plain)
	if err != nil {
		return nil, err
	}
	if _, err := pdfout.Build(context.Background(), in, f, nil); err != nil {
		return nil, err
	}
	if err := f.Close(); err != nil {
		return nil, err
	}
	const k = 4.4 // pixels per mm: a page as wide as the screen has room for
	dearest := func(render func(n int) error) func() (float64, error) {
		return func() (float64, error) {
			most := 0.0
			for n := 1; n <= laid.Pages(); n++ {
				s, err := seconds(func() error { return render(n) })
				if err != nil {
					return 0, err
				}
				most = max(most, 1000*s)
			}
			return most, nil
		}
	}
	atOnce := func(n int) error { _, _, err := laid.RenderAtOnce(n, k); return err }
	whole := func(n int) error { _, err := laid.Render(n, k); return err }
	peer := func() (float64, error) {
		r, err := runProgram("pdftoppm", "-r", fmt.Sprint(k*25.4), "-f", "1", "-l", "1", plain, filepath.Join(dir, "preview-page"))
		return 1000 * r.wall, err
	}
	return []measurement{
		{name: "preview-dearest-page-at-once", unit: "ms", rounds: 1, limit: 150, absolute: true, ours: dearest(atOnce), peer: peer},
		{name: "preview-dearest-page-with-twenty-photos-to-decode", unit: "ms", rounds: 1, limit: 3000, absolute: true, ours: dearest(whole), peer: peer},
		{name: "preview-dearest-page", unit: "ms", rounds: 5, limit: 150, absolute: true, ours: dearest(whole), peer: peer},
		{name: "preview-laid-out-after-an-edit", unit: "ms", rounds: 5, limit: 1000, absolute: true, peer: peer, ours: func() (float64, error) {
			s, err := seconds(func() error { _, err := pdfout.NewPreview(context.Background(), in, nil); return err })
			return 1000 * s, err
		}},
	}, nil
}
