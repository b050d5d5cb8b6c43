package paint

import (
	"image"
	"image/color"
	"math"

	xdraw "golang.org/x/image/draw"
	"golang.org/x/image/vector"

	"wornwood/annotate/draw"
	"wornwood/annotate/shape"
)

// Sheet is one page as it was drawn, kept for a screen: the same calls in the
// same order as those that wrote the file. A document keeps sheets when
// Options.Sheets is set.
type Sheet struct {
	Width, Height float64 // mm
	items         []item
}

// item is one call: an operation of the drawing, a picture, or a clip that
// holds for what is inside it. Lengths are mm; widths and sizes of op points.
type item struct {
	op      draw.Op
	picture *Picture
	at      shape.Rect
	clip    shape.Path
	inside  []item
}

// Sheet is page n, from 1; nil when none was kept.
func (d *Doc) Sheet(n int) *Sheet {
	if n < 1 || n > len(d.sheets) {
		return nil
	}
	return d.sheets[n-1]
}

// note keeps an item on the page being drawn, inside the clip that is open.
func (d *Doc) note(i item) {
	switch {
	case !d.opt.Sheets || d.page == 0 || d.err != nil:
	case len(d.clips) > 0:
		c := d.clips[len(d.clips)-1]
		c.inside = append(c.inside, i)
	default:
		s := d.sheets[d.page-1]
		s.items = append(s.items, i)
	}
}

func (d *Doc) notePath(p shape.Path, pen Pen) {
	if !d.opt.Sheets {
		return
	}
	op := draw.Op{Path: p, NonZero: !pen.EvenOdd, Width: pen.Width}
	if pen.Fill != nil {
		op.Fill = pen.Fill.screen()
	}
	if pen.Stroke != nil {
		op.Stroke = pen.Stroke.screen()
	}
	for _, v := range pen.Dash {
		op.Dash = append(op.Dash, v/pt)
	}
	if pen.Butt && len(op.Dash) == 0 {
		op.Dash = []float64{1e5, 1} // one dash longer than any page: dashes end square
	}
	d.note(item{op: op})
}

// noteText keeps a text; letter by letter where there is space between letters.
func (d *Doc) noteText(x, y float64, s string, f Font, ink Ink) {
	if !d.opt.Sheets {
		return
	}
	put := func(x float64, s string) {
		d.note(item{op: draw.Op{Kind: draw.TextOp, Text: s, At: shape.Pt{X: x, Y: y}, Size: f.Size, Face: draw.Face(f.Face), Fill: ink.screen()}})
	}
	if f.Track == 0 {
		put(x, s)
		return
	}
	for _, r := range s {
		put(x, string(r))
		x += Width(string(r), f)
	}
}

func (d *Doc) noteClip(p shape.Path, fn func()) {
	if !d.opt.Sheets {
		fn()
		return
	}
	c := &item{clip: p}
	d.clips = append(d.clips, c)
	fn()
	d.clips = d.clips[:len(d.clips)-1]
	d.note(*c)
}

func (o Ink) screen() draw.Ink { return draw.Ink{R: o.R, G: o.G, B: o.B, A: 255} }

// Paint draws the page from the top left corner of dst at k pixels per mm, on
// white. pictures gives a picture, reduced or not, with at least so many pixels
// across where it has them; a nil image leaves a grey place.
func (s *Sheet) Paint(dst *image.RGBA, k float64, pictures func(p Picture, across int) image.Image) {
	xdraw.Draw(dst, dst.Bounds(), image.White, image.Point{}, xdraw.Src)
	sp := &sheetPainter{k: k, pictures: pictures}
	sp.paint(dst, s.items)
}

type sheetPainter struct {
	k        float64
	pictures func(p Picture, across int) image.Image
}

func (sp *sheetPainter) paint(dst *image.RGBA, items []item) {
	var run draw.List
	flush := func() {
		draw.Paint(dst, run, shape.Scale(sp.k, sp.k))
		run = run[:0]
	}
	for i := range items {
		it := &items[i]
		switch {
		case it.picture != nil:
			flush()
			sp.picture(dst, it)
		case len(it.clip.Segs) > 0:
			flush()
			sp.clipped(dst, it)
		default:
			run = append(run, sp.sized(it.op))
		}
	}
	flush()
}

// sized takes an operation's points to pixels; a line is never thinner than a
// screen can show.
func (sp *sheetPainter) sized(op draw.Op) draw.Op {
	px := pt * sp.k
	op.Size *= px
	if op.Width > 0 {
		op.Width = max(op.Width*px, 0.6)
	}
	if len(op.Dash) > 0 {
		dash := make([]float64, len(op.Dash))
		for i, v := range op.Dash {
			dash[i] = v * px
		}
		op.Dash = dash
	}
	return op
}

func (sp *sheetPainter) pixels(r shape.Rect) image.Rectangle {
	round := func(v float64) int { return int(math.Round(v * sp.k)) }
	return image.Rect(round(r.Min.X), round(r.Min.Y), round(r.Max.X), round(r.Max.Y))
}

func (sp *sheetPainter) picture(dst *image.RGBA, it *item) {
	to := sp.pixels(it.at)
	if to.Intersect(dst.Bounds()).Empty() {
		return
	}
	img := sp.pictures(*it.picture, to.Dx())
	if img == nil {
		xdraw.Draw(dst, to, image.NewUniform(color.Gray{0xdc}), image.Point{}, xdraw.Src)
		return
	}
	xdraw.ApproxBiLinear.Scale(dst, to, img, img.Bounds(), xdraw.Src, nil)
}

// clipped draws through a window. A rectangle is a part of the page; anything
// else is drawn beside it and laid on through a mask.
func (sp *sheetPainter) clipped(dst *image.RGBA, it *item) {
	rings := it.clip.Flatten(0.05)
	var pts []shape.Pt
	for _, r := range rings {
		pts = append(pts, r...)
	}
	if len(pts) == 0 {
		return
	}
	bounds := shape.RectAround(pts...)
	px := sp.pixels(bounds).Intersect(dst.Bounds())
	if px.Empty() {
		return
	}
	if len(rings) == 1 && isBox(rings[0], bounds) {
		if part, ok := dst.SubImage(px).(*image.RGBA); ok {
			sp.paint(part, it.inside)
		}
		return
	}
	layer := image.NewRGBA(px)
	xdraw.Draw(layer, px, dst, px.Min, xdraw.Src)
	sp.paint(layer, it.inside)
	z := vector.NewRasterizer(px.Dx(), px.Dy())
	for _, r := range rings {
		for i, q := range r {
			x, y := float32(q.X*sp.k-float64(px.Min.X)), float32(q.Y*sp.k-float64(px.Min.Y))
			if i == 0 {
				z.MoveTo(x, y)
			} else {
				z.LineTo(x, y)
			}
		}
		z.ClosePath()
	}
	mask := image.NewAlpha(image.Rect(0, 0, px.Dx(), px.Dy()))
	z.Draw(mask, mask.Bounds(), image.Opaque, image.Point{})
	xdraw.DrawMask(dst, px, layer, px.Min, mask, image.Point{}, xdraw.Over)
}

// isBox says whether a ring runs along its bounds only.
func isBox(ring []shape.Pt, b shape.Rect) bool {
	const tol = 1e-6
	for _, p := range ring {
		onX := math.Abs(p.X-b.Min.X) < tol || math.Abs(p.X-b.Max.X) < tol
		onY := math.Abs(p.Y-b.Min.Y) < tol || math.Abs(p.Y-b.Max.Y) < tol
		if !onX || !onY {
			return false
		}
	}
	return true
}

// Load gives the picture's bytes as they were announced.
func (p Picture) Load() ([]byte, error) { return p.load() }

// Key tells pictures apart by their content.
func (p Picture) Key() [32]byte { return p.hash }
