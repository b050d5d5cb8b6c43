package listing

import (
	"bytes"
	"image"
	"image/color"
	"image/draw"
	"math"

	"wornwood/capture/icc"
	"wornwood/capture/reduce"
	"wornwood/pdfout/pdf"
)

// isSRGB tells whether numbers of a profile are sRGB's already, to less than
// half a step of 255.
func isSRGB(p *icc.Profile) bool {
	for _, c := range [][3]float64{{0.1, 0.1, 0.1}, {0.5, 0.5, 0.5}, {0.9, 0.9, 0.9}, {1, 0, 0}, {0, 1, 0}, {0, 0, 1}, {0.2, 0.4, 0.7}, {0.8, 0.6, 0.3}} {
		r, g, b := p.ToLinearSRGB(c[0], c[1], c[2])
		for i, v := range []float64{r, g, b} {
			if math.Abs(encode(v)-c[i]) > 0.5/255 {
				return false
			}
		}
	}
	return true
}

// encode is the transfer of IEC 61966-2-1 for linear light; what is outside
// sRGB is clipped.
func encode(v float64) float64 {
	switch {
	case !(v > 0):
		return 0
	case v >= 1:
		return 1
	case v <= 0.0031308:
		return 12.92 * v
	}
	return 1.055*math.Pow(v, 1/2.4) - 0.055
}

// convert turns a picture's numbers into sRGB in place. Colours repeat from
// pixel to pixel, so the last one is remembered.
func convert(img *image.RGBA, p *icc.Profile) {
	lut := encodeTable()
	var last [3]byte
	var out [3]byte
	first := true
	for i := 0; i+3 < len(img.Pix); i += 4 {
		px := img.Pix[i : i+3 : i+3]
		if first || px[0] != last[0] || px[1] != last[1] || px[2] != last[2] {
			first, last = false, [3]byte(px)
			r, g, b := p.ToLinearSRGB(float64(px[0])/255, float64(px[1])/255, float64(px[2])/255)
			out = [3]byte{lut.at(r), lut.at(g), lut.at(b)}
		}
		copy(px, out[:])
	}
}

// encoder is encode for whole numbers, by the limits between them: a binary
// search is exact, where a table over light would err in the shadows.
type encoder [255]float64

func encodeTable() *encoder {
	var e encoder
	for i := range e { // light at which the number goes from i to i+1
		v := (float64(i) + 0.5) / 255
		if v <= 0.04045 {
			e[i] = v / 12.92
		} else {
			e[i] = math.Pow((v+0.055)/1.055, 2.4)
		}
	}
	return &e
}

func (e *encoder) at(v float64) byte {
	lo, hi := 0, len(e)
	for lo < hi {
		mid := (lo + hi) / 2
		if v >= e[mid] {
			lo = mid + 1
		} else {
			hi = mid
		}
	}
	return byte(lo)
}

// opaque copies a picture to one that can be painted on.
func opaque(img image.Image) *image.RGBA {
	b := img.Bounds()
	out := image.NewRGBA(image.Rect(0, 0, b.Dx(), b.Dy()))
	draw.Draw(out, out.Bounds(), image.NewUniform(color.White), image.Point{}, draw.Src)
	draw.Draw(out, out.Bounds(), img, b.Min, draw.Over)
	return out
}

// encodeJPEG writes a JPEG that says that its colours are sRGB and nothing else:
// the profile stands in an APP2 segment (ICC.1:2010 section B.4).
func encodeJPEG(img image.Image, quality int) ([]byte, error) {
	var b bytes.Buffer
	if err := reduce.EncodeJPEG(&b, img, quality); err != nil {
		return nil, err
	}
	profile := pdf.SRGBProfile()
	n := 2 + 12 + 2 + len(profile)
	seg := append([]byte{0xff, 0xe2, byte(n >> 8), byte(n)}, "ICC_PROFILE\x00\x01\x01"...)
	seg = append(seg, profile...)
	jpg := b.Bytes()
	at := 2
	if jpg[2] == 0xff && jpg[3] == 0xe0 { // JFIF stands first (ITU-T T.871)
		at += 2 + int(jpg[4])<<8 + int(jpg[5])
	}
	out := make([]byte, 0, len(jpg)+len(seg))
	return append(append(append(out, jpg[:at]...), seg...), jpg[at:]...), nil
}
