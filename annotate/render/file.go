package render

import (
	"bytes"
	"context"
	"encoding/binary"
	"fmt"
	"image"
	"image/jpeg"

	"golang.org/x/image/draw"
)

// Quality is the JPEG quality of the photos: high enough for hair-fine checks,
// low enough for the whole set to travel with the program.
const Quality = 88

// File takes the photo of a view and returns it as the camera would store it:
// turned as its orientation says, with its metadata and a thumbnail.
func (s *Studio) File(ctx context.Context, v View, o Options) ([]byte, error) {
	img, err := s.Photo(ctx, v, o)
	if err != nil {
		return nil, fmt.Errorf("take %s: %w", v.File, err)
	}
	data, err := v.encode(stored(img, v.Orientation))
	if err != nil {
		return nil, fmt.Errorf("encode %s: %w", v.File, err)
	}
	return data, nil
}

// encode writes the stored picture as JPEG, the metadata first.
func (v *View) encode(img *image.RGBA) ([]byte, error) {
	var body bytes.Buffer
	if err := jpeg.Encode(&body, img, &jpeg.Options{Quality: Quality}); err != nil {
		return nil, err
	}
	if v.Exif == nil {
		return body.Bytes(), nil
	}
	b := img.Bounds()
	small := image.NewRGBA(image.Rect(0, 0, 160*b.Dx()/max(b.Dx(), b.Dy()), 160*b.Dy()/max(b.Dx(), b.Dy())))
	draw.CatmullRom.Scale(small, small.Bounds(), img, b, draw.Src, nil)
	var thumb bytes.Buffer
	if err := jpeg.Encode(&thumb, small, &jpeg.Options{Quality: 80}); err != nil {
		return nil, err
	}
	app1 := v.Exif.segment(v.Orientation, b.Dx(), b.Dy(), thumb.Bytes())
	if len(app1) > 0xFFFD {
		return nil, fmt.Errorf("metadata of %d bytes does not fit into one segment", len(app1))
	}
	out := []byte{0xFF, 0xD8, 0xFF, 0xE1}
	out = binary.BigEndian.AppendUint16(out, uint16(len(app1)+2))
	out = append(out, app1...)
	return append(out, body.Bytes()[2:]...), nil
}

// stored turns an upright picture the way a camera held like that stores it:
// orientation 6 must be turned a quarter clockwise to be upright, 8 a quarter
// counter-clockwise, 3 by half (CIPA DC-008, tag 0112).
func stored(img *image.RGBA, orientation int) *image.RGBA {
	w, h := img.Rect.Dx(), img.Rect.Dy()
	var out *image.RGBA
	var from func(x, y int) (int, int)
	switch orientation {
	case 3:
		out, from = image.NewRGBA(image.Rect(0, 0, w, h)), func(x, y int) (int, int) { return w - 1 - x, h - 1 - y }
	case 6:
		out, from = image.NewRGBA(image.Rect(0, 0, h, w)), func(x, y int) (int, int) { return w - 1 - y, x }
	case 8:
		out, from = image.NewRGBA(image.Rect(0, 0, h, w)), func(x, y int) (int, int) { return y, h - 1 - x }
	default:
		return img
	}
	for y := range out.Rect.Dy() {
		for x := range out.Rect.Dx() {
			sx, sy := from(x, y)
			copy(out.Pix[out.PixOffset(x, y):][:4], img.Pix[img.PixOffset(sx, sy):][:4])
		}
	}
	return out
}
