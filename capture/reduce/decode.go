package reduce

import (
	"context"
	"image"
)

// Decode decodes the whole picture as stored, without applying any orientation. The result is an *image.YCbCr,
// an *image.Gray when the file has one channel, or an *image.RGBA with transparency laid over white.
//
// It returns ErrFormat for what is not supported, a *TooLargeError before decoding anything beyond lim, and a
// *DamagedError when nothing could be decoded. A JPEG that breaks off part-way is returned with what there is, and
// Partial says what is missing.
func Decode(data []byte, lim Limits) (image.Image, Partial, error) {
	info, err := Config(data)
	if err != nil {
		return nil, Partial{}, err
	}
	if err := lim.check(info, len(data)); err != nil {
		return nil, Partial{}, err
	}
	ctx := context.Background()
	decode := decodeStd
	if info.Format == formatJPEG {
		decode = decodeJPEG
	}
	img, partial, err := decode(ctx, data, info)
	if err != nil {
		return nil, Partial{}, err
	}
	switch img.(type) {
	case *image.YCbCr, *image.Gray:
		return img, partial, nil
	}
	return flatten(img), partial, nil
}

// decodeJPEG decodes an ordinary JPEG itself and leaves the others to the standard library. The limits have been checked.
func decodeJPEG(ctx context.Context, data []byte, info Info) (image.Image, Partial, error) {
	d := jpegDecoder{data: data, pos: 2}
	sos, err := d.readHeader()
	if err != nil {
		return nil, Partial{}, err
	}
	if ratio, ok := d.subsampling(); ok && d.ordinary() {
		return d.full(ctx, sos, ratio)
	}
	return decodeStd(ctx, data, info)
}

// subsampling names the picture's chroma sampling, if the image package has a name for it.
func (d *jpegDecoder) subsampling() (image.YCbCrSubsampleRatio, bool) {
	if len(d.comps) != 3 {
		return 0, true // grey; no chroma
	}
	y, cb, cr := d.comps[0], d.comps[1], d.comps[2]
	if cb.h != cr.h || cb.v != cr.v || y.h != d.hmax || y.v != d.vmax || y.h%cb.h != 0 || y.v%cb.v != 0 {
		return 0, false
	}
	for ratio, f := range chromaFactors {
		if f.x == y.h/cb.h && f.y == y.v/cb.v {
			return image.YCbCrSubsampleRatio(ratio), true
		}
	}
	return 0, false
}

// chromaFactors gives, for each ratio of the image package, how many pixels share a chroma sample.
var chromaFactors = [...]struct{ x, y int }{
	image.YCbCrSubsampleRatio444: {1, 1},
	image.YCbCrSubsampleRatio422: {2, 1},
	image.YCbCrSubsampleRatio420: {2, 2},
	image.YCbCrSubsampleRatio440: {1, 2},
	image.YCbCrSubsampleRatio411: {4, 1},
	image.YCbCrSubsampleRatio410: {4, 2},
}

// full decodes at the stored size.
func (d *jpegDecoder) full(ctx context.Context, sos []byte, ratio image.YCbCrSubsampleRatio) (image.Image, Partial, error) {
	bounds := image.Rect(0, 0, d.width, d.height)
	var img image.Image
	var planes [3][]byte
	if len(d.comps) == 1 {
		g := image.NewGray(bounds)
		img, planes[0] = g, g.Pix
	} else {
		y := image.NewYCbCr(bounds, ratio)
		img, planes = y, [3][]byte{y.Y, y.Cb, y.Cr}
	}
	for i := range d.comps {
		rest := planes[i]
		d.comps[i].out = newPlaneOut(&d.comps[i], 8, blankSample(i), func(row []byte) {
			rest = rest[copy(rest, row):]
		})
	}
	partial, err := d.scans(ctx, sos)
	if err != nil {
		return nil, Partial{}, err
	}
	return img, partial, nil
}
