package reduce

import (
	"image"
	"image/color"
)

// flatten lays a picture over white. It reuses the memory of the picture, which must not be used afterwards, where
// a pixel of the result is not larger than one of its own: holding both could take a gigabyte more.
func flatten(img image.Image) *image.RGBA {
	b := img.Bounds()
	w, h := b.Dx(), b.Dy()
	var pix []byte
	switch m := img.(type) {
	case *image.RGBA:
		if m.Opaque() {
			return m
		}
	case *image.NRGBA:
		pix = m.Pix
	case *image.RGBA64:
		pix = m.Pix
	case *image.NRGBA64:
		pix = m.Pix
	}
	if pix == nil {
		pix = make([]byte, 4*w*h)
	}
	out := &image.RGBA{Pix: pix[: 4*w*h : 4*w*h], Stride: 4 * w, Rect: image.Rect(0, 0, w, h)}
	row := make([]byte, 4*w)
	read := opaqueRows(img)
	for y := range h {
		read(y, row)
		copy(out.Pix[y*out.Stride:], row)
	}
	return out
}

// opaqueRows returns a reader of rows as RGBA bytes laid over white. y counts from the top of the picture.
func opaqueRows(img image.Image) func(y int, dst []byte) {
	b := img.Bounds()
	switch m := img.(type) {
	case *image.RGBA:
		return func(y int, dst []byte) { overWhite(dst, m.Pix[m.PixOffset(b.Min.X, b.Min.Y+y):], true) }
	case *image.NRGBA:
		return func(y int, dst []byte) { overWhite(dst, m.Pix[m.PixOffset(b.Min.X, b.Min.Y+y):], false) }
	case *image.RGBA64:
		return func(y int, dst []byte) { overWhite16(dst, m.Pix[m.PixOffset(b.Min.X, b.Min.Y+y):], true) }
	case *image.NRGBA64:
		return func(y int, dst []byte) { overWhite16(dst, m.Pix[m.PixOffset(b.Min.X, b.Min.Y+y):], false) }
	case *image.Paletted:
		return palettedRows(m)
	case *image.CMYK:
		return func(y int, dst []byte) {
			src := m.Pix[m.PixOffset(b.Min.X, b.Min.Y+y):]
			for i := 0; i+4 <= len(dst); i += 4 {
				dst[i], dst[i+1], dst[i+2] = color.CMYKToRGB(src[i], src[i+1], src[i+2], src[i+3])
				dst[i+3] = 255
			}
		}
	}
	return func(y int, dst []byte) {
		for x := range b.Dx() {
			putOverWhite(dst[4*x:], img.At(b.Min.X+x, b.Min.Y+y))
		}
	}
}

// palettedRows lays the palette over white once.
func palettedRows(m *image.Paletted) func(y int, dst []byte) {
	var table [256][4]byte // colours that the palette lacks stay black, as the standard decoder has them
	for i := range table {
		table[i][3] = 255
	}
	for i, c := range m.Palette {
		putOverWhite(table[i][:], c)
	}
	return func(y int, dst []byte) {
		src := m.Pix[m.PixOffset(m.Rect.Min.X, m.Rect.Min.Y+y):]
		for x := range len(dst) / 4 {
			copy(dst[4*x:4*x+4], table[src[x]][:])
		}
	}
}

func putOverWhite(dst []byte, c color.Color) {
	r, g, b, a := c.RGBA()
	rest := 0xFFFF - a
	dst[0], dst[1], dst[2], dst[3] = byte((r+rest)>>8), byte((g+rest)>>8), byte((b+rest)>>8), 255
}

// overWhite lays 8-bit RGBA over white; premultiplied tells whether colour already holds its alpha.
func overWhite(dst, src []byte, premultiplied bool) {
	for i := 0; i+4 <= len(dst); i += 4 {
		s, d := src[i:i+4:i+4], dst[i:i+4:i+4]
		a := uint32(s[3])
		for c := range 3 {
			v := uint32(s[c])
			if premultiplied {
				v += 255 - a
			} else {
				v = (v*a + 255*(255-a) + 127) / 255
			}
			d[c] = byte(min(v, 255))
		}
		d[3] = 255
	}
}

// overWhite16 is overWhite for big-endian 16-bit channels.
func overWhite16(dst, src []byte, premultiplied bool) {
	for i := 0; i+4 <= len(dst); i += 4 {
		s, d := src[2*i:2*i+8:2*i+8], dst[i:i+4:i+4]
		a := uint32(s[6])<<8 | uint32(s[7])
		for c := range 3 {
			v := uint32(s[2*c])<<8 | uint32(s[2*c+1])
			if premultiplied {
				v += 0xFFFF - a
			} else {
				v = uint32((uint64(v)*uint64(a) + 0xFFFF*uint64(0xFFFF-a)) / 0xFFFF)
			}
			d[c] = byte(min(v, 0xFFFF) >> 8)
		}
		d[3] = 255
	}
}
