package pdf

import (
	"bytes"
	"flag"
	"os"
	"path/filepath"
	"testing"
)

var updateFixtures = flag.Bool("update", false, "write the files of testdata anew")

// The committed seeds: a page as drawn, the same in archival form, and that
// with object streams. They must stay readable.
func TestFixtures(t *testing.T) {
	if *updateFixtures {
		drawn := drawText(t, "Ω")
		var b bytes.Buffer
		opt := plainOptions()
		opt.Fields = sampleOptions().Fields
		opt.Attachments = sampleOptions().Attachments
		if err := Rewrite(&b, drawn, opt); err != nil {
			t.Fatal(err)
		}
		for name, data := range map[string][]byte{
			"drawn.pdf": drawn, "archival.pdf": b.Bytes(), "packed.pdf": byQpdf(t, b.Bytes(), "--object-streams=generate"),
		} {
			if err := os.WriteFile(filepath.Join("testdata", name), data, 0o644); err != nil {
				t.Fatal(err)
			}
		}
	}
	for _, name := range []string{"drawn.pdf", "archival.pdf", "packed.pdf"} {
		data, err := os.ReadFile(filepath.Join("testdata", name))
		if err != nil {
			t.Fatal(err)
		}
		if pages, err := openBytes(t, data).Pages(); err != nil || len(pages) != 1 {
			t.Errorf("%s: %v, %v", name, pages, err)
		}
	}
}
