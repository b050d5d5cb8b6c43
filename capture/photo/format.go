// Package photo reads what a photograph's file says about itself: its format,
// its size in pixels, and the metadata its camera and later programs left.
//
// Start with Read. Two independent readers look at the metadata; where both
// have a field and differ, both values are kept. Remarks say in plain
// sentences what a buyer may want to ask about. Thumbnail gives the small
// picture that a camera put into its file, to be shown first.
//
// The package decodes no pixels (capture/reduce does), never copies a location
// into the record, and does not prove a date: a camera's clock can be set to
// anything and metadata can be written by hand.
package photo

import (
	"bytes"
	"fmt"
)

// Format is a file format of photographs, in the word a Record uses.
type Format string

// The formats that can be imported.
const (
	JPEG Format = "jpeg"
	PNG  Format = "png"
)

// UnsupportedError says that a file is not of a format that can be imported.
type UnsupportedError struct {
	Name   string // of the file
	Format string // what it is, in words with their article; "" when unknown
}

func (e *UnsupportedError) Error() string {
	switch e.Format {
	case "":
		return fmt.Sprintf("%s is not a photo that can be read here; bring it as JPEG or PNG", e.Name)
	case emptyFile:
		return fmt.Sprintf("%s is empty; copy it from the camera again", e.Name)
	}
	return fmt.Sprintf("%s is %s, which cannot be read here yet; save it as JPEG or PNG and import that", e.Name, e.Format)
}

const emptyFile = "an empty file"

// signature is how files of a format begin.
type signature struct {
	at    int
	magic string
	words string
}

// The signatures follow the formats' own definitions: ISO/IEC 10918-1 annex B,
// the PNG specification section 5.2, TIFF 6.0 section 2, ISO/IEC 14496-12
// section 4.3 (brands of HEIF from ISO/IEC 23008-12), RFC 9649, and for the
// rest their makers' published notes.
var signatures = []signature{
	{4, "ftyphei", "an HEIC photo"},
	{4, "ftyphev", "an HEIC photo"},
	{4, "ftypmif1", "an HEIF photo"},
	{4, "ftypmsf1", "an HEIF photo"},
	{4, "ftypavi", "an AVIF picture"},
	{4, "ftypcrx", "a raw photo"},
	{4, "ftyp", "a video"},
	{8, "WEBP", "a WebP picture"},
	{8, "CR\x02\x00", "a raw photo"},
	{0, "II*\x00", "a TIFF or raw photo"},
	{0, "MM\x00*", "a TIFF or raw photo"},
	{0, "IIU\x00", "a raw photo"},
	{0, "IIRO", "a raw photo"},
	{0, "GIF8", "a GIF picture"},
	{0, "BM", "a BMP picture"},
	{0, "\x00\x00\x00\x0cJXL ", "a JPEG XL picture"},
	{0, "\xff\x0a", "a JPEG XL picture"},
	{0, "\x00\x00\x00\x0cjP  ", "a JPEG 2000 picture"},
	{0, "%PDF", "a PDF document"},
	{0, "PK\x03\x04", "an archive or office document"},
	{0, "<svg", "an SVG drawing"},
}

// Sniff tells the format from a file's first bytes; sixteen are enough. The
// name is only for the error, an *UnsupportedError.
func Sniff(head []byte, name string) (Format, error) {
	switch {
	case bytes.HasPrefix(head, []byte("\xff\xd8\xff")):
		return JPEG, nil
	case bytes.HasPrefix(head, []byte("\x89PNG\r\n\x1a\n")):
		return PNG, nil
	case len(head) == 0:
		return "", &UnsupportedError{Name: name, Format: emptyFile}
	}
	for _, s := range signatures {
		if len(head) >= s.at && bytes.HasPrefix(head[s.at:], []byte(s.magic)) {
			return "", &UnsupportedError{Name: name, Format: s.words}
		}
	}
	return "", &UnsupportedError{Name: name}
}
