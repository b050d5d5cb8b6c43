package photo

import (
	"errors"
	"strings"
	"unicode"
)

// Fields is what one reader found in a file. Text is as the file has it, with
// surrounding blanks and unprintable characters removed; "" and 0 mean absent.
type Fields struct {
	Taken       string // DateTimeOriginal, "2006:01:02 15:04:05"
	SubSec      string // SubSecTimeOriginal, digits after the point
	Offset      string // OffsetTimeOriginal, "+02:00"
	Modified    string // DateTime of the file's first directory: when the file was last changed
	Make        string
	Model       string
	Serial      string // BodySerialNumber
	Software    string
	Lens        string
	Orientation int // 1 to 8
	Focal35     int // FocalLengthIn35mmFilm, mm: the angle of view as a lens on 24 x 36 mm would have it
}

// empty tells whether the reader found nothing.
func (f Fields) empty() bool { return f == Fields{} }

// Reader is one way of reading metadata. Read gets a whole file and returns
// ErrNoMetadata when there is none to read; any other error says that what is
// there cannot be read.
type Reader interface {
	Name() string
	Read(data []byte) (Fields, error)
}

// ErrNoMetadata says that a file carries no metadata.
var ErrNoMetadata = errors.New("the file carries no metadata")

// maxText bounds one text field: cameras write up to 64 characters, and a
// hostile file must not fill the record.
const maxText = 200

// clean removes what is no part of a text value: everything from the first
// zero byte on, surrounding blanks, unprintable characters.
func clean(s string) string {
	s, _, _ = strings.Cut(s, "\x00")
	s = strings.ToValidUTF8(s, "")
	s = strings.Map(func(r rune) rune {
		if unicode.IsSpace(r) {
			return ' '
		}
		if !unicode.IsPrint(r) || r == unicode.ReplacementChar {
			return -1
		}
		return r
	}, s)
	s = strings.TrimSpace(s)
	if len(s) > maxText {
		s = strings.ToValidUTF8(s[:maxText], "") // a rune cut in two goes
	}
	return s
}
