package page

import (
	"bytes"
	"fmt"
	"image"
	_ "image/png" // originals may be PNG
	"slices"

	"github.com/disintegration/imaging"
	"golang.org/x/image/draw"

	"wornwood/annotate/shape"
	"wornwood/capture/record"
	"wornwood/pdfout/paint"
)

// Close-ups are cut in the proportions of their frames on the page.
const (
	cropWide, cropTall = 40.75, 28.5 // mm
	cropPixels         = 640         // width at most: 400 dpi in print
	cropEnough         = 300         // width from which a preview is good enough
	cropFiner          = 0.67        // a preview with more of the original's resolution than this will do
	cropsPerMark       = 2
	maxOriginal        = 80_000_000 // pixels of an original decoded for a close-up
)

// cropKey names one close-up: the mark, and which of its photo places.
type cropKey struct{ mark, place int }

// crop is one close-up to be cut.
type crop struct {
	key    cropKey
	region shape.Rect // pixels of the upright photo
	aim    shape.Pt   // what the mark points at, as shares of the region
}

// cutCloseUps cuts the close-ups of all marks, one photo at a time.
func (l *layout) cutCloseUps() error {
	byPhoto := map[string][]crop{}
	for i := range l.r.Record.Marks {
		m := &l.r.Record.Marks[i]
		for j, p := range m.Photos {
			ph := l.r.Record.PhotoByID(p.Photo)
			if ph == nil || j >= cropsPerMark || ph.Width < 1 || ph.Height < 1 {
				continue
			}
			byPhoto[p.Photo] = append(byPhoto[p.Photo], crop{key: cropKey{m.Number, j}, region: cropRegion(p, ph)})
		}
	}
	for _, ph := range l.r.Record.Photos {
		if len(byPhoto[ph.ID]) == 0 {
			continue
		}
		if err := l.ctx.Err(); err != nil {
			return err
		}
		if err := l.cutFrom(&ph, byPhoto[ph.ID]); err != nil {
			return err
		}
	}
	return nil
}

// cropRegion is what a close-up shows of a photo: the mark with some of its
// surroundings, at least a ninth of the photo's longer side, in the frame's
// proportions, inside the photo where it can be.
func cropRegion(p record.PhotoPlace, ph *record.Photo) shape.Rect {
	b := shape.RectAround(p.Points...)
	c := b.Center()
	w := max(b.Dx()*1.3, b.Dy()*1.3*cropWide/cropTall, float64(max(ph.Width, ph.Height))/9)
	w = min(w, float64(ph.Width), float64(ph.Height)*cropWide/cropTall)
	h := w * cropTall / cropWide
	r := shape.Rect{Min: shape.Pt{X: c.X - w/2, Y: c.Y - h/2}, Max: shape.Pt{X: c.X + w/2, Y: c.Y + h/2}}
	return room(r, shape.Rect{Max: shape.Pt{X: float64(ph.Width), Y: float64(ph.Height)}})
}

// cutFrom cuts the close-ups of one photo from its preview, and those for which
// the preview is too coarse from the original.
func (l *layout) cutFrom(ph *record.Photo, crops []crop) error {
	b, err := l.r.Photos.Preview(ph.ID, 2048)
	if err != nil {
		return fmt.Errorf("cut close-ups from %s: %w", ph.Name, err)
	}
	img, _, err := image.Decode(bytes.NewReader(b))
	if err != nil {
		return fmt.Errorf("cut close-ups from %s: its preview cannot be read: %w", ph.Name, err)
	}
	k := float64(img.Bounds().Dx()) / float64(ph.Width)
	var coarse []crop
	for _, c := range crops {
		if c.region.Dx()*k < cropEnough && k < cropFiner {
			coarse = append(coarse, c)
			continue
		}
		if err := l.keepCrop(c, img, k); err != nil {
			return err
		}
	}
	if len(coarse) == 0 {
		return nil
	}
	full := l.original(ph)
	if full != nil {
		img, k = full, float64(full.Bounds().Dx())/float64(ph.Width)
	}
	for _, c := range coarse {
		if err := l.keepCrop(c, img, k); err != nil {
			return err
		}
	}
	return nil
}

// original decodes the photo as it was taken, upright. It is nil for a format
// this package does not read or a picture too large to hold; the preview then
// has to do.
func (l *layout) original(ph *record.Photo) image.Image {
	if ph.Width*ph.Height > maxOriginal || !slices.Contains([]string{"jpeg", "png"}, ph.Format) {
		return nil
	}
	b, err := l.r.Photos.OriginalBytes(ph.ID)
	if err != nil {
		return nil
	}
	cfg, _, err := image.DecodeConfig(bytes.NewReader(b))
	if err != nil || cfg.Width*cfg.Height > maxOriginal {
		return nil
	}
	img, _, err := image.Decode(bytes.NewReader(b))
	if err != nil {
		return nil
	}
	return upturned(img, ph.Orientation)
}

// upturned applies an Exif orientation (CIPA DC-008, tag 274).
func upturned(img image.Image, orientation int) image.Image {
	switch orientation {
	case 2:
		return imaging.FlipH(img)
	case 3:
		return imaging.Rotate180(img)
	case 4:
		return imaging.FlipV(img)
	case 5:
		return imaging.Transpose(img)
	case 6:
		return imaging.Rotate270(img)
	case 7:
		return imaging.Transverse(img)
	case 8:
		return imaging.Rotate90(img)
	}
	return img
}

// keepCrop cuts one close-up out of a picture whose pixels are k per pixel of
// the upright photo.
func (l *layout) keepCrop(c crop, img image.Image, k float64) error {
	b := img.Bounds()
	r := image.Rect(int(c.region.Min.X*k), int(c.region.Min.Y*k), int(c.region.Max.X*k+0.5), int(c.region.Max.Y*k+0.5)).Add(b.Min).Intersect(b)
	if r.Empty() {
		return nil
	}
	w := min(r.Dx(), cropPixels)
	h := max(1, r.Dy()*w/r.Dx())
	if full := int(float64(w)*cropTall/cropWide + 0.5); h >= full-3 && h <= full+3 {
		h = full // frames in a row are alike; the picture is stretched by a pixel or two
	}
	out := image.NewRGBA(image.Rect(0, 0, w, h))
	if w == r.Dx() && h == r.Dy() {
		draw.Copy(out, image.Point{}, img, r, draw.Src, nil)
	} else {
		draw.ApproxBiLinear.Scale(out, out.Bounds(), img, r, draw.Src, nil)
	}
	jpg, err := paint.Encode(out)
	if err != nil {
		return err
	}
	p, err := l.d.Picture(fmt.Sprintf("close-up %d-%d", c.key.mark, c.key.place), func() ([]byte, error) { return jpg, nil })
	if err != nil {
		return err
	}
	l.crops[c.key] = p
	return nil
}
