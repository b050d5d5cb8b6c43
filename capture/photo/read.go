package photo

import (
	"fmt"
	"path/filepath"
	"strings"

	"wornwood/capture/blob"
	"wornwood/capture/record"
	"wornwood/capture/reduce"
)

// MaxBytes is the largest original that is taken in. The largest cameras write
// JPEGs of under 80 MB.
const MaxBytes = 128 << 20

// Read reads what a file says about itself. The name may have folders, which
// are left out. The error is an *UnsupportedError for a file of another format
// and one sentence naming the file when it is damaged. Unreadable metadata is
// no error: a photo is a photo without it.
func Read(data []byte, name string) (record.Photo, error) {
	name = Name(name)
	format, err := Sniff(data[:min(len(data), 16)], name)
	if err != nil {
		return record.Photo{}, err
	}
	if len(data) > MaxBytes {
		return record.Photo{}, fmt.Errorf("%s has %d MiB, more than the %d that are taken in; save a smaller copy", name, len(data)>>20, MaxBytes>>20)
	}
	c, err := reduce.Config(data)
	if err != nil {
		return record.Photo{}, fmt.Errorf("%s cannot be shown: %w", name, err)
	}
	f, agreement, diffs := ReadFields(data)
	p := record.Photo{
		ID:          blob.Sum(data),
		Name:        name,
		Size:        int64(len(data)),
		Format:      string(format),
		Width:       c.Width,
		Height:      c.Height,
		Orientation: f.Orientation,
		Focal35:     f.Focal35,
		Taken:       f.taken(),
		Camera:      camera(f.Make, f.Model),
		Serial:      f.Serial,
		Software:    f.Software,
		Agreement:   agreement,
		Differences: diffs,
		Remarks:     f.remarks(diffs),
	}
	if f.Orientation >= 5 { // the sides change places
		p.Width, p.Height = p.Height, p.Width
	}
	return p, nil
}

// ReadFields reads the metadata with both readers and merges them.
func ReadFields(data []byte) (Fields, string, []record.TwoRead) {
	var got [2]Fields
	for i, r := range Readers() {
		// A reader that fails has found nothing; the other may have, and
		// Agreement then says that it was alone.
		got[i], _ = r.Read(data)
	}
	return merge(got[0], got[1])
}

// Readers are the two metadata readers, the first one first.
func Readers() [2]Reader { return [2]Reader{firstReader{}, secondReader{}} }

// camera joins maker and model, which often begins with the maker already.
func camera(maker, model string) string {
	if first, _, _ := strings.Cut(maker, " "); first != "" && strings.HasPrefix(strings.ToLower(model), strings.ToLower(first)) {
		return model
	}
	return strings.TrimSpace(maker + " " + model)
}

// Name is a file's own name, from a path of this system or another, short
// enough for a record or a sentence and without characters that do not print.
func Name(p string) string {
	p = filepath.Base(strings.ReplaceAll(p, `\`, "/"))
	if p = clean(p); p == "" || p == "." || p == "/" {
		return "unnamed file"
	}
	return p
}
