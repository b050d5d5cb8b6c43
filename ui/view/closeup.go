package view

import (
	"bufio"
	"fmt"
	"image"
	"image/jpeg"
	"image/png"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"wornwood/annotate"
	"wornwood/annotate/closeup"
	"wornwood/annotate/measure"
	"wornwood/annotate/shape"
	"wornwood/capture/record"
)

// Pictures gives photos at full size, upright; capture/bench's Bench does.
type Pictures interface {
	Picture(p record.Photo) (image.Image, error)
}

// CloseUp makes the close-up of mark n from a photo, or with "" from the one
// that shows it largest.
func CloseUp(from Pictures, s *annotate.Session, n int, photo string) (image.Image, error) {
	rec := s.Scene().Record
	m := rec.MarkByNumber(n)
	if m == nil {
		return nil, fmt.Errorf("make close-up: there is no mark %d", n)
	}
	places := closeup.Best(rec, m)
	if photo != "" {
		places = slices.DeleteFunc(places, func(i int) bool { return m.Photos[i].Photo != photo })
	}
	if len(places) == 0 {
		return nil, fmt.Errorf("make close-up: mark %d is on no photo; pin it on one first", n)
	}
	at := &m.Photos[places[0]]
	p := *rec.PhotoByID(at.Photo)
	img, err := from.Picture(p)
	if err != nil {
		return nil, err
	}
	o := closeup.Options{Caption: closeUpCaption(rec, m, &p)}
	if pl, err := s.Plane(p.ID); err == nil && pl != nil {
		o.PixelsPerMM = pixelsPerMM(pl, shape.RectAround(at.Points...).Center())
	}
	return closeup.Make(img, &p, *m, *at, o), nil
}

func closeUpCaption(rec *record.Record, m *record.Mark, p *record.Photo) string {
	taken := ""
	if p.Taken != "" {
		taken = CameraDate(p.Taken) + ", camera clock"
	}
	return join(" · ", fmt.Sprintf("Mark %d, %s", m.Number, m.Kind), m.Size(), Headline(rec), taken)
}

// pixelsPerMM is the scale about a point of a photo: the mean along and across.
func pixelsPerMM(pl *measure.Plane, at shape.Pt) float64 {
	mm := pl.ToMM(at, measure.Height{})
	if !mm.Finite() {
		return 0
	}
	a := pl.ToPx(shape.Pt{X: mm.X + 5, Y: mm.Y}, measure.Height{})
	b := pl.ToPx(shape.Pt{X: mm.X, Y: mm.Y + 5}, measure.Height{})
	return (shape.Dist(a, at) + shape.Dist(b, at)) / 10
}

// SavePicture writes a picture to a new file, JPEG or PNG by the file's name.
// A file that is there already is not written over.
func SavePicture(file string, img image.Image) (err error) {
	ext := strings.ToLower(filepath.Ext(file))
	if ext != ".jpg" && ext != ".jpeg" && ext != ".png" {
		return fmt.Errorf("save %s: give it a name that ends with .jpg or .png", filepath.Base(file))
	}
	f, err := os.OpenFile(file, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o644)
	if err != nil {
		return fmt.Errorf("save close-up: %w", err)
	}
	defer func() {
		if e := f.Close(); err == nil {
			err = e
		}
		if err != nil {
			os.Remove(file)
		}
	}()
	w := bufio.NewWriter(f)
	if ext == ".png" {
		err = png.Encode(w, img)
	} else {
		err = jpeg.Encode(w, img, &jpeg.Options{Quality: 92})
	}
	if err != nil {
		return fmt.Errorf("save %s: %w", filepath.Base(file), err)
	}
	return w.Flush()
}
