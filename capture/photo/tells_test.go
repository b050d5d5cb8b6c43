package photo

import (
	"strings"
	"testing"
)

// What an original gives away is found in Exif and in XMP, in JPEG and PNG.
func TestTells(t *testing.T) {
	main, exif := usual() // with a serial number
	bare, _ := usual()
	degrees := entry{2, 5, 3, []byte{0, 0, 0, 47, 0, 0, 0, 1, 0, 0, 0, 33, 0, 0, 0, 1, 0, 0, 0, 21, 0, 0, 0, 1}}
	gps := []entry{ascii(1, "N"), degrees}
	date := []entry{ascii(0x1d, "2001:02:03")} // a GPS directory without a place
	without := []entry{}
	for _, e := range exif {
		if e.id != 0xa431 {
			without = append(without, e)
		}
	}
	xmp := func(s string) []byte {
		return []byte("http://ns.adobe.com/xap/1.0/\x00<x:xmpmeta>" + s + "</x:xmpmeta>")
	}
	for name, c := range map[string]struct {
		data          []byte
		serial, place bool
	}{
		"nothing":               {jpegFile(t, 60, 40), false, false},
		"serial":                {jpegFile(t, 60, 40, exifSegment(block(main, exif, nil, nil))), true, false},
		"serial and place":      {jpegFile(t, 60, 40, exifSegment(block(main, exif, gps, nil))), true, true},
		"place":                 {jpegFile(t, 60, 40, exifSegment(block(bare, without, gps, nil))), false, true},
		"a time of satellites":  {jpegFile(t, 60, 40, exifSegment(block(bare, without, date, nil))), false, false},
		"in XMP":                {jpegFile(t, 60, 40, xmp(`<a aux:SerialNumber="12"/><b exif:GPSLatitude="47,33N"/>`)), true, true},
		"XMP about other":       {jpegFile(t, 60, 40, xmp(`<a xmp:Rating="3"/>`)), false, false},
		"in a PNG":              {pngFile(t, 60, 40, block(main, exif, gps, nil)), true, true},
		"cut off":               {jpegFile(t, 60, 40, exifSegment(block(main, exif, gps, nil)))[:80], false, false},
		"a directory far away":  {jpegFile(t, 60, 40, exifSegment([]byte("MM\x00*\xff\xff\xff\xff"))), false, false},
		"XMP that does not end": {[]byte(strings.Repeat("<x:xmpmeta", 40)), false, false},
	} {
		if serial, place := Tells(c.data); serial != c.serial || place != c.place {
			t.Errorf("%s: serial %v, place %v", name, serial, place)
		}
	}
}

func FuzzTells(f *testing.F) {
	main, exif := usual()
	f.Add(jpegFile(f, 8, 8, exifSegment(block(main, exif, []entry{ascii(1, "N")}, nil))))
	f.Add([]byte("\xff\xd8\xff\xe1\x00\x10Exif\x00\x00II*\x00\xff\xff\xff\xff"))
	f.Fuzz(func(t *testing.T, b []byte) {
		if _, place := Tells(b); place && len(b) < 12 {
			t.Fatal("a place in a few bytes")
		}
	})
}
