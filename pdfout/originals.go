package pdfout

import (
	"context"
	"fmt"
	"io"
	"os"
	"strings"
	"unicode"

	"wornwood/capture/bench"
	"wornwood/capture/photo"
	"wornwood/capture/record"
	"wornwood/pdfout/paint"
	"wornwood/pdfout/pdf"
)

// OriginalsFolder stands before the names of the original photos among the
// files attached to a report.
const OriginalsFolder = "originals/"

// maxOriginals bounds the originals in one report, in bytes: what is issued
// must be small enough to be verified (see pdf.Limits), with room for the pages.
const maxOriginals = 448 << 20

// maxOriginalName bounds the photo's own name in that of its original, in bytes.
const maxOriginalName = 80

// OriginalName is the name under which the original of a record's photo, from
// 0, is attached: its number in the report, so that no two are the same, and
// its own name with what a system could take amiss replaced by "_".
func OriginalName(i int, p *record.Photo) string {
	name := strings.Map(func(r rune) rune {
		if !unicode.IsPrint(r) || strings.ContainsRune(`<>:"/\|?*`, r) || r == unicode.ReplacementChar {
			return '_'
		}
		return r
	}, strings.ToValidUTF8(p.Name, "_"))
	if r := []rune(name); len(name) > maxOriginalName { // the end tells the kind
		for len(string(r)) > maxOriginalName {
			r = r[1:]
		}
		name = string(r)
	}
	if name = strings.TrimRight(name, ". "); name == "" {
		name = "photo"
	}
	return fmt.Sprintf("%s%03d %s", OriginalsFolder, i+1, name)
}

// Telling is what an original gives away beside the picture.
type Telling struct {
	Name   string `json:"name"`   // of the photo
	Serial bool   `json:"serial"` // the serial number of a camera
	Place  bool   `json:"place"`  // where it was taken
}

// OriginalsTell looks through the originals of a record and lists those that
// carry a camera's serial number or a place, as far as Exif and XMP say. It
// reads every original once.
func OriginalsTell(ctx context.Context, from Source, r *record.Record) ([]Telling, error) {
	var out []Telling
	for i := range r.Photos {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		data, err := from.OriginalBytes(r.Photos[i].ID)
		if err != nil {
			return nil, fmt.Errorf("look through originals: %s: %w", r.Photos[i].Name, err)
		}
		if serial, place := photo.Tells(data); serial || place {
			out = append(out, Telling{r.Photos[i].Name, serial, place})
		}
	}
	return out, nil
}

// TellingWords says in plain sentences what goes out with the originals.
func TellingWords(n int, list []Telling) []string {
	if n == 0 {
		return []string{"There are no photos."}
	}
	out := []string{"An original holds everything that the camera wrote into it; the pictures on the pages hold none of it. Whoever gets the report gets that as well."}
	var serial, place []string
	for _, t := range list {
		if t.Serial {
			serial = append(serial, t.Name)
		}
		if t.Place {
			place = append(place, t.Name)
		}
	}
	if len(place) > 0 {
		out = append(out, fmt.Sprintf("%d of %d say where they were taken: %s.", len(place), n, few(place)))
	}
	if len(serial) > 0 {
		out = append(out, fmt.Sprintf("%d of %d carry the serial number of a camera: %s.", len(serial), n, few(serial)))
	}
	if len(list) == 0 {
		out = append(out, "None of them states a place or the serial number of a camera; what a camera keeps in notes of its maker's own is not looked through.")
	}
	return out
}

// few names the first of a list and counts the others.
func few(names []string) string {
	const most = 8
	if len(names) <= most {
		return strings.Join(names, ", ")
	}
	return fmt.Sprintf("%s and %d more", strings.Join(names[:most], ", "), len(names)-most)
}

// Originals opens an original for reading; see Input.
type Originals func(id string) (io.ReadCloser, error)

// benchOriginals opens them where they lie: their content is checked against
// its digest as it is copied into the report.
func benchOriginals(b *bench.Bench) Originals {
	return func(id string) (io.ReadCloser, error) { return os.Open(b.OriginalPath(id)) }
}

// attachOriginals announces the originals to the document and gives what stands
// for them among the attachments.
func (in *Input) attachOriginals(ctx context.Context, d *paint.Doc, say Progress) ([]pdf.Attachment, error) {
	if in.Originals == nil {
		return nil, nil
	}
	total := int64(0)
	var out []pdf.Attachment
	for i := range in.Record.Photos {
		p := &in.Record.Photos[i]
		if total += p.Size; total > maxOriginals {
			return nil, fmt.Errorf("the originals have more than the %d MiB that a report takes; issue it without them and send them beside it", maxOriginals>>20)
		}
		open := func() (io.ReadCloser, error) {
			if err := ctx.Err(); err != nil {
				return nil, err
			}
			say(i, len(in.Record.Photos), "original "+p.Name)
			return in.Originals(p.ID)
		}
		standIn, err := d.Later(p.Name, p.ID, p.Size, open)
		if err != nil {
			return nil, err
		}
		out = append(out, pdf.Attachment{Name: OriginalName(i, p), MediaType: mediaType(p.Format), Relationship: "Data", Modified: in.Created,
			Data: standIn, Later: p.Size, Description: fmt.Sprintf("Original of photo %d, sha-256 %s", i+1, p.ID)})
	}
	return out, nil
}

func mediaType(format string) string {
	switch format {
	case string(photo.JPEG):
		return "image/jpeg"
	case string(photo.PNG):
		return "image/png"
	}
	return "application/octet-stream"
}
