package photo

import (
	"regexp"
	"strings"
	"time"
	"unicode"

	"wornwood/capture/record"
)

const shown = "2006-01-02 15:04:05"

// remarks says in sentences what about the metadata a buyer may ask about.
func (f Fields) remarks(diffs []record.TwoRead) []string {
	if f.empty() {
		return []string{"The file holds no camera metadata."}
	}
	var out []string
	taken, ok := parseDate(f.Taken)
	switch {
	case f.Taken == "" || unset(f.Taken):
		out = append(out, "The file has no camera date.")
	case !ok:
		out = append(out, "The camera date reads “"+f.Taken+"”, which is not a date.")
	case f.zone() == "":
		out = append(out, "The camera date has no time zone.")
	}
	if changed, known := parseDate(f.Modified); known && ok && !changed.Equal(taken) {
		word := ", later than"
		if changed.Before(taken) {
			word = ", earlier than"
		}
		out = append(out, "The file gives "+changed.Format(shown)+" as its last change"+word+" the camera date "+taken.Format(shown)+".")
	}
	if f.Software != "" && !firmware(f.Software, f.Make, f.Model) {
		out = append(out, "The file names “"+f.Software+"” as the program that wrote it; it may have been edited.")
	}
	for _, d := range diffs {
		out = append(out, "Two readers give different values for the "+d.Field+"; both are kept.")
	}
	return out
}

// version is a version number with at most a word before it, the way cameras
// write their firmware: "Ver.1.02", "V1.0", "Version 2.10", "14.4.1", "1.00 ".
var version = regexp.MustCompile(`(?i)^(digital camera |firmware )?(fw|ver(sion)?|v|rev)?[ .:]*[0-9][0-9A-Za-z.,_-]*$`)

// firmware tells whether a software field is likely the camera's own: a mere
// version, or a text that names the camera. The list of cameras and programs is
// endless and none is kept here, so this is a judgement by form.
func firmware(software, maker, model string) bool {
	if version.MatchString(software) {
		return true
	}
	s := strings.ToLower(software)
	for _, m := range []string{model, maker} {
		for _, w := range strings.FieldsFunc(strings.ToLower(m), func(r rune) bool { return unicode.IsSpace(r) || r == ',' }) {
			if len(w) >= 3 && strings.Contains(s, w) {
				return true
			}
		}
	}
	return false
}

// Stamp notes when a photo came onto the bench and adds the remark that only
// then is possible: a camera date in the future. Without a zone a date counts
// as future only when it is so everywhere on earth.
func Stamp(p *record.Photo, at time.Time) {
	p.Imported = at.Format(time.RFC3339)
	t, zoned, ok := ParseTaken(p.Taken)
	if !ok {
		return
	}
	if !zoned {
		t = t.Add(-14 * time.Hour)
	}
	// A minute of difference between two clocks is no remark.
	if t.After(at.Add(time.Minute)) {
		p.Remarks = append(p.Remarks, "The camera date is later than the time of import; the camera's clock was wrong or the date was altered.")
	}
}
