package icc

import (
	"bytes"
	"flag"
	"math"
	"os"
	"path/filepath"
	"testing"
)

var update = flag.Bool("update", false, "write the files in testdata anew")

// seeds are files of each kind that takes its own way through the package.
func seeds(t testing.TB) map[string][]byte {
	built := builtProfiles(t)
	out := map[string][]byte{
		"pieces.jpg":   jpegOf(t, piece(2, 2, built["p3.icc"][300:]), piece(1, 2, built["p3.icc"][:300])),
		"metadata.jpg": jpegOf(t, exifSegment(65535, "R03")),
		"plain.jpg":    jpegOf(t),
		"packed.png":   pngOf(t, chunk{"iCCP", packed(t, built["a98.icc"])}),
		"gamma.png":    pngOf(t, chunk{"gAMA", be32(100000)}, chunk{"cHRM", bytes.Repeat(be32(31270), 8)}),
		"numbers.png":  pngOf(t, chunk{"cICP", []byte{12, 13, 0, 1}}),
	}
	for _, name := range []string{"p3.icc", "a98.icc", "formulas.icc", "graylab.icc"} {
		out[name] = built[name]
	}
	return out
}

// TestSeeds keeps testdata in step with the code that makes it.
func TestSeeds(t *testing.T) {
	for name, data := range seeds(t) {
		file := filepath.Join("testdata", name)
		if *update {
			if err := os.WriteFile(file, data, 0o644); err != nil {
				t.Fatal(err)
			}
		}
		kept, err := os.ReadFile(file)
		if err != nil {
			t.Fatalf("a test file is missing: %v; make it with: go test ./capture/icc -run TestSeeds -update", err)
		}
		if filepath.Ext(name) == ".icc" && !bytes.Equal(kept, data) {
			t.Errorf("%s differs from what is built now; look at both, then run with -update", name)
		}
	}
}

func FuzzOf(f *testing.F) {
	files, err := filepath.Glob(filepath.Join("testdata", "*.*"))
	if err != nil || len(files) < 11 {
		f.Fatalf("%d files in testdata (%v), want 11 or more", len(files), err)
	}
	for _, name := range files {
		if filepath.Ext(name) == ".py" {
			continue
		}
		data, err := os.ReadFile(name)
		if err != nil {
			f.Fatal(err)
		}
		f.Add(data)
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		p, remarks := Of(data)
		q, err := Parse(data)
		if err == nil {
			checkFinite(t, q)
		} else if q != nil || err.Error() == "" {
			t.Fatalf("%v with %v", q, err)
		}
		checkFinite(t, p)
		for _, r := range remarks {
			if r == "" || len(r) > 200 {
				t.Fatalf("remark %q", r)
			}
		}
	})
}

func checkFinite(t *testing.T, p *Profile) {
	t.Helper()
	if len([]rune(p.Name())) > maxName {
		t.Fatalf("name of %d characters", len([]rune(p.Name())))
	}
	for _, v := range [][3]float64{{0, 0, 0}, {1, 1, 1}, {0.5, 0.1, 0.9}, {math.NaN(), -3, 7}} {
		r, g, b := p.ToLinearSRGB(v[0], v[1], v[2])
		if !(math.Abs(r) < 1e6 && math.Abs(g) < 1e6 && math.Abs(b) < 1e6) {
			t.Fatalf("%v becomes %v %v %v", v, r, g, b)
		}
	}
}
