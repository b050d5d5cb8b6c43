package pdf

import (
	"bytes"
	"os"
	"path/filepath"
	"testing"
)

// seeds are small files of every kind that Open reads.
func seeds(f *testing.F) {
	f.Helper()
	list, err := filepath.Glob("testdata/*.pdf")
	if err != nil || len(list) < 3 {
		f.Fatalf("the seed files in testdata are missing: %v, %v", list, err)
	}
	for _, name := range list {
		data, err := os.ReadFile(name)
		if err != nil {
			f.Fatal(err)
		}
		f.Add(data)
	}
}

// Whatever the bytes are: no panic, no endless work, only refusals.
func FuzzOpen(f *testing.F) {
	seeds(f)
	f.Fuzz(func(t *testing.T, data []byte) {
		file, err := Open(bytes.NewReader(data), int64(len(data)), Limits{Size: 1 << 20, Decoded: 1 << 20, Work: 8 << 20})
		if err != nil {
			if !IsRefusal(err) {
				t.Fatalf("no refusal: %v", err)
			}
			return
		}
		for i := range file.Revisions {
			walkAll(t, file.At(i))
		}
	})
}

func walkAll(t *testing.T, v View) {
	if _, err := v.Pages(); err != nil && !IsRefusal(err) {
		t.Fatalf("no refusal: %v", err)
	}
	for _, num := range v.Revision().Numbers() {
		e := v.Revision().Entries[num]
		o, err := v.Get(Ref{num, e.Gen})
		if err != nil {
			if !IsRefusal(err) {
				t.Fatalf("no refusal: %v", err)
			}
			continue
		}
		if s, ok := o.(*Stream); ok {
			if _, err := s.Decode(1 << 20); err != nil && !IsRefusal(err) {
				t.Fatalf("no refusal: %v", err)
			}
			continue
		}
		// What was read is written and read again the same.
		again, err := parseOne(string(AppendObject(nil, o)))
		if err != nil || !Equal(o, again) {
			t.Fatalf("%#v became %#v, %v", o, again, err)
		}
	}
}

func FuzzContent(f *testing.F) {
	f.Add([]byte("q 1 0 0 1 0 0 cm /P <</MCID 0>> BDC BT /F1 9 Tf (x) Tj ET EMC /I1 Do Q"))
	f.Add([]byte("/Artifact BMC 0 0 9 9 re f EMC [(a) -20 (b)] TJ"))
	f.Fuzz(func(t *testing.T, data []byte) {
		if _, err := readContent(data); err != nil && !IsRefusal(err) {
			t.Fatalf("no refusal: %v", err)
		}
	})
}

func FuzzStripJPEG(f *testing.F) {
	f.Add(sampleJPEG(f, 3, 8, 8))
	f.Fuzz(func(t *testing.T, data []byte) {
		parts, err := stripJPEG(data)
		if err != nil {
			return
		}
		once := bytes.Join(parts, nil)
		parts, err = stripJPEG(once)
		if err != nil || !bytes.Equal(bytes.Join(parts, nil), once) {
			t.Fatalf("stripping twice: %v", err)
		}
	})
}
