package pdfout

import (
	"bytes"
	"context"
	"fmt"
	"image"
	"image/jpeg"
	"sync"

	"wornwood/annotate/grade"
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
		Record: in.Record, Grade: in.Grade, Drawing: in.Drawing, Rubric: grade.Default(), Photos: in.Photos, Paper: in.Paper,
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
	s.Paint(img, k, p.pictures.get)
	return img, nil
}

// Pictures keeps the photos of previews at the sizes in which they were drawn.
type Pictures struct {
	mu    sync.Mutex
	most  int // bytes
	bytes int
	kept  map[pictureKey]image.Image
	order []pictureKey
}

type pictureKey struct {
	hash [32]byte
	w, h int
}

// NewPictures makes a store of at most so many bytes of pixels; 0 takes 96 MiB.
func NewPictures(most int) *Pictures {
	if most <= 0 {
		most = 96 << 20
	}
	return &Pictures{most: most, kept: map[pictureKey]image.Image{}}
}

// get is a picture reduced to about w by h pixels, nil when it cannot be read.
func (p *Pictures) get(pic paint.Picture, w, h int) image.Image {
	key := pictureKey{pic.Key(), w, h}
	p.mu.Lock()
	img := p.kept[key]
	p.mu.Unlock()
	if img != nil {
		return img
	}
	b, err := pic.Load()
	if err != nil {
		return nil
	}
	full, err := jpeg.Decode(bytes.NewReader(b))
	if err != nil {
		return nil
	}
	img = full
	if w < full.Bounds().Dx() {
		img = reduce.Resample(full, max(1, w), max(1, h))
	}
	p.keep(key, img)
	return img
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

func weight(img image.Image) int { return 4 * img.Bounds().Dx() * img.Bounds().Dy() }
