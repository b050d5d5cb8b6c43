package receive

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"image/jpeg"
	"io"
	"math"
	"regexp"
	"strconv"

	"wornwood/capture/photo"
	"wornwood/capture/record"
	"wornwood/capture/reduce"
	"wornwood/pdfout/pdf"
)

// photoSize is the longer side in pixels of a photo of something new, as it is
// shown and printed.
const photoSize = 1600

// reduced is a photo upright, small and without metadata.
func reduced(ctx context.Context, data []byte) ([]byte, error) {
	f, _, _ := photo.ReadFields(data)
	list, _, err := reduce.Previews(ctx, data, f.Orientation, []int{photoSize}, 0, reduce.Limits{Bytes: photo.MaxBytes})
	if err != nil {
		return nil, err
	}
	return list[0].JPEG, nil
}

// The limits of what is looked for in a report's pages.
const (
	maxCommands = 16 << 20 // bytes of one page's drawing commands
	maxElements = 200_000  // of the structure
	maxPicture  = 32 << 20 // bytes of one picture
	maxPixels   = 40_000_000
)

// photoAlt is the alternative text of a photo in the section of photos, in any
// language of the report: a word, its number in the list and, behind a colon,
// what it shows.
var photoAlt = regexp.MustCompile(`^\pL+ ([0-9]{1,4})(: .*)?$`)

// Pictures finds the reduced photos that a report carries, by Photo.ID, as JPEG.
// A photo whose picture is not found, or has other proportions than the record
// says, is left out: what is shown beside the answers is a help, never a proof.
func (r *Report) Pictures() (map[string][]byte, error) {
	return PicturesIn(bytes.NewReader(r.Data), int64(len(r.Data)), r.Record, nil)
}

// PicturesIn is Pictures for a report that is not in memory: of the photos of
// its record those that are wanted, all where wanted is nil.
func PicturesIn(in io.ReaderAt, size int64, rec *record.Record, wanted func(id string) bool) (map[string][]byte, error) {
	f, err := pdf.Open(in, size, pdf.Limits{})
	if err != nil {
		return nil, fmt.Errorf("find the photos of the report: %w", err)
	}
	p := &pictures{photos: rec.Photos, wanted: wanted, view: f.At(0), found: map[string][]byte{}, pages: map[pdf.Ref]*pageDrawing{}, seen: map[pdf.Ref]bool{}}
	_, cat, err := p.view.Catalog()
	if err == nil {
		err = p.walk(cat["StructTreeRoot"], 0)
	}
	if err != nil {
		return nil, fmt.Errorf("find the photos of the report: %w", err)
	}
	return p.found, nil
}

type pictures struct {
	photos []record.Photo
	wanted func(id string) bool
	view   pdf.View
	found  map[string][]byte
	pages  map[pdf.Ref]*pageDrawing
	seen   map[pdf.Ref]bool
}

// pageDrawing is what a page draws within each piece of marked content.
type pageDrawing struct {
	images  map[int][]string
	objects pdf.Dict
}

var errDeep = errors.New("its structure is too deep, too large or runs in a circle")

// walk goes through the structure (ISO 32000-1, 14.7) and looks at figures.
func (p *pictures) walk(o pdf.Object, depth int) error {
	if ref, ok := o.(pdf.Ref); ok {
		if p.seen[ref] || len(p.seen) > maxElements {
			return errDeep
		}
		p.seen[ref] = true
	}
	if depth > 64 {
		return errDeep
	}
	e, err := p.view.Dict(o)
	if err != nil || e == nil {
		return err
	}
	if e["S"] == pdf.Name("Figure") {
		return p.figure(e)
	}
	kids, err := p.view.Array(e["K"])
	if err != nil {
		return err
	}
	for _, k := range kids {
		if _, ok := k.(pdf.Ref); !ok {
			continue // marked content, not an element
		}
		if err := p.walk(k, depth+1); err != nil {
			return err
		}
	}
	return nil
}

func (p *pictures) figure(e pdf.Dict) error {
	alt, _ := e["Alt"].(pdf.String)
	m := photoAlt.FindStringSubmatch(pdf.PlainText(alt))
	if m == nil {
		return nil
	}
	n, _ := strconv.Atoi(m[1])
	if n < 1 || n > len(p.photos) || (p.wanted != nil && !p.wanted(p.photos[n-1].ID)) {
		return nil
	}
	kids, err := p.view.Array(e["K"])
	if err != nil || len(kids) != 1 {
		return err
	}
	id, ok := kids[0].(int64)
	ref, on := e["Pg"].(pdf.Ref)
	if !ok || !on {
		return nil
	}
	page, err := p.page(ref)
	if err != nil {
		return err
	}
	names := page.images[int(id)]
	if len(names) != 1 {
		return nil
	}
	return p.take(n-1, page.objects[pdf.Name(names[0])])
}

var drawn = regexp.MustCompile(`/MCID ([0-9]{1,6})>> BDC|EMC|/([A-Za-z0-9]+) Do`)

func (p *pictures) page(ref pdf.Ref) (*pageDrawing, error) {
	if d, ok := p.pages[ref]; ok {
		return d, nil
	}
	d := &pageDrawing{images: map[int][]string{}}
	p.pages[ref] = d
	dict, err := p.view.Dict(ref)
	if err != nil {
		return d, err
	}
	res, err := p.view.Dict(dict["Resources"])
	if err != nil {
		return d, err
	}
	if d.objects, err = p.view.Dict(res["XObject"]); err != nil {
		return d, err
	}
	o, err := p.view.Resolve(dict["Contents"])
	s, ok := o.(*pdf.Stream)
	if err != nil || !ok {
		return d, err
	}
	b, err := s.Decode(maxCommands)
	if err != nil {
		return d, err
	}
	now := -1
	for _, m := range drawn.FindAllSubmatch(b, -1) {
		switch {
		case m[1] != nil:
			now, _ = strconv.Atoi(string(m[1]))
		case m[2] != nil && now >= 0:
			d.images[now] = append(d.images[now], string(m[2]))
		case m[2] == nil:
			now = -1
		}
	}
	return d, nil
}

// take keeps the JPEG of the i-th photo when it can be that photo's.
func (p *pictures) take(i int, o pdf.Object) error {
	o, err := p.view.Resolve(o)
	if err != nil {
		return err
	}
	s, ok := o.(*pdf.Stream)
	if !ok || s.Dict["Filter"] != pdf.Name("DCTDecode") {
		return nil
	}
	b, err := io.ReadAll(io.LimitReader(s.Raw(), maxPicture+1))
	if err != nil || len(b) > maxPicture {
		return err
	}
	ph := &p.photos[i]
	c, err := jpeg.DecodeConfig(bytes.NewReader(b))
	if err != nil || c.Width*c.Height > maxPixels || c.Height == 0 || ph.Height == 0 {
		return nil // shown as a photo that the report does not carry
	}
	is, want := float64(c.Width)/float64(c.Height), float64(ph.Width)/float64(ph.Height)
	if math.Abs(is/want-1) > 0.02 {
		return nil
	}
	p.found[ph.ID] = b
	return nil
}
