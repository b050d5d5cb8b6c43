// Package closeup cuts the picture of one mark out of a photo: the mark with
// some of its surroundings, what was drawn of it, a bar of known length where
// the photo has a scale, and a line that says what is seen. It is what a dealer
// sends when a buyer asks about "mark 7".
//
// Start with Best, Region and Make. The picture carries no metadata of the photo, so
// no place and no serial number of a camera.
package closeup

import (
	"cmp"
	"image"
	"image/draw"
	"math"
	"slices"
	"strconv"

	"github.com/disintegration/imaging"

	"wornwood/annotate"
	paint "wornwood/annotate/draw"
	"wornwood/annotate/shape"
	"wornwood/capture/record"
)

// Side is the longer side of a close-up in pixels, where the photo has as many.
const Side = 1600

// Best lists the places of a mark on photos that have a size, by their place in
// m.Photos: those on photos taken as close-ups first, then those of which the
// mark fills more.
func Best(rec *record.Record, m *record.Mark) []int {
	var places []int
	share := map[int]float64{}
	for j, p := range m.Photos {
		ph := rec.PhotoByID(p.Photo)
		if ph == nil || ph.Width < 1 || ph.Height < 1 {
			continue
		}
		b := shape.RectAround(p.Points...)
		share[j] = math.Hypot(b.Dx(), b.Dy()) / float64(max(ph.Width, ph.Height))
		if ph.View == annotate.CloseUp {
			share[j] += 10
		}
		places = append(places, j)
	}
	slices.SortStableFunc(places, func(a, b int) int { return cmp.Compare(share[b], share[a]) })
	return places
}

// Region is the part of the upright photo that shows a place, in its pixels: the
// place's bounds times around, at least a ninth of the photo's longer side, in
// proportions of wide to tall, inside the photo where it can be.
func Region(p *record.Photo, at record.PhotoPlace, wide, tall, around float64) shape.Rect {
	b := shape.RectAround(at.Points...)
	c := b.Center()
	w := max(b.Dx()*around, b.Dy()*around*wide/tall, float64(max(p.Width, p.Height))/9)
	w = min(w, float64(p.Width), float64(p.Height)*wide/tall)
	h := w * tall / wide
	r := shape.Rect{Min: shape.Pt{X: c.X - w/2, Y: c.Y - h/2}, Max: shape.Pt{X: c.X + w/2, Y: c.Y + h/2}}
	return r.Inside(shape.Rect{Max: shape.Pt{X: float64(p.Width), Y: float64(p.Height)}})
}

// pixels is the region of a close-up in whole pixels; empty for a photo without
// a size or a place without points.
func pixels(p *record.Photo, at record.PhotoPlace) image.Rectangle {
	if p.Width < 1 || p.Height < 1 || len(at.Points) == 0 {
		return image.Rectangle{}
	}
	r := Region(p, at, 4, 3, 1.4)
	return image.Rect(int(r.Min.X), int(r.Min.Y), int(math.Ceil(r.Max.X)), int(math.Ceil(r.Max.Y))).Intersect(image.Rect(0, 0, p.Width, p.Height))
}

// Options of a close-up.
type Options struct {
	PixelsPerMM float64 // of the photo at the mark; 0 leaves the bar out
	Caption     string  // one line at the foot; "" for none
}

// Make cuts the region out of the upright photo img, which may be of another
// size than the photo's own pixels, and draws the mark on it.
func Make(img image.Image, p *record.Photo, m record.Mark, at record.PhotoPlace, o Options) *image.RGBA {
	region := pixels(p, at)
	k := float64(img.Bounds().Dx()) / float64(max(1, p.Width))
	cut := imaging.Crop(img, scaled(region, k).Add(img.Bounds().Min))
	if b := cut.Bounds(); max(b.Dx(), b.Dy()) > Side {
		cut = imaging.Fit(cut, Side, Side, imaging.Lanczos)
	} else if max(b.Dx(), b.Dy()) < Side/2 {
		cut = imaging.Resize(cut, Side/2, 0, imaging.CatmullRom)
	}
	foot := 0
	if o.Caption != "" {
		foot = cut.Bounds().Dx() / 28
	}
	out := image.NewRGBA(image.Rect(0, 0, cut.Bounds().Dx(), cut.Bounds().Dy()+foot))
	draw.Draw(out, cut.Bounds(), cut, image.Point{}, draw.Src)
	zoom := float64(cut.Bounds().Dx()) / float64(max(1, region.Dx()))
	over(out.SubImage(cut.Bounds()).(*image.RGBA), region, zoom, m, at, o.PixelsPerMM)
	if foot > 0 {
		caption(out, cut.Bounds().Dy(), o.Caption)
	}
	return out
}

func scaled(r image.Rectangle, k float64) image.Rectangle {
	f := func(v int) int { return int(math.Round(float64(v) * k)) }
	return image.Rect(f(r.Min.X), f(r.Min.Y), f(r.Max.X), f(r.Max.Y))
}

// over draws the mark's figure, its pin and the bar.
func over(dst *image.RGBA, region image.Rectangle, zoom float64, m record.Mark, at record.PhotoPlace, pxPerMM float64) {
	unit := float64(dst.Bounds().Dx()) / 500
	st := paint.OnPhoto().At(unit)
	only := m
	only.Photos = []record.PhotoPlace{at}
	view := shape.Translate(shape.Pt{X: -float64(region.Min.X), Y: -float64(region.Min.Y)}).Then(shape.Scale(zoom, zoom))
	paint.Paint(dst, paint.PhotoShapes(at.Photo, []record.Mark{only}, 0, st), view)
	room := shape.Rect{Max: shape.Pt{X: float64(dst.Bounds().Dx()), Y: float64(dst.Bounds().Dy())}}
	radius := 9 * unit
	pins := paint.ToView(paint.PhotoAnchors(at.Photo, []record.Mark{only}, 0), view)
	l := paint.PinsOps(paint.Layout(pins, radius, room), radius, st)
	paint.Paint(dst, append(l, bar(room, zoom*pxPerMM, unit)...), shape.Identity())
}

// bar is a line of 1, 2, 5, 10 ... mm, at most a quarter of the picture wide.
func bar(room shape.Rect, perMM, unit float64) paint.List {
	if !(perMM > 0) || math.IsInf(perMM, 0) {
		return nil
	}
	mm := BarLength(room.Dx() / 4 / perMM)
	if mm == 0 {
		return nil
	}
	w, x, y := mm*perMM, 14*unit, room.Max.Y-14*unit
	tick := 4 * unit
	line := shape.Polyline(shape.Pt{X: x, Y: y}, shape.Pt{X: x + w, Y: y})
	line.Append(shape.Polyline(shape.Pt{X: x, Y: y - tick}, shape.Pt{X: x, Y: y + tick}))
	line.Append(shape.Polyline(shape.Pt{X: x + w, Y: y - tick}, shape.Pt{X: x + w, Y: y + tick}))
	white, black := paint.Hex(0xFFFFFF), paint.Hex(0x1F2326)
	text := strconv.FormatFloat(mm, 'g', -1, 64) + " mm"
	at := shape.Pt{X: x + w + 6*unit, Y: y + 4*unit}
	return paint.List{
		{Path: line, Stroke: black.Alpha(0.75), Width: 4 * unit}, {Path: line, Stroke: white, Width: 1.6 * unit},
		{Path: shape.RoundRect(shape.Rect{Min: shape.Pt{X: at.X - 3*unit, Y: at.Y - 11*unit}, Max: shape.Pt{X: at.X + paint.TextWidth(paint.SemiBold, 11*unit, text) + 3*unit, Y: at.Y + 4*unit}}, 2*unit), Fill: black.Alpha(0.75)},
		{Kind: paint.TextOp, Text: text, At: at, Size: 11 * unit, Face: paint.SemiBold, Fill: white},
	}
}

// BarLength is the longest length of the row 1, 2, 5, 10 ... mm that is at most
// the given one; 0 for lengths under a millimetre.
func BarLength(atMost float64) float64 {
	best := 0.0
	for _, mm := range []float64{1, 2, 5, 10, 20, 50, 100, 200, 500} {
		if mm <= atMost {
			best = mm
		}
	}
	return best
}

func caption(dst *image.RGBA, top int, text string) {
	b := dst.Bounds()
	draw.Draw(dst, image.Rect(0, top, b.Max.X, b.Max.Y), image.White, image.Point{}, draw.Src)
	size := float64(b.Max.Y-top) * 0.48
	room := float64(b.Max.X) - 2*size
	paint.Paint(dst, paint.List{{Kind: paint.TextOp, Text: paint.Shorten(paint.Sans, size, text, room), Size: size,
		At: shape.Pt{X: size, Y: float64(top) + 1.35*size}, Fill: paint.Hex(0x1F2326)}}, shape.Identity())
}
