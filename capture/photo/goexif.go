package photo

import (
	"bytes"
	"fmt"
	"strings"

	"github.com/rwcarlsen/goexif/exif"
	"github.com/rwcarlsen/goexif/tiff"
)

// secondReader is goexif behind the guard. Its DateTime is never called: it
// passes off the date of the last change as the date of the photo.
type secondReader struct{}

func (secondReader) Name() string { return "goexif" }

// extraFields are entries of the Exif directory that goexif knows no names for.
var extraFields = map[uint16]exif.FieldName{
	0x9011: "OffsetTimeOriginal",
	0xa431: "BodySerialNumber",
}

func (secondReader) Read(data []byte) (Fields, error) {
	x, err := decodeExif(data)
	if err != nil {
		return Fields{}, err
	}
	f := Fields{
		Taken:       text(x, exif.DateTimeOriginal),
		SubSec:      text(x, exif.SubSecTimeOriginal),
		Offset:      text(x, "OffsetTimeOriginal"),
		Modified:    text(x, exif.DateTime),
		Make:        text(x, exif.Make),
		Model:       text(x, exif.Model),
		Serial:      text(x, "BodySerialNumber"),
		Software:    text(x, exif.Software),
		Lens:        text(x, exif.LensModel),
		Orientation: validOrientation(whole(x, exif.Orientation)),
		Focal35:     validFocal(whole(x, exif.FocalLengthIn35mmFilm)),
	}
	return f, nil
}

// decodeExif checks the structure, then decodes it. An error in a
// sub-directory leaves the rest usable, as goexif documents.
func decodeExif(data []byte) (x *exif.Exif, err error) {
	b := exifBlock(data)
	if b == nil {
		return nil, ErrNoMetadata
	}
	if err := checkTIFF(b); err != nil {
		return nil, fmt.Errorf("read metadata: %w", err)
	}
	defer func() {
		if p := recover(); p != nil {
			x, err = nil, fmt.Errorf("read metadata: %v", p)
		}
	}()
	x, err = exif.Decode(bytes.NewReader(b))
	if err != nil && (x == nil || exif.IsCriticalError(err)) {
		return nil, fmt.Errorf("read metadata: %w", err)
	}
	loadExtra(x, b)
	return x, nil
}

func loadExtra(x *exif.Exif, b []byte) {
	ptr, err := x.Get(exif.ExifIFDPointer)
	if err != nil {
		return
	}
	at, err := ptr.Int64(0)
	if err != nil || at <= 0 || at >= int64(len(b)) {
		return
	}
	r := bytes.NewReader(b)
	if _, err := r.Seek(at, 0); err != nil {
		return
	}
	// What this directory holds beyond a fault was lost to Decode as well.
	if d, _, err := tiff.DecodeDir(r, x.Tiff.Order); err == nil {
		x.LoadTags(d, extraFields, false)
	}
}

func text(x *exif.Exif, name exif.FieldName) string {
	t, err := x.Get(name)
	if err != nil || t.Format() != tiff.StringVal {
		return ""
	}
	s, err := t.StringVal()
	if err != nil {
		return ""
	}
	return clean(strings.TrimRight(s, "\x00"))
}

func whole(x *exif.Exif, name exif.FieldName) int {
	t, err := x.Get(name)
	if err != nil || t.Format() != tiff.IntVal || t.Count == 0 {
		return 0
	}
	n, err := t.Int(0)
	if err != nil {
		return 0
	}
	return n
}

// validOrientation passes 1 to 8, the values Exif 2.32 section 4.6.4 A defines.
func validOrientation(n int) int {
	if n < 1 || n > 8 {
		return 0
	}
	return n
}

// validFocal passes what lenses have: 0 is "unknown" in Exif 2.32 section
// 4.6.5 E, and beyond 4000 mm no photo of an instrument is taken.
func validFocal(n int) int {
	if n < 1 || n > 4000 {
		return 0
	}
	return n
}
