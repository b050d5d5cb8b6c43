package photo

import (
	"regexp"
	"strings"
	"time"
)

// exifLayout is how Exif writes a date and time (Exif 2.32, section 4.6.5 F).
const exifLayout = "2006:01:02 15:04:05"

var (
	digits = regexp.MustCompile(`^[0-9]{1,9}$`)
	zone   = regexp.MustCompile(`^[+-](0[0-9]|1[0-4]):[0-5][0-9]$`)
)

// parseDate reads an Exif date; the result is in UTC for want of a zone.
func parseDate(s string) (time.Time, bool) {
	t, err := time.Parse(exifLayout, s)
	return t, err == nil && t.Year() > 0
}

// unset tells whether a date is one of the ways of writing that it is unknown:
// blanks between the colons (as Exif says) or zeros (as some cameras do).
func unset(s string) bool { return strings.Trim(s, "0: ") == "" }

// taken writes the camera's date as RFC 3339 has it, with sub-seconds and zone
// only where the file has them. A zone is never guessed.
func (f Fields) taken() string {
	t, ok := parseDate(f.Taken)
	if !ok {
		return ""
	}
	s := t.Format("2006-01-02T15:04:05")
	if digits.MatchString(f.SubSec) {
		s += "." + f.SubSec
	}
	return s + f.zone()
}

// zone is the zone in the file, or "".
func (f Fields) zone() string {
	switch {
	case zone.MatchString(f.Offset):
		return f.Offset
	case f.Offset == "Z":
		return "Z"
	}
	return ""
}

// ParseTaken reads Photo.Taken. Without a zone in it the time is in UTC and
// zoned is false: the instant is then known to within 14 hours only.
func ParseTaken(s string) (t time.Time, zoned, ok bool) {
	if t, err := time.Parse(time.RFC3339Nano, s); err == nil {
		return t, true, true
	}
	t, err := time.Parse("2006-01-02T15:04:05.999999999", s)
	return t, false, err == nil
}
