package ui

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"image"
	"image/jpeg"

	"wornwood/capture/bench"
	"wornwood/capture/record"
)

// loadPhoto brings a photo for a canvas: first the large preview, which is
// there at once, then the original at full size, upright. photo gives what the
// record says of it.
func loadPhoto(b *bench.Bench, photo func(id string) *record.Photo) func(ctx context.Context, id string, show func(img image.Image, final bool)) error {
	return func(ctx context.Context, id string, show func(image.Image, bool)) error {
		if small, err := preview(b, id, bench.LargePreview); err == nil {
			show(small, false)
		}
		if err := ctx.Err(); err != nil {
			return err
		}
		p := photo(id)
		if p == nil {
			return errors.New("read photo: the examination has no such photo any more")
		}
		img, err := b.Picture(*p)
		if err != nil {
			return fmt.Errorf("read photo: %w", err)
		}
		if err := ctx.Err(); err != nil {
			return err
		}
		show(img, true)
		return nil
	}
}

// fullSize is the photo shown at its full size, nil before it has come.
func (s *marksScreen) fullSize() image.Image {
	p := s.w.exam.s.Scene().Record.PhotoByID(s.m.Photo())
	pic := s.photo.Photo()
	if p == nil || pic == nil {
		return nil
	}
	if w, h := pic.Size(); w != p.Width || h != p.Height {
		return nil // the preview, which comes first
	}
	return pic.Original()
}

// preview decodes a photo's preview.
func preview(b *bench.Bench, id string, size int) (image.Image, error) {
	j, err := b.Preview(id, size)
	if err != nil {
		return nil, err
	}
	img, err := jpeg.Decode(bytes.NewReader(j))
	if err != nil {
		return nil, fmt.Errorf("read preview: %w", err)
	}
	return img, nil
}

// thumbs keeps the small pictures of a screen's photos, each decoded once.
type thumbs struct {
	b    *bench.Bench
	kept map[string]image.Image
}

func newThumbs(b *bench.Bench) *thumbs { return &thumbs{b, map[string]image.Image{}} }

// get is a photo's small picture; nil for a photo that cannot be read, whose
// place stays grey: the check of the bench names the file.
func (t *thumbs) get(id string) image.Image {
	img, ok := t.kept[id]
	if !ok && id != "" {
		if m, err := preview(t.b, id, bench.SmallPreview); err == nil {
			img = m
		}
		t.kept[id] = img
	}
	return img
}
