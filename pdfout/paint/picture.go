package paint

import (
	"bytes"
	"crypto/sha256"
	"fmt"
	"image"
	"image/color"
	"image/draw"
	"image/jpeg"
	"io"

	"github.com/jung-kurt/gofpdf"

	"wornwood/annotate/shape"
)

// imageOptions let a picture begin left of the page: without that the library
// moves it silently.
var imageOptions = gofpdf.ImageOptions{ImageType: "JPG", AllowNegativePosition: true}

// Picture is a JPEG that has been announced to the document. Its bytes are
// not kept: they are asked for once more when the document is written.
type Picture struct {
	Name          string
	Width, Height int // pixels
	load          func() ([]byte, error)
	size          int // bytes without metadata
	hash          [sha256.Size]byte
	grey          bool
}

// Picture announces a JPEG under a name; a name already announced is returned
// as it is. load must give the same bytes each time it is called; it is called
// now and once more by Finish. Metadata is stripped.
func (d *Doc) Picture(name string, load func() ([]byte, error)) (Picture, error) {
	if p, ok := d.pictures[name]; ok {
		return p, nil
	}
	p := Picture{Name: name, load: load}
	b, err := load()
	if err != nil {
		return p, fmt.Errorf("read picture %s: %w", name, err)
	}
	cfg, err := jpeg.DecodeConfig(bytes.NewReader(b))
	if err != nil {
		return p, fmt.Errorf("read picture %s: %w", name, err)
	}
	parts, err := clean(b, cfg)
	if err != nil {
		return p, fmt.Errorf("read picture %s: %w", name, err)
	}
	p.Width, p.Height, p.grey = cfg.Width, cfg.Height, cfg.ColorModel == color.GrayModel
	p.size, p.hash = measure(parts)
	d.pictures[name] = p
	return p, nil
}

func measure(parts [][]byte) (size int, hash [sha256.Size]byte) {
	h := sha256.New()
	for _, b := range parts {
		size += len(b)
		h.Write(b)
	}
	h.Sum(hash[:0])
	return size, hash
}

// parts loads the picture again and refuses another one than was announced.
func (p Picture) parts() ([][]byte, error) {
	b, err := p.load()
	if err != nil {
		return nil, fmt.Errorf("read picture %s: %w", p.Name, err)
	}
	cfg, err := jpeg.DecodeConfig(bytes.NewReader(b))
	if err != nil {
		return nil, fmt.Errorf("read picture %s: %w", p.Name, err)
	}
	parts, err := clean(b, cfg)
	if err != nil {
		return nil, fmt.Errorf("read picture %s: %w", p.Name, err)
	}
	if size, hash := measure(parts); size != p.size || hash != p.hash {
		return nil, fmt.Errorf("read picture %s: it changed while the report was made", p.Name)
	}
	return parts, nil
}

// write loads the picture again and writes it.
func (p Picture) write(w io.Writer) error {
	parts, err := p.parts()
	if err != nil {
		return err
	}
	for _, b := range parts {
		if _, err := w.Write(b); err != nil {
			return err
		}
	}
	return nil
}

// clean strips a JPEG, or encodes it anew where stripping alone does not do:
// odd files, and colour models that the archival form does not allow.
func clean(b []byte, cfg image.Config) ([][]byte, error) {
	if cfg.ColorModel == color.YCbCrModel || cfg.ColorModel == color.GrayModel {
		if parts, err := picture(b); err == nil {
			return parts, nil
		}
	}
	if cfg.Width*cfg.Height > maxPixels {
		return nil, fmt.Errorf("%d by %d pixels are more than a report holds", cfg.Width, cfg.Height)
	}
	img, _, err := image.Decode(bytes.NewReader(b))
	if err != nil {
		return nil, err
	}
	rgb := image.NewRGBA(img.Bounds())
	draw.Draw(rgb, rgb.Rect, img, rgb.Rect.Min, draw.Src)
	out, err := Encode(rgb)
	return [][]byte{out}, err
}

// maxPixels bounds what is decoded for a report: 120 megapixels.
const maxPixels = 120_000_000

// Place draws the picture in the rectangle, which should have its proportions.
func (d *Doc) Place(p Picture, x, y, w, h float64) {
	if d.err != nil {
		return
	}
	if !d.tags.inContent() {
		d.Artifact(func() { d.Place(p, x, y, w, h) })
		return
	}
	d.note(item{picture: &p, at: shape.Rect{Min: shape.Pt{X: x, Y: y}, Max: shape.Pt{X: x + w, Y: y + h}}})
	// Pictures that are the same under two names are one to the library, which
	// would otherwise list its one object twice.
	name := fmt.Sprintf("%x", p.hash)
	d.f.RegisterImageOptionsReader(name, imageOptions, bytes.NewReader(p.standIn()))
	d.f.ImageOptions(name, x, y, w, h, false, imageOptions, 0, "")
}

// Cover draws the picture so that it fills the rectangle, centred, with what
// sticks out cut off.
func (d *Doc) Cover(p Picture, x, y, w, h float64) {
	k := max(w/float64(p.Width), h/float64(p.Height))
	pw, ph := float64(p.Width)*k, float64(p.Height)*k
	d.ClipBox(x, y, w, h, func() { d.Place(p, x+(w-pw)/2, y+(h-ph)/2, pw, ph) })
}

// Inside draws the picture as large as fits the rectangle, centred, and
// returns where it stands.
func (d *Doc) Inside(p Picture, x, y, w, h float64) (px, py, pw, ph float64) {
	k := min(w/float64(p.Width), h/float64(p.Height))
	pw, ph = float64(p.Width)*k, float64(p.Height)*k
	px, py = x+(w-pw)/2, y+(h-ph)/2
	d.Place(p, px, py, pw, ph)
	return px, py, pw, ph
}
