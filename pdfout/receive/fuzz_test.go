package receive

import (
	"context"
	"os"
	"path/filepath"
	"testing"

	"wornwood/annotate/grade"
	"wornwood/capture/record"
)

// FuzzPictures: no file panics, whatever its structure says, and what is found
// belongs to photos of the record.
func FuzzPictures(f *testing.F) {
	b, err := os.ReadFile(filepath.Join("..", "testdata", "issued.pdf"))
	if err != nil {
		f.Fatal(err)
	}
	seed, err := readData(context.Background(), b, none)
	if err != nil {
		f.Fatal(err)
	}
	f.Add(b)
	f.Add(b[:len(b)/2])
	f.Add([]byte("%PDF-1.7\n1 0 obj<</Type/Catalog/StructTreeRoot 1 0 R/K[1 0 R]>>endobj\nxref\n0 2\n0000000000 65535 f \n0000000009 00000 n \ntrailer<</Root 1 0 R/Size 2>>\nstartxref\n74\n%%EOF\n"))
	rec := &record.Record{Instrument: seed.Record.Instrument, Photos: seed.Record.Photos}
	f.Fuzz(func(t *testing.T, data []byte) {
		r := &Report{Data: data, Record: rec, Rubric: grade.Default()}
		found, err := r.Pictures()
		if err != nil {
			return
		}
		for id := range found {
			if rec.PhotoByID(id) == nil {
				t.Errorf("a picture of no photo: %q", id)
			}
		}
	})
}

// FuzzCheck: no file panics, and none passes but a receipt that Parse takes.
func FuzzCheck(f *testing.F) {
	b, err := os.ReadFile(filepath.Join("testdata", "seeds", "receipt.pdf"))
	if err != nil {
		f.Fatal(err)
	}
	if v, err := CheckData(context.Background(), b, none); err != nil || !v.OK {
		f.Fatalf("the seed does not pass: %v %v", v.Worst(), err)
	}
	f.Add(b)
	f.Add(b[:len(b)-400])
	f.Fuzz(func(t *testing.T, data []byte) {
		v, err := CheckData(context.Background(), data, none)
		if err != nil {
			return
		}
		if v.OK && (v.Receipt == nil || v.Receipt.Check() != nil) {
			t.Error("a file without a receipt passes")
		}
	})
}
