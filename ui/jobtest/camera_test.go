package jobtest

import (
	"bytes"
	"image/jpeg"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"unicode"

	"wornwood/capture/bench"
	"wornwood/capture/record"
)

// The photos of 48 cameras and some phones in goexif's exif/samples. Most are
// cut off a few bytes behind their metadata, before the header that states the
// picture's size; these hold no row of a picture.
func samples(t *testing.T) []string {
	t.Helper()
	list, err := filepath.Glob(filepath.Join(moduleFolder(t, "github.com/rwcarlsen/goexif", "exif/samples"), "*"))
	if err != nil || len(list) != 58 {
		t.Fatalf("%d samples of goexif, 58 were there (%v)", len(list), err)
	}
	return list
}

// wholeSamples are those that are whole pictures: one small picture stored in
// the eight orientations, and two reduced phone photos.
func wholeSamples() []string {
	return []string{"f1-exif.jpg", "f2-exif.jpg", "f3-exif.jpg", "f4-exif.jpg", "f5-exif.jpg", "f6-exif.jpg", "f7-exif.jpg", "f8-exif.jpg",
		"geodegrees_as_string.jpg", "has-lens-info.jpg"}
}

// fate is what becomes of a sample at import, and why.
func fate(name string) string {
	switch {
	case slices.Contains(wholeSamples(), name):
		return "" // imported: a whole picture
	case name == "raw.exif":
		return "is not a photo that can be read here" // bare metadata, no picture
	}
	return "its header breaks off" // cut off behind the metadata
}

// TestCameraFilesAsTheyAre imports every sample as it lies there. Each is taken
// in whole or refused in a sentence that names it; none is shown grey. exiftool
// is the outside witness: it finds a picture's size in just those taken in.
func TestCameraFilesAsTheyAre(t *testing.T) {
	j := begin(t)
	list := samples(t)
	res := j.take(filepath.Dir(list[0]))
	became := map[string]string{}
	for _, p := range res.Added {
		became[p.Name] = ""
	}
	for _, r := range res.Refused {
		became[filepath.Base(r.File)] = r.Why
	}
	size := exiftool(t, []string{"File:ImageWidth"}, list...)
	for _, f := range list {
		name := filepath.Base(f)
		why, met := became[name]
		want := fate(name)
		switch {
		case !met:
			t.Errorf("%s is neither taken in nor refused", name)
		case want == "" && why != "", want != "" && !strings.Contains(why, want):
			t.Errorf("%s: %q, want %q", name, why, want)
		case (size[f]["File:ImageWidth"] != "") != (want == ""):
			t.Errorf("%s: exiftool finds the width %q", name, size[f]["File:ImageWidth"])
		case why != "":
			checkSentence(t, name, why)
		}
	}
	if n := len(res.Added) + len(res.Known) + len(res.Refused); n != len(list) || len(res.Known) > 0 {
		t.Errorf("%d files in, %d answers", len(list), n)
	}
	j.checkOriginals()
	for _, p := range j.ex.Record().Photos {
		j.checkPreviews(p, 6)
		if slices.ContainsFunc(p.Remarks, func(s string) bool { return strings.Contains(s, "breaks off") }) {
			t.Errorf("%s is whole and said to be broken: %v", p.Name, p.Remarks)
		}
	}
	j.checkEightOrientations()
	j.whole()
}

// checkEightOrientations: the eight files hold one picture, so upright all
// previews look alike; turned over they do not.
func (j *job) checkEightOrientations() {
	j.t.Helper()
	var first []byte
	for _, p := range j.ex.Record().Photos {
		if !slices.Contains(wholeSamples()[:8], p.Name) {
			continue
		}
		if p.Width != 40 || p.Height != 80 {
			j.t.Errorf("%s is %d x %d upright, want 40 x 80", p.Name, p.Width, p.Height)
			continue
		}
		data, err := j.b.Preview(p.ID, bench.SmallPreview)
		if err != nil {
			j.t.Fatal(err)
		}
		img, err := jpeg.Decode(bytes.NewReader(data))
		if err != nil {
			j.t.Fatal(err)
		}
		got := samplesOf(img)
		if first == nil {
			first = got
		}
		if d := difference(got, first); d > 4 {
			j.t.Errorf("%s is %.1f levels from the one stored upright", p.Name, d)
		}
		if d := difference(turned(got), first); d < 20 {
			j.t.Errorf("%s turned over is only %.1f levels away: this check cannot tell what is upright", p.Name, d)
		}
	}
	if first == nil {
		j.t.Error("none of the eight orientations was taken in")
	}
}

// TestCameraMetadataInReport gives the cut-off samples a picture again: each
// camera's own metadata before the thumbnail that this camera put into it
// (found by exiftool), or before another camera's when it has none. Dates and
// cameras must be exiftool's, and the issued report must carry them.
func TestCameraMetadataInReport(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "made whole")
	made := makeWhole(t, dir)
	j := begin(t)
	res := j.take(dir)
	if len(res.Added) != len(made) || len(res.Refused) > 0 {
		t.Fatalf("%d of %d taken in, refused: %v", len(res.Added), len(made), res.Refused)
	}
	j.record()
	j.checkRecord(len(made))
	is := j.issue()
	text := j.checkReport(is)
	j.checkOriginals()
	for _, p := range j.ex.Record().Photos {
		j.checkPreviews(p, 8)
	}
	dated := checkCameras(t, j.ex.Record(), made)
	// 46 of the samples have a date by exiftool.
	if dated < 46 {
		t.Errorf("only %d dates were compared", dated)
	}
	for _, p := range j.ex.Record().Photos {
		if day := p.Taken; day != "" && !strings.Contains(text, strings.Replace(day[:19], "T", " ", 1)) {
			t.Errorf("%s: the report does not print the camera date %s", p.Name, day)
		}
	}
	j.checkTampering(j.ex.Record().Photos[7].ID)
}

// makeWhole writes the samples with pictures into dir and returns their paths.
func makeWhole(t *testing.T, dir string) (made []string) {
	t.Helper()
	if err := os.MkdirAll(dir, 0o755); err != nil {
		t.Fatal(err)
	}
	spare, err := os.ReadFile(filepath.Join(filepath.Dir(samples(t)[0]), "has-lens-info.jpg"))
	if err != nil {
		t.Fatal(err)
	}
	bare := t.TempDir()
	heads := map[string][]byte{}
	for _, f := range samples(t) {
		name := filepath.Base(f)
		if fate(name) != "its header breaks off" {
			continue
		}
		data, err := os.ReadFile(f)
		if err != nil {
			t.Fatal(err)
		}
		heads[name] = wholeSegments(data)
		if err := os.WriteFile(filepath.Join(bare, name), append(bytes.Clone(heads[name]), 0xff, 0xd9), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	output(t, "libimage-exiftool-perl", "exiftool", "-q", "-q", "-m", "-b", "-ThumbnailImage", "-w", "%d%f.thumbnail", bare)
	own := 0
	for name, head := range heads {
		picture, err := os.ReadFile(filepath.Join(bare, strings.TrimSuffix(name, ".jpg")+".thumbnail"))
		if err != nil {
			picture = spare
		} else {
			own++
		}
		made = append(made, filepath.Join(dir, name))
		if err := os.WriteFile(made[len(made)-1], append(head, withoutMetadata(picture)...), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	if own < 40 {
		t.Errorf("only %d of %d pictures are the cameras' own", own, len(made))
	}
	slices.Sort(made)
	return made
}

// wholeSegments is a cut-off JPEG up to the end of its last whole segment.
func wholeSegments(data []byte) []byte {
	at := 2
	for at+4 <= len(data) && data[at] == 0xff && data[at+1] != 0xda {
		n := 2 + int(data[at+2])<<8 + int(data[at+3])
		if at+n > len(data) {
			break
		}
		at += n
	}
	return bytes.Clone(data[:at])
}

// withoutMetadata is a whole JPEG from its first segment on that is neither
// APPn nor a comment.
func withoutMetadata(data []byte) []byte {
	at := 2
	for at+4 <= len(data) && (data[at+1]&0xf0 == 0xe0 || data[at+1] == 0xfe) {
		at += 2 + int(data[at+2])<<8 + int(data[at+3])
	}
	return data[at:]
}

// checkCameras compares the record with exiftool's reading of the files and
// returns how many dates were compared.
func checkCameras(t *testing.T, r *record.Record, files []string) (dated int) {
	t.Helper()
	read := exiftool(t, []string{"ExifIFD:DateTimeOriginal", "IFD0:Make", "IFD0:Model", "IFD0:Orientation"}, files...)
	for _, f := range files {
		i := slices.IndexFunc(r.Photos, func(p record.Photo) bool { return p.ID == sumOf(t, f) })
		if i < 0 {
			t.Errorf("%s is not in the record", filepath.Base(f))
			continue
		}
		p, want := r.Photos[i], read[f]
		// "2004:01:11 22:45:15" is written as RFC 3339 has it.
		date := want["ExifIFD:DateTimeOriginal"]
		if unknown := strings.Trim(date, "0: ") == ""; unknown {
			date = ""
		} else {
			dated++
			date = strings.Replace(strings.Replace(date, ":", "-", 2), " ", "T", 1)
		}
		if len(p.Taken) > 19 {
			p.Taken = p.Taken[:19] // sub-seconds and zone stand behind
		}
		if p.Taken != date {
			t.Errorf("%s: taken %q, exiftool says %q", p.Name, p.Taken, date)
		}
		for _, word := range strings.Fields(want["IFD0:Model"]) {
			if !strings.Contains(p.Camera, word) {
				t.Errorf("%s: the camera %q lacks %q of exiftool's model", p.Name, p.Camera, word)
			}
		}
		if maker, _, _ := strings.Cut(want["IFD0:Make"], " "); !strings.Contains(strings.ToLower(p.Camera), strings.ToLower(maker)) {
			t.Errorf("%s: the camera %q lacks exiftool's maker %q", p.Name, p.Camera, maker)
		}
		if p.Camera != "" && want["IFD0:Make"]+want["IFD0:Model"] == "" {
			t.Errorf("%s: the camera %q, exiftool knows none", p.Name, p.Camera)
		}
	}
	return dated
}

// checkSentence holds a refusal to be one sentence about the file.
func checkSentence(t *testing.T, name, why string) {
	t.Helper()
	if len(why) < 25 || len(why) > 400 || strings.IndexFunc(why, unicode.IsControl) >= 0 || strings.Contains(why, ". ") || !strings.Contains(why, ";") {
		t.Errorf("%q is refused by %q, which is not one sentence with what to do", name, why)
	}
}
