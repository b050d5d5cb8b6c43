package photo

import (
	"encoding/json"
	"errors"
	"reflect"
	"strings"
	"testing"
	"time"

	"wornwood/capture/record"
)

func TestReadWhole(t *testing.T) {
	main, exif := usual()
	b := block(main, exif, nil, nil)
	xmp := []byte("http://ns.adobe.com/xap/1.0/\x00<x:xmpmeta xmlns:x='adobe:ns:meta/'/>")
	want := record.Photo{
		Name: "front.jpg", Format: "jpeg", Width: 40, Height: 60, Orientation: 6,
		Taken: "2026-03-14T09:26:53.045+01:00", Camera: "Brindle Fieldglass 2", Serial: "BF-000123", Software: "Ver.1.02",
		Agreement: TwoAgree,
	}
	for name, data := range map[string][]byte{
		"jpeg":            jpegFile(t, 60, 40, exifSegment(b)),
		"jpeg, xmp first": jpegFile(t, 60, 40, xmp, exifSegment(b)),
		"png":             pngFile(t, 60, 40, b),
	} {
		t.Run(name, func(t *testing.T) {
			got, err := Read(data, `C:\photos\front.jpg`)
			if err != nil {
				t.Fatal(err)
			}
			want := want
			want.Format, _, _ = strings.Cut(name, ",")
			want.Size, want.ID = int64(len(data)), got.ID
			if len(got.ID) != 64 || !reflect.DeepEqual(got, want) {
				t.Errorf("got  %+v\nwant %+v", got, want)
			}
		})
	}
}

func TestSniff(t *testing.T) {
	for magic, want := range map[string]string{
		"\xff\xd8\xff\xe0":  "jpeg",
		"\x89PNG\r\n\x1a\n": "png",
		"":                  "x.bin is empty; copy it from the camera again",
		"\x00\x00\x00\x18ftypheic\x00\x00\x00\x00": "x.bin is an HEIC photo, which cannot be read here yet; save it as JPEG or PNG and import that",
		"\x00\x00\x00\x18ftypavif\x00\x00\x00\x00": "x.bin is an AVIF picture,",
		"\x00\x00\x00\x18ftypisom\x00\x00\x00\x00": "x.bin is a video,",
		"RIFF\x10\x00\x00\x00WEBPVP8 ":             "x.bin is a WebP picture,",
		"II*\x00\x08\x00\x00\x00":                  "x.bin is a TIFF or raw photo,",
		"II*\x00\x10\x00\x00\x00CR\x02\x00":        "x.bin is a raw photo,",
		"GIF89a":                                   "x.bin is a GIF picture,",
		"%PDF-1.7":                                 "x.bin is a PDF document,",
		"just some text":                           "x.bin is not a photo that can be read here; bring it as JPEG or PNG",
		"\xff\xd8":                                 "x.bin is not a photo",
	} {
		got, err := Sniff([]byte(magic), "x.bin")
		text := string(got)
		if err != nil {
			var u *UnsupportedError
			if !errors.As(err, &u) {
				t.Errorf("%q: %T", magic, err)
			}
			text = err.Error()
		}
		if !strings.HasPrefix(text, want) {
			t.Errorf("%q: got %q, want %q", magic, text, want)
		}
	}
}

func TestTaken(t *testing.T) {
	for _, c := range []struct{ date, sub, zone, want string }{
		{"2026:03:14 09:26:53", "", "", "2026-03-14T09:26:53"},
		{"2026:03:14 09:26:53", "7", "", "2026-03-14T09:26:53.7"},
		{"2026:03:14 09:26:53", "070", "-03:30", "2026-03-14T09:26:53.070-03:30"},
		{"2026:03:14 09:26:53", "", "Z", "2026-03-14T09:26:53Z"},
		{"2026:03:14 09:26:53", "7x", "25:00", "2026-03-14T09:26:53"},
		{"2026:03:14 09:26:53", "0123456789", "+1:00", "2026-03-14T09:26:53"},
		{"0000:00:00 00:00:00", "", "", ""},
		{"    :  :     :  :  ", "", "", ""},
		{"2026:02:30 09:26:53", "", "", ""},
		{"2026-03-14T09:26:53", "", "", ""},
		{"", "5", "+01:00", ""},
	} {
		f := Fields{Taken: c.date, SubSec: c.sub, Offset: c.zone}
		if got := f.taken(); got != c.want {
			t.Errorf("%+v: got %q, want %q", c, got, c.want)
		}
		if _, zoned, ok := ParseTaken(c.want); ok != (c.want != "") || zoned != (ok && f.zone() != "") {
			t.Errorf("%q is read back as zoned %v, ok %v", c.want, zoned, ok)
		}
	}
}

func TestMerge(t *testing.T) {
	two := func(f, a, b string) []record.TwoRead { return []record.TwoRead{{Field: f, First: a, Second: b}} }
	for _, c := range []struct {
		name      string
		a, b      Fields
		want      Fields
		agreement string
		diffs     []record.TwoRead
	}{
		{"nothing", Fields{}, Fields{}, Fields{}, "", nil},
		{"only first", Fields{Make: "A"}, Fields{}, Fields{Make: "A"}, OneOnly, nil},
		{"only second", Fields{}, Fields{Model: "B", Orientation: 3}, Fields{Model: "B", Orientation: 3}, OneOnly, nil},
		{"nothing in common", Fields{Make: "A"}, Fields{Model: "B"}, Fields{Make: "A", Model: "B"}, OneOnly, nil},
		{"agree", Fields{Make: "A B"}, Fields{Make: " A  B ", Lens: "L"}, Fields{Make: "A B", Lens: "L"}, TwoAgree, nil},
		{"differ", Fields{Taken: "1", Make: "A"}, Fields{Taken: "2", Make: "A"}, Fields{Taken: "1", Make: "A"}, Disagree, two("date", "1", "2")},
		{"orientation differs", Fields{Orientation: 1}, Fields{Orientation: 6}, Fields{Orientation: 1}, Disagree, two("orientation", "1", "6")},
		{"leading zeros", Fields{SubSec: "45"}, Fields{SubSec: "045"}, Fields{SubSec: "045"}, TwoAgree, nil},
		{"sub-seconds of the first alone are not to be trusted", Fields{Taken: "1", SubSec: "45"}, Fields{Taken: "1"}, Fields{Taken: "1"}, TwoAgree, nil},
		{"sub-seconds differ", Fields{SubSec: "45"}, Fields{SubSec: "46"}, Fields{SubSec: "46"}, Disagree, two("sub-seconds", "45", "46")},
	} {
		t.Run(c.name, func(t *testing.T) {
			f, agreement, diffs := merge(c.a, c.b)
			if f != c.want || agreement != c.agreement || !reflect.DeepEqual(diffs, c.diffs) {
				t.Errorf("got %+v %q %v", f, agreement, diffs)
			}
		})
	}
}

func TestRemarks(t *testing.T) {
	good := Fields{Taken: "2026:03:14 09:26:53", Offset: "+01:00", Make: "Brindle", Model: "Fieldglass 2"}
	with := func(change func(*Fields)) Fields { f := good; change(&f); return f }
	for _, c := range []struct {
		name string
		f    Fields
		want string
	}{
		{"nothing to say", good, ""},
		{"no metadata", Fields{}, "The file holds no camera metadata."},
		{"no date", with(func(f *Fields) { f.Taken = "" }), "The file has no camera date."},
		{"clock never set", with(func(f *Fields) { f.Taken = "0000:00:00 00:00:00" }), "The file has no camera date."},
		{"no date, but a date of change", with(func(f *Fields) { f.Taken = ""; f.Modified = "2026:03:14 09:26:53" }), "The file has no camera date."},
		{"impossible date", with(func(f *Fields) { f.Taken = "2026:13:14 09:26:53" }), "The camera date reads “2026:13:14 09:26:53”, which is not a date."},
		{"no zone", with(func(f *Fields) { f.Offset = "" }), "The camera date has no time zone."},
		{"changed later", with(func(f *Fields) { f.Modified = "2026:03:15 10:00:00" }), "The file gives 2026-03-15 10:00:00 as its last change, later than the camera date 2026-03-14 09:26:53."},
		{"changed earlier", with(func(f *Fields) { f.Modified = "2026:03:13 10:00:00" }), "The file gives 2026-03-13 10:00:00 as its last change, earlier than the camera date 2026-03-14 09:26:53."},
		{"not changed", with(func(f *Fields) { f.Modified = f.Taken }), ""},
		{"an editor", with(func(f *Fields) { f.Software = "Dusk & Dawn Retouch 3" }), "The file names “Dusk & Dawn Retouch 3” as the program that wrote it; it may have been edited."},
		{"firmware by version", with(func(f *Fields) { f.Software = "Ver.1.02" }), ""},
		{"firmware by number", with(func(f *Fields) { f.Software = "17.4.1" }), ""},
		{"firmware by model", with(func(f *Fields) { f.Software = "Fieldglass 2 Ver 1.00" }), ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			if got := strings.Join(c.f.remarks(nil), "|"); got != c.want {
				t.Errorf("got %q, want %q", got, c.want)
			}
		})
	}
	if got := good.remarks([]record.TwoRead{{Field: "date"}}); len(got) != 1 || got[0] != "Two readers give different values for the date; both are kept." {
		t.Errorf("%q", got)
	}
}

func TestStampFuture(t *testing.T) {
	at := time.Date(2026, 3, 14, 9, 0, 0, 0, time.UTC)
	for taken, future := range map[string]bool{
		"":                          false,
		"2026-03-14T09:00:30Z":      false,
		"2026-03-14T10:00:00+01:00": false,
		"2026-03-14T09:02:00Z":      true,
		"2026-03-14T11:00:00+01:00": true,
		"2026-03-14T22:59:00":       false, // it is so late already in UTC+14
		"2026-03-14T23:02:00":       true,
		"1999-01-01T00:00:00":       false,
	} {
		p := record.Photo{Taken: taken}
		Stamp(&p, at)
		if got := len(p.Remarks) == 1; got != future || p.Imported != "2026-03-14T09:00:00Z" {
			t.Errorf("%q: %+v", taken, p)
		}
	}
}

// The location must not reach the record, in no field and no remark.
func TestNoLocation(t *testing.T) {
	main, exif := usual()
	degrees := func(id uint16) entry {
		return entry{id, 5, 3, []byte{0, 0, 0, 47, 0, 0, 0, 1, 0, 0, 0, 33, 0, 0, 0, 1, 0, 0, 0, 21, 0, 0, 0, 1}}
	}
	gps := []entry{ascii(1, "N"), degrees(2), ascii(3, "E"), degrees(4), ascii(0x1d, "2001:02:03")}
	p, err := Read(jpegFile(t, 60, 40, exifSegment(block(main, exif, gps, nil))), "a.jpg")
	if err != nil {
		t.Fatal(err)
	}
	without, err := Read(jpegFile(t, 60, 40, exifSegment(block(main, exif, nil, nil))), "a.jpg")
	if err != nil {
		t.Fatal(err)
	}
	p.ID, p.Size = without.ID, without.Size
	a, _ := json.Marshal(p)
	b, _ := json.Marshal(without)
	if string(a) != string(b) {
		t.Errorf("the location changes the record:\n%s\n%s", a, b)
	}
}

// An interoperability directory has entries whose numbers mean something else
// there; none may surface as a field.
func TestInteroperabilityDirectory(t *testing.T) {
	main, exif := usual()
	plain := block(main, exif, nil, nil)
	with := block(main, append(exif, long(0xa005, uint32(len(plain)+12))), nil, nil)
	with = dir(with, []entry{ascii(1, "R98"), ascii(0x0131, "not the software")}, 0)
	f, _, _ := ReadFields(jpegFile(t, 60, 40, exifSegment(with)))
	want, _, _ := ReadFields(jpegFile(t, 60, 40, exifSegment(plain)))
	if f != want {
		t.Errorf("got  %+v\nwant %+v", f, want)
	}
}

func TestOrientationTurnsSides(t *testing.T) {
	for o := uint16(0); o <= 9; o++ {
		p, err := Read(jpegFile(t, 60, 40, exifSegment(block([]entry{short(0x0112, o)}, nil, nil, nil))), "a.jpg")
		if err != nil {
			t.Fatal(err)
		}
		wantW, wantO := 60, int(o)
		if o >= 5 && o <= 8 {
			wantW = 40
		}
		if o == 9 {
			wantO = 0
		}
		if p.Width != wantW || p.Height != 100-wantW || p.Orientation != wantO {
			t.Errorf("orientation %d: %d x %d, %d", o, p.Width, p.Height, p.Orientation)
		}
	}
}

func TestNoMetadata(t *testing.T) {
	p, err := Read(jpegFile(t, 60, 40), "a.jpg")
	if err != nil || p.Agreement != "" || p.Taken != "" || p.Camera != "" {
		t.Errorf("%+v, %v", p, err)
	}
	for _, r := range Readers() {
		if _, err := r.Read(jpegFile(t, 60, 40)); !errors.Is(err, ErrNoMetadata) {
			t.Errorf("%s: %v", r.Name(), err)
		}
	}
}

func TestCamera(t *testing.T) {
	for _, c := range [][3]string{
		{"Brindle", "Brindle Fieldglass 2", "Brindle Fieldglass 2"},
		{"BRINDLE OPTICAL CO.", "Brindle Fieldglass 2", "Brindle Fieldglass 2"},
		{"Brindle", "F2", "Brindle F2"},
		{"", "F2", "F2"},
		{"Brindle", "", "Brindle"},
		{"", "", ""},
	} {
		if got := camera(c[0], c[1]); got != c[2] {
			t.Errorf("%q: got %q", c, got)
		}
	}
}
