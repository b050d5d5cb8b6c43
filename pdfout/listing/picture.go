package listing

import (
	"context"
	"fmt"
	"image"

	paint "wornwood/annotate/draw"
	"wornwood/annotate/shape"
	"wornwood/capture/icc"
	"wornwood/capture/record"
	"wornwood/capture/reduce"
)

// Picture is one written photo of the set.
type Picture struct {
	Size          int // that was asked for
	Width, Height int // pixels
	JPEG          []byte
}

// Pictures makes a photo's pictures, one for each of the draft's sizes, from its
// original. marks are drawn with their pins when the draft wants pins. remarks
// say what is uncertain: colours that were taken for sRGB, rows that a broken
// file lacks.
func Pictures(ctx context.Context, data []byte, t Taken, marks []record.Mark, d *Draft) (out []Picture, remarks []string, err error) {
	profile, said := icc.Of(data)
	for _, s := range said {
		if s != icc.NoProfile { // nothing said means sRGB on the web, too
			remarks = append(remarks, s)
		}
	}
	base, partial, err := open(ctx, data, t, d.sizes()[0])
	if err != nil {
		return nil, nil, err
	}
	if partial.Broken() {
		remarks = append(remarks, partial.String())
	}
	_, gray := base.(*image.Gray)
	if !isSRGB(profile) && (gray || !profile.Gray()) {
		full := opaque(base)
		convert(full, profile)
		base = full
	}
	for _, size := range d.sizes() {
		if err := ctx.Err(); err != nil {
			return nil, nil, err
		}
		if w, h := fit(base.Bounds(), size); w < base.Bounds().Dx() || h < base.Bounds().Dy() {
			base = reduce.Resample(base, w, h)
		}
		img := base
		if d.Pins {
			img = pinned(base, t.Photo, marks)
		}
		jpg, err := encodeJPEG(img, d.quality())
		if err != nil {
			return nil, nil, err
		}
		out = append(out, Picture{size, img.Bounds().Dx(), img.Bounds().Dy(), jpg})
	}
	return out, remarks, nil
}

// open decodes a photo upright. Without covers it is reduced while it is
// decoded; with covers they are painted at full size first.
func open(ctx context.Context, data []byte, t Taken, size int) (image.Image, reduce.Partial, error) {
	if len(t.Covers) == 0 {
		return reduce.Reduce(ctx, data, t.Photo.Orientation, size, reduce.Limits{})
	}
	img, partial, err := reduce.Decode(data, reduce.Limits{})
	if err != nil {
		return nil, partial, err
	}
	paintOut(img, t.Photo.Orientation, t.Covers)
	img = reduce.Upright(img, t.Photo.Orientation)
	if w, h := fit(img.Bounds(), size); w < img.Bounds().Dx() || h < img.Bounds().Dy() {
		img = reduce.Resample(img, w, h)
	}
	return img, partial, nil
}

// fit is a picture's size when its longer side is at most so many pixels.
func fit(b image.Rectangle, size int) (w, h int) {
	w, h = b.Dx(), b.Dy()
	if long := max(w, h); long > size {
		return max(1, (2*w*size+long)/(2*long)), max(1, (2*h*size+long)/(2*long))
	}
	return w, h
}

// pinned draws the figures and pins of the photo's marks on a copy.
func pinned(img image.Image, p *record.Photo, marks []record.Mark) image.Image {
	var on []record.Mark
	for _, m := range marks {
		if m.OnPhoto(p.ID) {
			on = append(on, m)
		}
	}
	if len(on) == 0 || p.Width < 1 || p.Height < 1 {
		return img
	}
	dst := opaque(img)
	b := dst.Bounds()
	unit := float64(max(b.Dx(), b.Dy())) / 900
	st := paint.OnPhoto().At(unit)
	view := shape.Scale(float64(b.Dx())/float64(p.Width), float64(b.Dy())/float64(p.Height))
	paint.Paint(dst, paint.PhotoShapes(p.ID, on, 0, st), view)
	radius := 10 * unit
	pins := paint.Layout(paint.ToView(paint.PhotoAnchors(p.ID, on, 0), view), radius, shape.Rect{Max: shape.Pt{X: float64(b.Dx()), Y: float64(b.Dy())}})
	paint.Paint(dst, paint.PinsOps(pins, radius, st), shape.Identity())
	return dst
}

// caption is a photo in a few words, for the text of a picture that is not
// shown.
func caption(p *record.Photo) string {
	switch {
	case p.Caption != "":
		return p.Caption
	case p.View != "":
		return p.View
	}
	return "photo"
}

// problem names the photo that something went wrong with.
func problem(p *record.Photo, err error) error {
	return fmt.Errorf("make %s for the listing: %w", p.Name, err)
}
