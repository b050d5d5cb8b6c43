package reduce

import (
	"context"
	"image"
)

// DecodeDeep decodes the whole picture as stored with all the bits that the file has, for colours to be read from: a
// PNG of 16 bits a channel stays at 16, and transparency is left in. The result is an *image.YCbCr or *image.Gray as
// with Decode, an *image.CMYK, or one of the standard decoder's types for PNG (NRGBA, NRGBA64, RGBA, RGBA64, Gray,
// Gray16, Paletted). It keeps at most 8 bytes a pixel. Limits and errors are those of Decode.
func DecodeDeep(data []byte, lim Limits) (image.Image, Partial, error) {
	info, err := Config(data)
	if err != nil {
		return nil, Partial{}, err
	}
	if err := lim.check(info, len(data)); err != nil {
		return nil, Partial{}, err
	}
	if info.Format == formatJPEG {
		return decodeJPEG(context.Background(), data, info)
	}
	return decodeStd(context.Background(), data, info)
}

// Stored is where pixel (x, y) of the upright picture lies in the stored one of w x h pixels, for an EXIF orientation
// (1 to 8; anything else counts as 1). It undoes Upright.
func Stored(orientation, w, h, x, y int) (int, int) {
	t := turns(orientation)
	if t.swap {
		x, y = y, x
	}
	if t.flipX {
		x = w - 1 - x
	}
	if t.flipY {
		y = h - 1 - y
	}
	return x, y
}
