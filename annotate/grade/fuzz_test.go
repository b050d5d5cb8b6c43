package grade

import (
	"bytes"
	"os"
	"path/filepath"
	"testing"

	"wornwood/capture/record"
)

// FuzzGrade reads any bytes as a record and grades it: never a panic, and what
// comes out keeps the promises that hold for any record.
func FuzzGrade(f *testing.F) {
	seeds, err := filepath.Glob("testdata/records/*.json")
	if err != nil || len(seeds) < 3 {
		f.Fatalf("the seeds are missing: %v, %v", seeds, err)
	}
	for _, name := range seeds {
		b, err := os.ReadFile(name)
		if err != nil {
			f.Fatal(err)
		}
		if _, err := record.Read(bytes.NewReader(b)); err != nil {
			f.Fatalf("%s: %v", name, err)
		}
		f.Add(b)
	}
	f.Fuzz(func(t *testing.T, b []byte) {
		rec, err := record.Read(bytes.NewReader(b))
		if err != nil {
			return
		}
		d, err := DrawingFor(rec.Instrument)
		if err != nil {
			return
		}
		res, err := Grade(rec, d, Default())
		if err != nil {
			return
		}
		checkResult(t, res)
		if len(res.Explain()) == 0 {
			t.Fatal("a grade without a word")
		}
	})
}
