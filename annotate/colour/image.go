package colour

import (
	"errors"
	"fmt"
	"image"
	"image/color"

	"wornwood/capture/blob"
	"wornwood/capture/icc"
	"wornwood/capture/reduce"
)

// Image is an original opened for colours to be read from. It keeps the
// decoded numbers, at most 8 bytes a pixel, and converts only what is asked
// for. It does not change and may be used by several goroutines at once.
type Image struct {
	ID            string   // SHA-256 of the file: the record's Photo.ID
	Width, Height int      // pixels, upright
	Profile       string   // the colours its numbers stand for, in words
	Linear        bool     // its numbers are proportional to light
	Deep          bool     // it has 16 bits a channel
	Remarks       []string // what is uncertain about its colours, a sentence each

	orientation int
	w, h        int // as stored
	whole       int // stored rows that could be read
	profile     *icc.Profile
	code        func(x, y int) (c [3]float64, ok bool)
}

// errInks says that a picture is for print.
var errInks = errors.New("the picture is made of four inks, and colours cannot be read from it; save it as RGB and add that")

// Open decodes an original, a JPEG or PNG file with its Exif orientation. It
// converts by the file's colour profile; where there is none or it cannot be
// used, the numbers are taken for sRGB and Remarks say so. The errors are
// reduce's, one sentence each, and one for pictures of four inks.
func Open(data []byte, orientation int, lim reduce.Limits) (*Image, error) {
	info, err := reduce.Config(data)
	if err != nil {
		return nil, fmt.Errorf("open for colours: %w", err)
	}
	if info.Format == "jpeg" && info.Components == 4 {
		return nil, errInks
	}
	img, partial, err := reduce.DecodeDeep(data, lim)
	if err != nil {
		return nil, fmt.Errorf("open for colours: %w", err)
	}
	b := img.Bounds()
	m := &Image{ID: blob.Sum(data), Width: b.Dx(), Height: b.Dy(), orientation: orientation, w: b.Dx(), h: b.Dy(), whole: b.Dy()}
	if orientation >= 5 && orientation <= 8 {
		m.Width, m.Height = m.Height, m.Width
	}
	if partial.Broken() {
		m.whole = partial.Rows
		m.Remarks = append(m.Remarks, partial.String())
	}
	m.takeProfile(data, info.Components)
	m.takeCodes(img)
	return m, nil
}

// takeProfile finds out what the numbers stand for.
func (m *Image) takeProfile(data []byte, components int) {
	p, remarks := icc.Of(data)
	if p.Gray() && components >= 3 {
		p, remarks = icc.SRGB(), []string{"its colour profile is for pictures without colour; colours are read as sRGB"}
	}
	m.profile, m.Profile, m.Linear = p, p.Name(), p.Linear()
	m.Remarks = append(m.Remarks, remarks...)
}

// At is the colour of the pixel in column x and row y of the upright picture.
// ok is false for a pixel whose colour is not known: outside the picture, not
// read, not opaque, or with a channel at either end of its range.
func (m *Image) At(x, y int) (c Linear, ok bool) {
	if x < 0 || y < 0 || x >= m.Width || y >= m.Height {
		return Linear{}, false
	}
	x, y = reduce.Stored(m.orientation, m.w, m.h, x, y)
	if y >= m.whole {
		return Linear{}, false
	}
	v, ok := m.code(x, y)
	c[0], c[1], c[2] = m.profile.ToLinearSRGB(v[0], v[1], v[2])
	return c, ok
}

// takeCodes chooses how the numbers of a pixel are found, each 0..1.
func (m *Image) takeCodes(img image.Image) {
	b := img.Bounds()
	switch p := img.(type) {
	case *image.YCbCr:
		m.code = func(x, y int) ([3]float64, bool) {
			i, k := p.YOffset(b.Min.X+x, b.Min.Y+y), p.COffset(b.Min.X+x, b.Min.Y+y)
			return fromYCC(p.Y[i], p.Cb[k], p.Cr[k])
		}
	case *image.Gray:
		m.code = func(x, y int) ([3]float64, bool) {
			v := p.Pix[p.PixOffset(b.Min.X+x, b.Min.Y+y)]
			return from8(v, v, v, 255)
		}
	case *image.NRGBA:
		m.code = func(x, y int) ([3]float64, bool) {
			s := p.Pix[p.PixOffset(b.Min.X+x, b.Min.Y+y):]
			return from8(s[0], s[1], s[2], s[3])
		}
	case *image.RGBA: // opaque, or the pixel is not used
		m.code = func(x, y int) ([3]float64, bool) {
			s := p.Pix[p.PixOffset(b.Min.X+x, b.Min.Y+y):]
			return from8(s[0], s[1], s[2], s[3])
		}
	default: // 16 bits, palettes
		_, n := img.(*image.NRGBA64)
		_, a := img.(*image.RGBA64)
		_, g := img.(*image.Gray16)
		m.Deep = n || a || g
		m.code = func(x, y int) ([3]float64, bool) {
			c := color.NRGBA64Model.Convert(img.At(b.Min.X+x, b.Min.Y+y)).(color.NRGBA64)
			return from16(c)
		}
	}
}

// fromYCC is the conversion of JFIF (ITU-T T.871 section 7) without rounding:
// the mean of a patch should not be. A channel at the end of its range comes
// out of a JPEG about a number beside it.
func fromYCC(y, cb, cr uint8) (c [3]float64, ok bool) {
	l, b, r := float64(y), float64(cb)-128, float64(cr)-128
	c = [3]float64{l + 1.402*r, l - 0.344136*b - 0.714136*r, l + 1.772*b}
	ok = true
	for i, v := range c {
		ok = ok && v > 0.5 && v < 253.5
		c[i] = max(0, min(255, v)) / 255
	}
	return c, ok
}

func from8(r, g, b, a uint8) ([3]float64, bool) {
	ok := a == 255 && min(r, g, b) > 0 && max(r, g, b) < 255
	return [3]float64{float64(r) / 255, float64(g) / 255, float64(b) / 255}, ok
}

func from16(p color.NRGBA64) ([3]float64, bool) {
	ok := p.A == 0xffff && min(p.R, p.G, p.B) > 0 && max(p.R, p.G, p.B) < 0xffff
	return [3]float64{float64(p.R) / 65535, float64(p.G) / 65535, float64(p.B) / 65535}, ok
}
