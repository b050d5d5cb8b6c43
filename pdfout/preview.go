package pdfout

import (
	"bytes"
	"context"
	"fmt"
	"image"
	"image/jpeg"
	"sync"

	"wornwood/capture/reduce"
	"wornwood/pdfout/page"
	"wornwood/pdfout/paint"
)

// Preview is a report laid out for a screen: the pages of Build, by the same
// calls. It differs in what only a finished report has: number, time and
// signer, and close-ups cut from the originals, for which the photos' previews
// stand.
type Preview struct {
	doc      *paint.Doc
	pages    int
	pictures *Pictures
}

// NewPreview lays the report out. pictures may be kept from one preview to the
// next, so that photos are decoded once; nil makes a new store.
func NewPreview(ctx context.Context, in Input, pictures *Pictures) (*Preview, error) {
	if in.Record == nil || in.Created.IsZero() {
		return nil, fmt.Errorf("preview report: a record and a time are needed")
	}
	if err := in.judge(); err != nil {
		return nil, fmt.Errorf("preview report: %w", err)
	}
	rec, _, err := attached(in.Record, in.Grade)
	if err != nil {
		return nil, fmt.Errorf("preview report: %w", err)
	}
	wide, tall, err := page.Size(in.Paper)
	if err != nil {
		return nil, fmt.Errorf("preview report: %w", err)
	}
	d, err := paint.New(paint.Options{Width: wide, Height: tall, Title: in.title(), Created: in.Created.UTC(), Sheets: true})
	if err != nil {
		return nil, fmt.Errorf("preview report: %w", err)
	}
	laid, err := page.Lay(ctx, d, &page.Report{
		Record: in.Record, Grade: in.Grade, Drawing: in.Drawing, Rubric: in.Rubric, Photos: in.Photos, Paper: in.Paper, Text: in.text, Inches: in.Inches,
		Created: in.Created, RecordHash: hexSum(rec), Signer: in.Signer, Draft: true,
	}, nil)
	if err != nil {
		return nil, fmt.Errorf("preview report: %w", err)
	}
	if pictures == nil {
		pictures = NewPictures(0)
	}
	return &Preview{doc: d, pages: laid.Pages, pictures: pictures}, nil
}

// Pages is the number of pages.
func (p *Preview) Pages() int { return p.pages }

// Size is the size of a page in mm.
func (p *Preview) Size() (w, h float64) { return p.doc.Width(), p.doc.Height() }

// Render draws page n, from 1, at k pixels per mm. It may run beside others.
func (p *Preview) Render(n int, k float64) (*image.RGBA, error) {
	return p.render(n, k, p.pictures.get)
}

// RenderAtOnce draws the page with those photos only that are decoded already,
// grey places for the others, and says whether all were.
func (p *Preview) RenderAtOnce(n int, k float64) (img *image.RGBA, whole bool, err error) {
	whole = true
	img, err = p.render(n, k, func(pic paint.Picture, across int) image.Image {
		m := p.pictures.have(keyFor(pic, across))
		whole = whole && m != nil
		return m
	})
	return img, whole, err
}

func (p *Preview) render(n int, k float64, pictures func(paint.Picture, int) image.Image) (*image.RGBA, error) {
	s := p.doc.Sheet(n)
	if s == nil {
		return nil, fmt.Errorf("preview report: it has no page %d", n)
	}
	if !(k > 0) || k > 100 {
		return nil, fmt.Errorf("preview report: %g pixels per mm are none", k)
	}
	w, h := int(s.Width*k+0.5), int(s.Height*k+0.5)
	if w < 1 || h < 1 || w > 8000 || h > 8000 {
		return nil, fmt.Errorf("preview report: a page of %d by %d pixels is not drawn", w, h)
	}
	img := image.NewRGBA(image.Rect(0, 0, w, h))
	s.Paint(img, k, pictures)
	return img, nil
}

// Pictures keeps the photos of previews, whole or reduced by halves, so that a
// photo shown at several sizes is kept a few times at most.
type Pictures struct {
	mu    sync.Mutex
	most  int // bytes
	bytes int
	kept  map[pictureKey]image.Image
	order []pictureKey
}

type pictureKey struct {
	hash   [32]byte
	halved int // times
}

// NewPictures makes a store of at most so many bytes of pixels; 0 takes 128 MiB.
func NewPictures(most int) *Pictures {
	if most <= 0 {
		most = 128 << 20
	}
	return &Pictures{most: most, kept: map[pictureKey]image.Image{}}
}

// get is a picture that is at least w pixels wide where it has so many; nil when
// it cannot be read.
func (p *Pictures) get(pic paint.Picture, w int) image.Image {
	key := keyFor(pic, w)
	if img := p.have(key); img != nil {
		return img
	}
	b, err := pic.Load()
	if err != nil {
		return nil
	}
	img, err := jpeg.Decode(bytes.NewReader(b))
	if err != nil {
		return nil
	}
	if key.halved > 0 {
		img = reduce.Resample(img, max(1, pic.Width>>key.halved), max(1, pic.Height>>key.halved))
	}
	p.keep(key, img)
	return img
}

func keyFor(pic paint.Picture, w int) pictureKey {
	key := pictureKey{hash: pic.Key()}
	for pic.Width>>(key.halved+1) >= max(w, 1) {
		key.halved++
	}
	return key
}

func (p *Pictures) have(key pictureKey) image.Image {
	p.mu.Lock()
	defer p.mu.Unlock()
	return p.kept[key]
}

func (p *Pictures) keep(key pictureKey, img image.Image) {
	p.mu.Lock()
	defer p.mu.Unlock()
	if p.kept[key] != nil {
		return
	}
	p.kept[key] = img
	p.order = append(p.order, key)
	p.bytes += weight(img)
	for p.bytes > p.most && len(p.order) > 1 {
		old := p.order[0]
		p.order = p.order[1:]
		p.bytes -= weight(p.kept[old])
		delete(p.kept, old)
	}
}

// weight is the size of a picture's pixels in bytes.
func weight(img image.Image) int {
	if y, ok := img.(*image.YCbCr); ok {
		return len(y.Y) + len(y.Cb) + len(y.Cr)
	}
	return 4 * img.Bounds().Dx() * img.Bounds().Dy()
}
