package listing

import (
	"image"
	"image/color"
	"image/draw"
	"math"

	"wornwood/capture/reduce"
)

// coverGrey fills a cover. It is a constant, so what was under it cannot be
// worked out; a blur could be.
const coverGrey = 0x70

// paintOut fills the covers in a decoded picture as it is stored. Each is grown
// to whole blocks of the JPEG file that it came from: coding spreads what a
// block shows over all of it, so a trace of what is covered may lie outside.
func paintOut(img image.Image, orientation int, covers []Cover) {
	b := img.Bounds()
	mx, my := block(img)
	for _, c := range covers {
		r := stored(c, orientation, b.Dx(), b.Dy())
		r.Min.X, r.Min.Y = r.Min.X/mx*mx, r.Min.Y/my*my
		r.Max.X, r.Max.Y = (r.Max.X+mx-1)/mx*mx, (r.Max.Y+my-1)/my*my
		fill(img, r.Add(b.Min).Intersect(b))
	}
}

// block is the size of a minimum coded unit (ITU-T T.81 section A.2.4) of a
// file that decodes to such a picture; the largest usual one where that cannot
// be told.
func block(img image.Image) (w, h int) {
	if p, ok := img.(*image.YCbCr); ok {
		switch p.SubsampleRatio {
		case image.YCbCrSubsampleRatio444:
			return 8, 8
		case image.YCbCrSubsampleRatio422:
			return 16, 8
		case image.YCbCrSubsampleRatio440:
			return 8, 16
		case image.YCbCrSubsampleRatio411:
			return 32, 8
		case image.YCbCrSubsampleRatio410:
			return 32, 16
		}
	}
	return 16, 16
}

// stored is a cover in whole pixels of the picture as it is stored, which is
// w x h.
func stored(c Cover, orientation, w, h int) image.Rectangle {
	r := c.Rect()
	uw, uh := w, h
	if orientation >= 5 && orientation <= 8 {
		uw, uh = h, w
	}
	clip := func(v float64, most int) int { return int(max(0, min(v, float64(most-1)))) }
	x0, y0 := clip(math.Floor(r.Min.X), uw), clip(math.Floor(r.Min.Y), uh)
	x1, y1 := clip(math.Ceil(r.Max.X)-1, uw), clip(math.Ceil(r.Max.Y)-1, uh)
	ax, ay := reduce.Stored(orientation, w, h, x0, y0)
	bx, by := reduce.Stored(orientation, w, h, x1, y1)
	return image.Rect(min(ax, bx), min(ay, by), max(ax, bx)+1, max(ay, by)+1)
}

func fill(img image.Image, r image.Rectangle) {
	switch p := img.(type) {
	case *image.YCbCr:
		for y := r.Min.Y; y < r.Max.Y; y++ {
			for x := r.Min.X; x < r.Max.X; x++ {
				k := p.COffset(x, y)
				p.Y[p.YOffset(x, y)], p.Cb[k], p.Cr[k] = coverGrey, 128, 128
			}
		}
	case draw.Image:
		draw.Draw(p, r, image.NewUniform(color.Gray{Y: coverGrey}), image.Point{}, draw.Src)
	default:
		panic("listing: a decoded picture that cannot be painted on") // reduce.Decode gives none
	}
}
