package sign

import (
	"context"
	"io"
	"os"
	"path/filepath"
	"runtime"
	"testing"

	"wornwood/pdfout/pdf"
)

// BenchmarkIssue takes a report of 12 pages with 40 photos of 2400 x 1600 from
// drawn pages to a verified file, over files on disk. The goal for memory is
// under two times the file, the drawn pages included; "alloc/file" is what is
// allocated beyond those in all three steps together.
func BenchmarkIssue(b *testing.B) {
	drawn := drawSample(b, 12, 40, 2400, 1600)
	id := key(b, examinerKey)
	dir := b.TempDir()
	var m0, m1 runtime.MemStats
	b.ReportAllocs()
	b.SetBytes(int64(len(drawn)))
	runtime.ReadMemStats(&m0)
	for b.Loop() {
		plain := toFile(b, filepath.Join(dir, "plain.pdf"), func(w io.Writer) error { return pdf.Rewrite(w, drawn, sampleOptions()) })
		size := length(b, plain)
		signed := toFile(b, filepath.Join(dir, "signed.pdf"), func(w io.Writer) error {
			return Sign(context.Background(), plain, size, w, id, examinerOptions())
		})
		r, err := Verify(context.Background(), signed, length(b, signed), VerifyOptions{})
		if err != nil || !r.OK {
			b.Fatal(err, r)
		}
		plain.Close()
		signed.Close()
	}
	runtime.ReadMemStats(&m1)
	b.ReportMetric(float64(m1.TotalAlloc-m0.TotalAlloc)/float64(b.N)/float64(len(drawn)), "alloc/file")
}

func BenchmarkVerify(b *testing.B) {
	data := countersigned(b)
	b.ReportAllocs()
	b.SetBytes(int64(len(data)))
	for b.Loop() {
		if r := verifyBytes(b, data, VerifyOptions{}); !r.OK {
			b.Fatal(r.Findings)
		}
	}
}

func BenchmarkLoadIdentity(b *testing.B) {
	path := filepath.Join(b.TempDir(), "key.p12")
	if err := SaveIdentity(path, key(b, examinerKey), phrase); err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		if _, err := LoadIdentity(path, phrase); err != nil {
			b.Fatal(err)
		}
	}
}

func toFile(b *testing.B, path string, write func(io.Writer) error) *os.File {
	b.Helper()
	f, err := os.Create(path)
	if err != nil {
		b.Fatal(err)
	}
	if err := write(f); err != nil {
		b.Fatal(err)
	}
	return f
}

func length(b *testing.B, f *os.File) int64 {
	b.Helper()
	info, err := f.Stat()
	if err != nil {
		b.Fatal(err)
	}
	return info.Size()
}
