package photo

import (
	"bytes"
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// bomb is a JPEG of 78 bytes whose one entry claims 5 * 2^29 + 1 rationals. In 32
// bits their size is 8, which is there; unguarded, goexif then asks for a slice
// of 64 GB and the process dies.
func bomb() []byte {
	b := []byte("MM\x00*\x00\x00\x00\x08" + "\x00\x01" + "\x01\x1a\x00\x05\xa0\x00\x00\x01\x00\x00\x00\x1a" + "\x00\x00\x00\x00" + "\x00\x00\x00\x48\x00\x00\x00\x01")
	f := jpegWith(exifSegment(b))
	return append(f[:len(f)-2], append(make([]byte, 78-len(f)), 0xff, 0xd9)...)
}

func TestBomb(t *testing.T) {
	data := bomb()
	if len(data) != 78 {
		t.Fatalf("%d bytes", len(data))
	}
	if err := checkTIFF(exifBlock(data)); err == nil || !strings.Contains(err.Error(), "beyond the end") {
		t.Fatalf("the guard lets it through: %v", err)
	}
	if f, agreement, _ := ReadFields(data); !f.empty() || agreement != "" {
		t.Errorf("%+v, %q", f, agreement)
	}
	if _, _, err := Thumbnail(data); !errors.Is(err, ErrNoThumbnail) {
		t.Error(err)
	}
}

func TestGuard(t *testing.T) {
	main, exif := usual()
	entryOf := func(id, typ uint16, count uint32, value ...byte) []byte {
		return block([]entry{{id, typ, count, value}}, nil, nil, nil)
	}
	many := make([]entry, 40)
	big := make([]byte, 60000)
	for i := range many {
		many[i] = ascii(0x9c9b, "x")
	}
	overlapping := block(append([]entry{{0x9c9b, 1, 60000, big}}, many...), nil, nil, nil)
	for i := range many { // all of them share one value
		e := overlapping[8+2+12*(i+1):]
		copy(e[2:12], overlapping[8+2+2:8+2+12])
	}
	chain := []byte("MM\x00*\x00\x00\x00\x08")
	for i := range maxDirs + 1 {
		chain = dir(chain, nil, 8+6*(i+1))
	}
	for _, c := range []struct {
		name string
		b    []byte
		want string // "" for accepted
	}{
		{"usual", block(main, exif, []entry{ascii(1, "N")}, []byte("thumb")), ""},
		{"little-endian, empty", []byte("II*\x00\x08\x00\x00\x00\x00\x00\x00\x00\x00\x00"), ""},
		{"no directory", []byte("II*\x00\x00\x00\x00\x00"), ""},
		{"unknown type", entryOf(0x0112, 99, 1<<31), ""},
		{"short", []byte("MM\x00*"), "4 bytes"},
		{"not TIFF", []byte("XX\x00*\x00\x00\x00\x08\x00\x00"), "TIFF"},
		{"directory beyond the end", []byte("MM\x00*\x00\x00\x10\x00"), "beyond the end"},
		{"entries beyond the end", []byte("MM\x00*\x00\x00\x00\x08\x00\x02"), "beyond the end"},
		{"negative number of entries", []byte("MM\x00*\x00\x00\x00\x08\xff\xff\x00\x00"), "entries"},
		{"value beyond the end", entryOf(0x010f, 2, 1000, 0, 0, 0, 8), "beyond the end"},
		{"size that wraps", entryOf(0x011a, 5, 1<<29+1, 0, 0, 0, 8), "beyond the end"},
		{"circle", dir([]byte("MM\x00*\x00\x00\x00\x08"), nil, 8), "circle"},
		{"many directories", chain, "directories"},
		{"many large values", overlapping, "bytes of values"},
		{"bad Exif pointer", block([]entry{long(0x8769, 1<<20)}, nil, nil, nil), "beyond the end"},
	} {
		t.Run(c.name, func(t *testing.T) {
			err := checkTIFF(c.b)
			if c.want == "" && err != nil || c.want != "" && (err == nil || !strings.Contains(err.Error(), c.want)) {
				t.Errorf("got %v, want %q", err, c.want)
			}
			ReadFields(jpegWith(exifSegment(c.b[:min(len(c.b), 65000)]))) // must return
		})
	}
}

func TestThumbnail(t *testing.T) {
	main, exif := usual()
	small := jpegFile(t, 16, 12)
	got, o, err := Thumbnail(jpegFile(t, 60, 40, exifSegment(block(main, exif, nil, small))))
	if err != nil || o != 6 || !bytes.Equal(got, small) {
		t.Errorf("%d bytes, orientation %d, %v", len(got), o, err)
	}
	// Offsets and lengths for which goexif's JpegThumbnail panics or lies.
	for _, c := range [][2]uint32{{0, 10}, {8, 0}, {1 << 20, 10}, {20, 1 << 20}, {1<<32 - 1, 10}, {20, 1<<32 - 1}, {20, 30}} {
		b := block(main, exif, nil, small)
		at := bytes.LastIndex(b, []byte{2, 1, 0, 4, 0, 0, 0, 1})
		for i := range 4 {
			b[at+8+i] = byte(c[0] >> (24 - 8*i))
			b[at+20+i] = byte(c[1] >> (24 - 8*i))
		}
		if _, _, err := Thumbnail(jpegFile(t, 60, 40, exifSegment(b))); !errors.Is(err, ErrNoThumbnail) {
			t.Errorf("offset and length %d: %v", c, err)
		}
	}
	if _, _, err := Thumbnail(jpegFile(t, 60, 40)); !errors.Is(err, ErrNoThumbnail) {
		t.Error(err)
	}
}

// Every cut of a whole file is either read or refused with its name.
func TestCutAnywhere(t *testing.T) {
	main, exif := usual()
	data := jpegFile(t, 20, 10, exifSegment(block(main, exif, nil, jpegFile(t, 8, 8))))
	for n := range data {
		if _, err := Read(data[:n], "cut.jpg"); err != nil && !strings.HasPrefix(err.Error(), "cut.jpg ") {
			t.Fatalf("cut at %d: %v", n, err)
		}
	}
}

// goexif and imagemeta keep files that broke readers before.
func TestCorruptSamples(t *testing.T) {
	n := 0
	for _, dir := range []string{
		moduleDir(t, "github.com/rwcarlsen/goexif", "exif/corrupt"),
		moduleDir(t, "github.com/bep/imagemeta", "testdata/images/corrupt"),
	} {
		list, err := filepath.Glob(filepath.Join(dir, "*"))
		if err != nil {
			t.Fatal(err)
		}
		for _, p := range list {
			data, err := os.ReadFile(p)
			if err != nil {
				t.Fatal(err)
			}
			n++
			ReadFields(data)
			if _, _, err := Thumbnail(data); err != nil && !errors.Is(err, ErrNoThumbnail) {
				t.Errorf("%s: %v", p, err)
			}
		}
	}
	if n < 6 {
		t.Fatalf("%d corrupt samples, at least 6 were there", n)
	}
}

func TestLongTextAndNames(t *testing.T) {
	b := block([]entry{ascii(0x010f, strings.Repeat("ä", 5000)), ascii(0x0110, "\x1b[31mred\u202e\xff")}, nil, nil, nil)
	p, err := Read(jpegFile(t, 60, 40, exifSegment(b)), "../\x00/"+strings.Repeat("n", 4000)+".jpg")
	if err != nil {
		t.Fatal(err)
	}
	if len(p.Camera) > 2*maxText+1 || len(p.Name) > maxText || strings.ContainsAny(p.Camera+p.Name, "\x1b\u202e/\x00") {
		t.Errorf("%q %q", p.Camera, p.Name)
	}
}

func FuzzRead(f *testing.F) {
	main, exif := usual()
	f.Add(bomb())
	f.Add(jpegFile(f, 16, 8, exifSegment(block(main, exif, []entry{ascii(1, "N")}, jpegFile(f, 8, 8)))))
	f.Add(pngFile(f, 16, 8, block(main, exif, nil, nil)))
	f.Fuzz(func(t *testing.T, data []byte) {
		p, err := Read(data, "fuzz")
		if err == nil && (p.Width < 1 || p.Height < 1 || len(p.ID) != 64 || p.Orientation < 0 || p.Orientation > 8) {
			t.Errorf("%+v", p)
		}
		if thumb, _, err := Thumbnail(data); err == nil && len(thumb) > len(data) {
			t.Errorf("a thumbnail of %d bytes", len(thumb))
		}
	})
}
