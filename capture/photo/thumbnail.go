package photo

import (
	"bytes"
	"errors"
	"fmt"
	"image/jpeg"

	"github.com/rwcarlsen/goexif/exif"
)

// ErrNoThumbnail says that a file carries no small picture of itself.
var ErrNoThumbnail = errors.New("the file carries no thumbnail")

// maxThumb is the largest side of a thumbnail in pixels; Exif's are 160 x 120,
// some cameras write larger ones.
const maxThumb = 2048

// Thumbnail returns the small JPEG that a camera put into its file and how it
// has to be turned, an Exif orientation (0 when the file has none). It takes
// microseconds. The thumbnail shows what the camera saw: a program that edited
// the photo may have left it as it was.
func Thumbnail(data []byte) (thumb []byte, orient int, err error) {
	x, err := decodeExif(data)
	if err != nil {
		return nil, 0, fmt.Errorf("%w: %w", ErrNoThumbnail, err)
	}
	defer func() {
		if p := recover(); p != nil {
			thumb, orient, err = nil, 0, ErrNoThumbnail
		}
	}()
	at, ok1 := number(x, exif.ThumbJPEGInterchangeFormat)
	n, ok2 := number(x, exif.ThumbJPEGInterchangeFormatLength)
	// goexif's JpegThumbnail slices without looking, so the bounds are ours.
	if !ok1 || !ok2 || at <= 0 || n <= 0 || at > len(x.Raw) || n > len(x.Raw)-at {
		return nil, 0, ErrNoThumbnail
	}
	thumb, err = x.JpegThumbnail()
	if err != nil {
		return nil, 0, ErrNoThumbnail
	}
	c, err := jpeg.DecodeConfig(bytes.NewReader(thumb))
	if err != nil || c.Width > maxThumb || c.Height > maxThumb {
		return nil, 0, ErrNoThumbnail
	}
	return bytes.Clone(thumb), validOrientation(whole(x, exif.Orientation)), nil
}

func number(x *exif.Exif, name exif.FieldName) (int, bool) {
	t, err := x.Get(name)
	if err != nil || t.Count == 0 {
		return 0, false
	}
	n, err := t.Int(0)
	return n, err == nil
}
