package reduce

import (
	"bytes"
	"context"
	"errors"
	"image"
	"image/color"
	"image/jpeg"
	"image/png"
	"io"
)

// maxScans bounds the passes of a progressive JPEG. Encoders write about ten; each costs a walk over all
// coefficients, however few bytes it has, so a small hostile file could otherwise keep a core busy for hours.
const maxScans = 64

// ctxReader reads data and ends when its context does. It tells how far reading went.
type ctxReader struct {
	ctx  context.Context
	data []byte
	pos  int
}

func (r *ctxReader) Read(p []byte) (int, error) {
	if err := r.ctx.Err(); err != nil {
		return 0, err
	}
	if r.pos == len(r.data) {
		return 0, io.EOF
	}
	n := copy(p, r.data[r.pos:])
	r.pos += n
	return n, nil
}

// decodeStd decodes with the standard library. The limits have been checked.
func decodeStd(ctx context.Context, data []byte, info Info) (image.Image, Partial, error) {
	if info.Format == formatPNG {
		img, err := png.Decode(&ctxReader{ctx: ctx, data: data})
		return img, Partial{}, stdError(ctx, "PNG", err)
	}
	d := jpegDecoder{data: data, pos: 2}
	starts, err := d.scanStarts()
	if err != nil {
		return nil, Partial{}, err
	}
	r := &ctxReader{ctx: ctx, data: data}
	img, err := jpeg.Decode(r)
	if err != nil && info.Progressive && ctx.Err() == nil {
		if img := decodeEarlierScans(ctx, data[:r.pos], starts); img != nil {
			return img, Partial{Height: info.Height, Coarse: true}, nil
		}
	}
	return img, Partial{}, stdError(ctx, "JPEG", err)
}

// scanStarts finds the offset of each scan header.
func (d *jpegDecoder) scanStarts() ([]int, error) {
	body, err := d.readHeader()
	if err != nil {
		return nil, err
	}
	starts := []int{d.pos - len(body) - 4}
	for {
		m, body, err := d.segment() // stuffed zeros and restart markers come out as markers without a body
		if err != nil || m == mEOI {
			return starts, nil
		}
		if m == mSOS {
			starts = append(starts, d.pos-len(body)-4)
		}
		if len(starts) > maxScans {
			return nil, damagedJPEG("it holds an absurd number of scans")
		}
	}
}

// decodeEarlierScans decodes a progressive picture whose data go bad near their end, from the scans before. It
// returns nil when these do not decode either.
func decodeEarlierScans(ctx context.Context, data []byte, starts []int) image.Image {
	for tries := 0; tries < 3; tries++ {
		for len(starts) > 0 && starts[len(starts)-1] >= len(data) {
			starts = starts[:len(starts)-1]
		}
		if len(starts) < 2 {
			return nil
		}
		data = data[:starts[len(starts)-1]]
		whole := io.MultiReader(&ctxReader{ctx: ctx, data: data}, bytes.NewReader([]byte{0xFF, mEOI}))
		if img, err := jpeg.Decode(whole); err == nil {
			return img
		}
	}
	return nil
}

// stdError turns a standard decoder's error into one of ours.
func stdError(ctx context.Context, format string, err error) error {
	if err == nil {
		return nil
	}
	if ctx.Err() != nil {
		return ctx.Err()
	}
	var jpegKind jpeg.UnsupportedError
	var pngKind png.UnsupportedError
	switch {
	case errors.As(err, &jpegKind), errors.As(err, &pngKind):
		return ErrFormat
	case errors.Is(err, io.ErrUnexpectedEOF), errors.Is(err, io.EOF):
		return &DamagedError{Format: format, Reason: "its data break off", Err: err}
	}
	return &DamagedError{Format: format, Reason: "its data make no sense", Err: err}
}

// fromImage reduces a decoded picture, row by row.
func (r *reduction) fromImage(ctx context.Context, img image.Image) error {
	switch m := img.(type) {
	case *image.Gray:
		r.start(true)
		return r.pushPlane(ctx, 0, m.Pix, m.Stride, r.srcW, r.srcH, 1, 1)
	case *image.YCbCr:
		r.start(false)
		f := chromaFactors[m.SubsampleRatio]
		cw, ch := (r.srcW+f.x-1)/f.x, (r.srcH+f.y-1)/f.y
		return errors.Join(r.pushPlane(ctx, 0, m.Y, m.YStride, r.srcW, r.srcH, 1, 1),
			r.pushPlane(ctx, 1, m.Cb, m.CStride, cw, ch, 1/float64(f.x), 1/float64(f.y)),
			r.pushPlane(ctx, 2, m.Cr, m.CStride, cw, ch, 1/float64(f.x), 1/float64(f.y)))
	}
	r.start(false)
	return r.pushRGB(ctx, img)
}

func (r *reduction) pushPlane(ctx context.Context, i int, pix []byte, stride, w, h int, perX, perY float64) error {
	s := r.scaler(i, w, h, perX, perY)
	for y := range h {
		if y&63 == 0 && ctx.Err() != nil {
			return ctx.Err()
		}
		s.push(pix[y*stride:][:w])
	}
	return nil
}

// pushRGB turns rows to YCbCr one at a time, so that no second full picture is held.
func (r *reduction) pushRGB(ctx context.Context, img image.Image) error {
	row := make([]byte, 4*r.srcW)
	var ycc [3][]byte
	for i := range ycc {
		ycc[i] = make([]byte, r.srcW)
		r.scaler(i, r.srcW, r.srcH, 1, 1)
	}
	read := opaqueRows(img)
	for y := range r.srcH {
		if y&63 == 0 && ctx.Err() != nil {
			return ctx.Err()
		}
		read(y, row)
		for x := range r.srcW {
			p := row[4*x : 4*x+4 : 4*x+4]
			ycc[0][x], ycc[1][x], ycc[2][x] = color.RGBToYCbCr(p[0], p[1], p[2])
		}
		for i := range ycc {
			r.scalers[i].push(ycc[i])
		}
	}
	return nil
}
