package pdfout

import (
	"context"
	"fmt"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"slices"
	"sync/atomic"
	"testing"
	"time"

	"wornwood/capture/bench"
	"wornwood/capture/record"
	"wornwood/pdfout/reporttest"
	"wornwood/testdata"
)

// BenchmarkIssueAndVerify issues and verifies a report of 40 photos of
// about 2400 x 1600. Beside it stands img2pdf, which only puts the same photos into a
// PDF: the goal is no more than one and a half times its time. peak-MB is the
// highest heap that was seen and pdf-MB the size of the report.
func BenchmarkIssueAndVerify(b *testing.B) {
	dir := b.TempDir()
	files := fortyPhotos(b, dir)
	bn, err := bench.Open(filepath.Join(dir, "bench"), bench.Options{Now: func() time.Time { return issuedAt }, Create: true})
	if err != nil {
		b.Fatal(err)
	}
	defer bn.Close()
	demo := reporttest.Demo(0)
	first, err := bn.Begin("", record.Intake, demo.Instrument)
	if err != nil {
		b.Fatal(err)
	}
	if _, err := bn.Import(context.Background(), first, files, nil); err != nil {
		b.Fatal(err)
	}
	b.Run("issue", func(b *testing.B) { benchIssue(b, bn, first.Record().Photos) })
	b.Run("img2pdf", func(b *testing.B) {
		for b.Loop() {
			cmd := exec.Command("img2pdf", append([]string{"-o", filepath.Join(dir, "plain.pdf")}, files...)...)
			if out, err := cmd.CombinedOutput(); err != nil {
				b.Fatalf("%v\n%s", err, out)
			}
		}
	})
}

// fortyPhotos writes the demo's photos in turn, each made unlike the others by
// a comment.
func fortyPhotos(b *testing.B, dir string) []string {
	demo := testdata.DemoPhotos()
	names, err := fs.Glob(demo, "*.jpg")
	if err != nil || len(names) == 0 {
		b.Fatalf("no demo photos: %v", err)
	}
	var files []string
	for i := range 40 {
		jpg, err := fs.ReadFile(demo, names[i%len(names)])
		if err != nil {
			b.Fatal(err)
		}
		note := fmt.Sprintf("photo %02d", i)
		jpg = slices.Concat(jpg[:2], []byte{0xFF, 0xFE, 0, byte(len(note) + 2)}, []byte(note), jpg[2:])
		files = append(files, filepath.Join(dir, fmt.Sprintf("DSC_%04d.jpg", i)))
		if err := os.WriteFile(files[i], jpg, 0o600); err != nil {
			b.Fatal(err)
		}
	}
	return files
}

func benchIssue(b *testing.B, bn *bench.Bench, photos []record.Photo) {
	id := examiner(b)
	var size int64
	var peak atomic.Uint64
	pages := 0
	for i := range b.N {
		b.StopTimer()
		demo := reporttest.Demo(0)
		ex, err := bn.Begin("", record.Intake, demo.Instrument)
		if err != nil {
			b.Fatal(err)
		}
		for _, p := range photos {
			c, err := record.Set(record.PhotoTarget(p.ID), p)
			if err != nil {
				b.Fatal(err)
			}
			if err := ex.Do("photo", c); err != nil {
				b.Fatal(err)
			}
		}
		fill(b, ex, demo)
		runtime.GC()
		stop := make(chan struct{})
		if i == 0 {
			go watch(&peak, stop)
		}
		b.StartTimer()
		is, err := Issue(context.Background(), bn, ex, id, IssueOptions{Now: issuedAt}, nil)
		if err != nil {
			b.Fatal(err)
		}
		v, err := Verify(context.Background(), is.Path, VerifyOptions{})
		if err != nil || !v.OK {
			b.Fatalf("%v, %+v", err, v)
		}
		b.StopTimer()
		close(stop)
		st, err := os.Stat(is.Path)
		if err != nil {
			b.Fatal(err)
		}
		size, pages = st.Size(), is.Pages
		b.StartTimer()
	}
	b.ReportMetric(float64(size)/1e6, "pdf-MB")
	b.ReportMetric(float64(peak.Load())/1e6, "peak-MB")
	b.ReportMetric(float64(pages), "pages")
}

// watch notes the highest heap until told to stop. Reading it stops the
// program for a moment, which the first round of the benchmark pays for.
func watch(peak *atomic.Uint64, stop chan struct{}) {
	var m runtime.MemStats
	for {
		select {
		case <-stop:
			return
		case <-time.After(5 * time.Millisecond):
			runtime.ReadMemStats(&m)
			peak.Store(max(peak.Load(), m.HeapInuse))
		}
	}
}
