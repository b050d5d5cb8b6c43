// Package listing makes what goes beside an issued report when an instrument is
// offered: photos of a size for the web and a text, and it says what an edited
// text leaves out.
//
// Start with Draft, which is what a person decided, Write, which makes the
// files, and Check, which compares a text with the record. The photos are
// decoded from the originals, turned upright, converted to sRGB and written
// anew, so nothing of their metadata is in them: no place, no serial number of
// a camera. What a cover lies over is painted out before anything is scaled.
// Originals are never changed, and neither is a record.
//
// Check reads words, not meaning. It informs, and nothing waits for it.
package listing

import (
	"encoding/json"
	"fmt"
	"io"
	"math"
	"slices"

	"wornwood/annotate"
	"wornwood/annotate/shape"
	"wornwood/capture/record"
)

// Schema names the JSON shape of a Draft.
const Schema = "wornwood.listing/1"

// Limits of a draft.
const (
	MinSize, MaxSize = 200, 6000 // pixels of the longer side
	maxSizes         = 4
	maxCovers        = 100
	// MaxText bounds a text, in bytes.
	MaxText = 200_000
	// MaxDraft bounds a draft in JSON, in bytes.
	MaxDraft = 4 << 20
)

// Usual sizes and quality: 1600 pixels fill a wide window, 800 a telephone;
// common practice. Quality is on the scale of the Independent JPEG Group.
var usualSizes = []int{1600}

// UsualQuality is the JPEG quality when none was chosen.
const UsualQuality = 85

// Draft is what somebody decided about the listing of one examination. It is no
// part of the record: it may change after the report was issued. The zero value
// takes every photo, the composed text and the usual size.
type Draft struct {
	Schema    string  `json:"schema"`
	Text      string  `json:"text,omitempty"` // as edited; "" is the composed text
	Photos    []Photo `json:"photos,omitempty"`
	Sizes     []int   `json:"sizes,omitempty"`   // pixels of the longer side, falling
	Quality   int     `json:"quality,omitempty"` // 1 to 100
	Pins      bool    `json:"pins,omitempty"`
	NoSerials bool    `json:"noSerials,omitempty"`
}

// Photo is what was decided about one photo. A photo that is not listed is taken
// as it is.
type Photo struct {
	ID     string  `json:"id"` // record.Photo.ID
	Out    bool    `json:"out,omitempty"`
	Covers []Cover `json:"covers,omitempty"`
}

// Cover is an upright rectangle that nothing may be seen under, in pixels of the
// upright photo: two opposite corners as [x0, y0, x1, y1].
type Cover [4]float64

// Rect is the cover with its corners in order.
func (c Cover) Rect() shape.Rect {
	return shape.Rect{Min: shape.Pt{X: min(c[0], c[2]), Y: min(c[1], c[3])}, Max: shape.Pt{X: max(c[0], c[2]), Y: max(c[1], c[3])}}
}

func (c Cover) check() error {
	for _, v := range c {
		if math.IsNaN(v) || math.Abs(v) > 1e6 {
			return fmt.Errorf("a cover is no rectangle in pixels")
		}
	}
	if r := c.Rect(); r.Dx() < 1 || r.Dy() < 1 {
		return fmt.Errorf("a cover is smaller than a pixel")
	}
	return nil
}

// Read reads a draft and checks it.
func Read(r io.Reader) (*Draft, error) {
	var d Draft
	if err := json.NewDecoder(io.LimitReader(r, MaxDraft)).Decode(&d); err != nil {
		return nil, fmt.Errorf("read listing: %w", err)
	}
	if d.Schema != Schema {
		return nil, fmt.Errorf("read listing: its schema is %q, which this program does not know", d.Schema)
	}
	if err := d.Check(); err != nil {
		return nil, fmt.Errorf("read listing: %w", err)
	}
	return &d, nil
}

// JSON writes the draft.
func (d *Draft) JSON() ([]byte, error) {
	out := *d
	out.Schema = Schema
	out.Photos = slices.DeleteFunc(slices.Clone(d.Photos), func(p Photo) bool { return !p.Out && len(p.Covers) == 0 })
	return json.MarshalIndent(&out, "", "  ")
}

// Check says what about the draft is impossible.
func (d *Draft) Check() error {
	if d.Quality < 0 || d.Quality > 100 {
		return fmt.Errorf("a JPEG quality of %d; it runs from 1 to 100", d.Quality)
	}
	if len(d.Sizes) > maxSizes {
		return fmt.Errorf("%d sizes; a listing has at most %d", len(d.Sizes), maxSizes)
	}
	for i, s := range d.Sizes {
		if s < MinSize || s > MaxSize {
			return fmt.Errorf("a size of %d pixels; it runs from %d to %d", s, MinSize, MaxSize)
		}
		if i > 0 && s >= d.Sizes[i-1] {
			return fmt.Errorf("the sizes %v do not fall", d.Sizes)
		}
	}
	if len(d.Text) > MaxText || len(d.Photos) > record.MaxPhotos {
		return fmt.Errorf("a text or a list of photos longer than a listing can have")
	}
	for _, p := range d.Photos {
		if len(p.Covers) > maxCovers {
			return fmt.Errorf("%d covers on one photo; it can have %d", len(p.Covers), maxCovers)
		}
		for _, c := range p.Covers {
			if err := c.check(); err != nil {
				return err
			}
		}
	}
	return nil
}

// Photo is what was decided about a photo.
func (d *Draft) Photo(id string) Photo {
	for _, p := range d.Photos {
		if p.ID == id {
			return p
		}
	}
	return Photo{ID: id}
}

// SetPhoto keeps what is decided about a photo.
func (d *Draft) SetPhoto(p Photo) {
	list := slices.DeleteFunc(slices.Clone(d.Photos), func(q Photo) bool { return q.ID == p.ID })
	d.Photos = append(list, p)
}

func (d *Draft) sizes() []int {
	if len(d.Sizes) == 0 {
		return usualSizes
	}
	return d.Sizes
}

func (d *Draft) quality() int {
	if d.Quality == 0 {
		return UsualQuality
	}
	return d.Quality
}

// Taken is a photo of the set.
type Taken struct {
	Photo  *record.Photo
	Covers []Cover
	Name   string // of its file at the largest size: "01-front.jpg"
}

// LeftOut is a photo that is not in the set, and why.
type LeftOut struct {
	Photo *record.Photo
	Why   string // a clause: "it shows the serial number and is not covered"
}

// Choose puts the photos in the order of the class's views, close-ups and others
// behind them, and names their files. Without serial numbers, photos of a view
// that shows one are left out unless they are covered.
func Choose(rec *record.Record, d *Draft) (taken []Taken, out []LeftOut) {
	order := make([]*record.Photo, len(rec.Photos))
	for i := range rec.Photos {
		order[i] = &rec.Photos[i]
	}
	views := annotate.PhotoViews(rec.Instrument.Class)
	rank := func(p *record.Photo) int {
		switch i := slices.IndexFunc(views, func(v annotate.PhotoView) bool { return v.ID == p.View }); {
		case i >= 0:
			return i
		case p.View == annotate.CloseUp:
			return len(views) + 1
		case p.View == "":
			return len(views) + 2
		}
		return len(views)
	}
	slices.SortStableFunc(order, func(a, b *record.Photo) int { return rank(a) - rank(b) })
	for _, p := range order {
		said := d.Photo(p.ID)
		switch {
		case said.Out:
			out = append(out, LeftOut{p, "it was left out"})
		case d.NoSerials && ShowsSerial(p) && len(said.Covers) == 0:
			out = append(out, LeftOut{p, "it shows the serial number or label and is not covered"})
		default:
			taken = append(taken, Taken{p, said.Covers, fileName(len(taken)+1, len(order), p)})
		}
	}
	return taken, out
}

// ShowsSerial tells whether the photo is of a view that shows a serial number or
// a label.
func ShowsSerial(p *record.Photo) bool { return p.View == "serial" || p.View == "label" }
