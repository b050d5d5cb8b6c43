package page

import (
	"bytes"
	"fmt"
	"image"
	_ "image/png" // originals may be PNG
	"slices"

	"github.com/disintegration/imaging"
	"golang.org/x/image/draw"

	"wornwood/annotate/closeup"
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
	previewSize        = 2048       // pixels of a preview's longer side at most
)

// cropKey names one close-up: the mark, and which of its photo places.
type cropKey struct{ mark, place int }

// crop is one close-up to be cut.
type crop struct {
	key    cropKey
	region shape.Rect // pixels of the upright photo
	jpeg   []byte     // the close-up, once it is cut
}

// cutCloseUps cuts the close-ups for which the preview is too coarse from the
// originals, one photo at a time. The others need no cutting: the page shows
// the photo that it carries anyway through a smaller frame.
func (l *layout) cutCloseUps() error {
	if l.r.Draft {
		return nil
	}
	for i := range l.r.Record.Photos {
		ph := &l.r.Record.Photos[i]
		crops := l.coarse(ph)
		if len(crops) == 0 {
			continue
		}
		if err := l.ctx.Err(); err != nil {
			return err
		}
		if err := l.cutFrom(ph, crops); err != nil {
			return fmt.Errorf("cut close-ups from %s: %w", clean(ph.Name), err)
		}
	}
	return nil
}

// coarse lists the close-ups of a photo for which its preview is too coarse.
func (l *layout) coarse(ph *record.Photo) []crop {
	if ph.Width < 1 || ph.Height < 1 {
		return nil
	}
	k := min(1, previewSize/float64(max(ph.Width, ph.Height)))
	if k >= cropFiner {
		return nil
	}
	var out []crop
	for _, m := range l.r.Record.Marks {
		for _, j := range l.closest(&m) {
			p := m.Photos[j]
			if p.Photo != ph.ID {
				continue
			}
			if r := cropRegion(p, ph); r.Dx()*k < cropEnough {
				out = append(out, crop{key: cropKey{m.Number, j}, region: r})
			}
		}
	}
	return out
}

// closest are the places on photos that show a mark best, at most two.
func (l *layout) closest(m *record.Mark) []int {
	places := closeup.Best(l.r.Record, m)
	return places[:min(len(places), cropsPerMark)]
}

// cropRegion is what a close-up shows of a photo, in the frame's proportions.
func cropRegion(p record.PhotoPlace, ph *record.Photo) shape.Rect {
	return closeup.Region(ph, p, cropWide, cropTall, 1.3)
}

// cutFrom cuts close-ups from an original and announces them. Without an
// original that can be read nothing is cut, and the preview has to do.
func (l *layout) cutFrom(ph *record.Photo, crops []crop) error {
	img := l.original(ph)
	if img == nil {
		return nil
	}
	k := float64(img.Bounds().Dx()) / float64(ph.Width)
	for _, c := range crops {
		if err := c.cut(img, k); err != nil {
			return err
		}
		if c.jpeg == nil {
			continue
		}
		p, err := l.d.Picture(fmt.Sprintf("close-up %d-%d", c.key.mark, c.key.place), func() ([]byte, error) { return c.jpeg, nil })
		if err != nil {
			return err
		}
		l.crops[c.key] = p
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

// cut cuts one close-up out of a picture whose pixels are k per pixel of the
// upright photo.
func (c *crop) cut(img image.Image, k float64) error {
	b := img.Bounds()
	r := image.Rect(int(c.region.Min.X*k), int(c.region.Min.Y*k), int(c.region.Max.X*k+0.5), int(c.region.Max.Y*k+0.5)).Add(b.Min).Intersect(b)
	if r.Empty() {
		return nil
	}
	w := min(r.Dx(), cropPixels)
	h := max(1, int(float64(w)*cropTall/cropWide+0.5))
	out := image.NewRGBA(image.Rect(0, 0, w, h))
	if w == r.Dx() && h == r.Dy() {
		draw.Copy(out, image.Point{}, img, r, draw.Src, nil)
	} else {
		draw.ApproxBiLinear.Scale(out, out.Bounds(), img, r, draw.Src, nil)
	}
	var err error
	c.jpeg, err = paint.Encode(out)
	return err
}
