package photo

import (
	"bytes"
	"encoding/json"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
)

// The outside reference for metadata is exiftool (Debian's
// libimage-exiftool-perl), read over files that other projects keep for the
// same purpose: the photos of 48 cameras in goexif's exif/samples and the
// JPEGs and PNGs in bep/imagemeta's testdata. They are read where they are
// installed and not copied here.

// compared lists the fields, by exiftool's names for them.
var compared = []struct {
	tag  string
	ours func(Fields) string
}{
	{"ExifIFD:DateTimeOriginal", func(f Fields) string { return f.Taken }},
	{"ExifIFD:SubSecTimeOriginal", func(f Fields) string { return f.SubSec }},
	{"ExifIFD:OffsetTimeOriginal", func(f Fields) string { return f.Offset }},
	{"IFD0:Make", func(f Fields) string { return f.Make }},
	{"IFD0:Model", func(f Fields) string { return f.Model }},
	{"IFD0:Orientation", func(f Fields) string { return number10(f.Orientation) }},
	{"ExifIFD:FocalLengthIn35mmFormat", func(f Fields) string { return number10(f.Focal35) }},
	{"ExifIFD:SerialNumber", func(f Fields) string { return f.Serial }},
	{"IFD0:Software", func(f Fields) string { return f.Software }},
	{"IFD0:ModifyDate", func(f Fields) string { return f.Modified }},
}

// explained lists every difference from exiftool by file, tag and kind, with
// the reason. A difference not listed fails, and so does one
// listed that is gone.
var explained = func() map[string]string {
	const (
		zero  = "the stored orientation is 0, which Exif does not define; it counts as absent here"
		place = "the file keeps its maker and model in the Exif directory instead of the main one; exiftool lists them under that, goexif does not care"
		focal = "the file keeps its focal length for 35 mm in the main directory instead of the Exif one; exiftool lists it under that, goexif does not care"
	)
	return map[string]string{
		"imagemeta_corrupt_max_uint32_exif.jpg IFD0:Orientation: only exiftool": zero,
		"imagemeta_corrupt_huge_tag_exif.jpg IFD0:Orientation: only exiftool":   zero,
		"goexif_geodegrees_as_string.jpg IFD0:Make: only here":                  place,
		"goexif_geodegrees_as_string.jpg IFD0:Model: only here":                 place,
		"imagemeta_goexif_geodegrees_as_string.jpg IFD0:Make: only here":        place,
		"imagemeta_goexif_geodegrees_as_string.jpg IFD0:Model: only here":       place,

		"goexif_2007-08-15-14-42-46-sep-2007-08-15-14-42-46a.jpg ExifIFD:FocalLengthIn35mmFormat: only here":           focal,
		"imagemeta_goexif_2007-08-15-14-42-46-sep-2007-08-15-14-42-46a.jpg ExifIFD:FocalLengthIn35mmFormat: only here": focal,
	}
}()

func TestMetadataAgainstExiftool(t *testing.T) {
	dir := t.TempDir()
	n := gather(t, dir, moduleDir(t, "github.com/rwcarlsen/goexif", "exif/samples"), "goexif")
	if n < 48 {
		t.Fatalf("%d samples of goexif, at least 48 were there", n)
	}
	if m := gather(t, dir, moduleDir(t, "github.com/bep/imagemeta", "testdata/images"), "imagemeta"); m < 20 {
		t.Fatalf("%d samples of imagemeta, at least 20 were there", m)
	}
	met := map[string]bool{}
	values := 0
	for name, want := range exiftool(t, dir) {
		data, err := os.ReadFile(filepath.Join(dir, name))
		if err != nil {
			t.Fatal(err)
		}
		got, _, _ := ReadFields(data)
		for _, c := range compared {
			ref, ours := clean(want[c.tag]), c.ours(got)
			if ref != "" {
				values++
			}
			if sameText(ref, ours) {
				continue
			}
			key := name + " " + c.tag + ": " + difference(ref, ours)
			met[key] = true
			if explained[key] == "" {
				t.Errorf("unexplained: %s (exiftool %q, here %q)", key, ref, ours)
			}
		}
	}
	for key := range explained {
		if !met[key] {
			t.Errorf("explained but not met: %s", key)
		}
	}
	t.Logf("%d values compared, %d differences", values, len(met))
	if values < 300 {
		t.Errorf("only %d values were compared", values)
	}
}

func difference(ref, ours string) string {
	switch {
	case ref == "":
		return "only here"
	case ours == "":
		return "only exiftool"
	}
	return "two values"
}

// gather copies the photos below from into dir, under flat names.
func gather(t *testing.T, dir, from, prefix string) (n int) {
	t.Helper()
	err := filepath.WalkDir(from, func(p string, d os.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		data, err := os.ReadFile(p)
		if err != nil {
			return err
		}
		rel, err := filepath.Rel(from, p)
		if err != nil {
			return err
		}
		name := prefix + "_" + strings.ReplaceAll(filepath.ToSlash(rel), "/", "_")
		switch {
		case bytes.HasPrefix(data, []byte("Exif\x00\x00")): // a bare block: put into a JPEG
			data = jpegWith(data)
			name += ".jpg"
		case bytes.HasPrefix(data, []byte{0xff, 0xd8}):
			data = wholeSegments(data)
		case !bytes.HasPrefix(data, []byte("\x89PNG")):
			return nil
		}
		n++
		return os.WriteFile(filepath.Join(dir, name), data, 0o644)
	})
	if err != nil {
		t.Fatal(err)
	}
	return n
}

// wholeSegments keeps a JPEG's whole segments up to the scan and closes the
// file behind them. The samples are cut off somewhere behind the metadata, and
// exiftool reads nothing at all from a JPEG whose last segment is not whole.
func wholeSegments(data []byte) []byte {
	at := 2
	for at+4 <= len(data) && data[at] == 0xff && data[at+1] != 0xda {
		n := 2 + int(data[at+2])<<8 + int(data[at+3])
		if at+n > len(data) {
			break
		}
		at += n
	}
	return append(bytes.Clone(data[:at]), 0xff, 0xd9)
}

// jpegWith is the smallest file that holds an APP1 segment.
func jpegWith(segment []byte) []byte {
	n := len(segment) + 2
	return append(append([]byte{0xff, 0xd8, 0xff, 0xe1, byte(n >> 8), byte(n)}, segment...), 0xff, 0xd9)
}

func moduleDir(t *testing.T, module, sub string) string {
	t.Helper()
	out, err := exec.Command("go", "list", "-m", "-f", "{{.Dir}}", module).CombinedOutput()
	dir := strings.TrimSpace(string(out))
	if err != nil || dir == "" {
		t.Fatalf("find %s: %v: %s", module, err, out)
	}
	return filepath.Join(dir, filepath.FromSlash(sub))
}

// exiftool reads every file of a folder in one run. Duplicates are asked for
// by group, values as they are stored.
func exiftool(t *testing.T, dir string) map[string]map[string]string {
	t.Helper()
	args := []string{"-j", "-n", "-G1", "-a", "-charset", "exif=utf8"}
	for _, c := range compared {
		args = append(args, "-"+c.tag)
	}
	out, err := exec.Command("exiftool", append(args, dir)...).Output()
	if len(out) == 0 {
		t.Fatalf("exiftool (package libimage-exiftool-perl) gave nothing: %v", err)
	}
	var list []map[string]any
	d := json.NewDecoder(bytes.NewReader(out))
	d.UseNumber()
	if err := d.Decode(&list); err != nil {
		t.Fatal(err)
	}
	files := map[string]map[string]string{}
	for _, m := range list {
		vals := map[string]string{}
		for k, v := range m {
			vals[k] = fmt.Sprint(v)
		}
		files[filepath.Base(vals["SourceFile"])] = vals
	}
	return files
}
