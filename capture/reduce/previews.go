package reduce

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"image"
)

// DefaultQuality is the JPEG quality of previews when none is given.
const DefaultQuality = 85

// Preview is one reduced, upright picture.
type Preview struct {
	Width, Height int // pixels
	JPEG          []byte
}

// Previews makes an upright preview for each of sizes, which must fall: the long side is at most that many pixels,
// and nothing is enlarged. The data are decoded once, already reduced; each smaller preview is made from the one
// before. orientation is the EXIF value 1 to 8 (EXIF 2.32, tag 0x0112), anything else counts as 1; it is applied last.
// quality is 1 to 100, zero takes DefaultQuality.
//
// Errors are those of Decode, the context's own when it ends, or one about sizes.
func Previews(ctx context.Context, data []byte, orientation int, sizes []int, quality int, lim Limits) ([]Preview, Partial, error) {
	if err := checkSizes(sizes); err != nil {
		return nil, Partial{}, err
	}
	img, partial, err := Reduce(ctx, data, orientation, sizes[0], lim)
	if err != nil {
		return nil, Partial{}, err
	}
	out := make([]Preview, 0, len(sizes))
	for _, size := range sizes {
		if err := ctx.Err(); err != nil {
			return nil, Partial{}, err
		}
		b := img.Bounds()
		if w, h := fit(b.Dx(), b.Dy(), size); w < b.Dx() || h < b.Dy() {
			img = Resample(img, w, h)
		}
		var buf bytes.Buffer
		if err := EncodeJPEG(&buf, img, quality); err != nil {
			return nil, Partial{}, fmt.Errorf("encode preview: %w", err)
		}
		out = append(out, Preview{Width: img.Bounds().Dx(), Height: img.Bounds().Dy(), JPEG: buf.Bytes()})
	}
	return out, partial, nil
}

// Reduce decodes a picture upright and already reduced, its long side at most size pixels; nothing is enlarged. The
// result is an *image.Gray or an *image.YCbCr with chroma at half the size. Errors are those of Decode, or the
// context's own when it ends.
func Reduce(ctx context.Context, data []byte, orientation, size int, lim Limits) (image.Image, Partial, error) {
	if err := checkSizes([]int{size}); err != nil {
		return nil, Partial{}, err
	}
	info, err := Config(data)
	if err != nil {
		return nil, Partial{}, err
	}
	if err := lim.check(info, len(data)); err != nil {
		return nil, Partial{}, err
	}
	if err := ctx.Err(); err != nil {
		return nil, Partial{}, err
	}
	r := newReduction(info.Width, info.Height, size, orientation)
	img, partial, err := r.fromFile(ctx, data, info)
	if err != nil {
		return nil, Partial{}, err
	}
	return r.upright(img, turns(orientation)), partial, nil
}

func checkSizes(sizes []int) error {
	if len(sizes) == 0 {
		return errors.New("make previews: no size given")
	}
	for i, s := range sizes {
		if s < 1 || i > 0 && s >= sizes[i-1] {
			return fmt.Errorf("make previews: sizes %v do not fall", sizes)
		}
	}
	return nil
}

// fit gives the size of a picture of w x h whose long side is at most size.
func fit(w, h, size int) (int, int) {
	scale := func(short, long int) int { return max(1, (2*short*size+long)/(2*long)) }
	switch {
	case max(w, h) <= size:
		return w, h
	case w >= h:
		return size, scale(h, w)
	}
	return scale(w, h), size
}

// reduction is a reduced picture being made: grey, or YCbCr with chroma at half the size in both directions.
type reduction struct {
	srcW, srcH   int
	w, h         int  // of the result, not yet upright
	flipX, flipY bool // whether the orientation will mirror that direction
	scalers      [3]*scaler
	gray         *image.Gray
	ycc          *image.YCbCr
}

func newReduction(srcW, srcH, size, orientation int) *reduction {
	w, h := fit(srcW, srcH, size)
	o := turns(orientation)
	return &reduction{srcW: srcW, srcH: srcH, w: w, h: h, flipX: o.flipX, flipY: o.flipY}
}

// start allocates the result.
func (r *reduction) start(gray bool) {
	if gray {
		r.gray = image.NewGray(image.Rect(0, 0, r.w, r.h))
	} else {
		r.ycc = image.NewYCbCr(image.Rect(0, 0, r.w, r.h), image.YCbCrSubsampleRatio420)
	}
}

func (r *reduction) image() image.Image {
	if r.gray != nil {
		return r.gray
	}
	return r.ycc
}

// plane returns the result's samples for component i.
func (r *reduction) plane(i int) (pix []byte, stride int) {
	switch {
	case r.gray != nil:
		return r.gray.Pix, r.gray.Stride
	case i == 0:
		return r.ycc.Y, r.ycc.YStride
	case i == 1:
		return r.ycc.Cb, r.ycc.CStride
	}
	return r.ycc.Cr, r.ycc.CStride
}

// ratios gives source samples per result sample for component i, whose source has perX and perY samples a pixel.
func (r *reduction) ratios(i int, perX, perY float64) (x, y float64) {
	x, y = perX*float64(r.srcW)/float64(r.w), perY*float64(r.srcH)/float64(r.h)
	if i > 0 {
		x, y = 2*x, 2*y
	}
	return x, y
}

// scaleFor is the smallest number of eighths at which component i still has a sample for each of the result's.
func (r *reduction) scaleFor(i int, perX, perY float64) int {
	for n := 1; n < 8; n++ {
		if x, y := r.ratios(i, perX*float64(n)/8, perY*float64(n)/8); x > 1-1e-9 && y > 1-1e-9 {
			return n
		}
	}
	return 8
}

// scaler makes the scaler for component i, whose source plane has n x rows samples.
func (r *reduction) scaler(i, n, rows int, perX, perY float64) *scaler {
	rx, ry := r.ratios(i, perX, perY)
	x, y := geometry{n: n, m: r.w, ratio: rx}, geometry{n: rows, m: r.h, ratio: ry}
	if i > 0 {
		x.m, y.m = (r.w+1)/2, (r.h+1)/2
		// With an odd size, the last chroma sample reaches half over the edge. Mirroring brings that edge to the
		// front, so the grid is laid half a sample earlier.
		if r.flipX && r.w&1 == 1 {
			x.offset = -0.5
		}
		if r.flipY && r.h&1 == 1 {
			y.offset = -0.5
		}
	}
	pix, stride := r.plane(i)
	r.scalers[i] = newScaler(x, y, pix, stride)
	return r.scalers[i]
}

// fromFile decodes data into the result.
func (r *reduction) fromFile(ctx context.Context, data []byte, info Info) (image.Image, Partial, error) {
	if info.Format == formatJPEG {
		d := jpegDecoder{data: data, pos: 2}
		sos, err := d.readHeader()
		if err != nil {
			return nil, Partial{}, err
		}
		if d.ordinary() {
			return r.fromJPEG(ctx, &d, sos)
		}
	}
	img, partial, err := decodeStd(ctx, data, info)
	if err != nil {
		return nil, Partial{}, err
	}
	err = r.fromImage(ctx, img)
	return r.image(), partial, err
}

// fromJPEG reduces in the DCT and resamples what comes out, plane by plane and row by row.
func (r *reduction) fromJPEG(ctx context.Context, d *jpegDecoder, sos []byte) (image.Image, Partial, error) {
	r.start(len(d.comps) == 1)
	for i := range d.comps {
		c := &d.comps[i]
		perX, perY := float64(c.h)/float64(d.hmax), float64(c.v)/float64(d.vmax)
		n := r.scaleFor(i, perX, perY)
		c.out = newPlaneOut(c, n, blankSample(i), nil)
		c.out.push = r.scaler(i, c.out.width, c.out.height, perX*float64(n)/8, perY*float64(n)/8).push
	}
	partial, err := d.scans(ctx, sos)
	return r.image(), partial, err
}

// upright turns the result. Its chroma was laid out for that, so that the planes are turned as they are.
func (r *reduction) upright(img image.Image, t turn) image.Image {
	if y, ok := img.(*image.YCbCr); ok && t != (turn{}) {
		return t.yccPlanes(y, image.YCbCrSubsampleRatio420)
	}
	return t.apply(img)
}

// blankSample is white for brightness and neutral for chroma.
func blankSample(component int) byte {
	if component == 0 {
		return 255
	}
	return 128
}
