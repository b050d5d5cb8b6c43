package ui

import (
	"image"
	"image/color"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/driver/desktop"
	"fyne.io/fyne/v2/theme"
	"fyne.io/fyne/v2/widget"

	"wornwood/annotate/shape"
	"wornwood/ui/look"
)

// coverPhoto shows a photo with the covers that will be burned in. A drag draws a
// cover, a click on one chooses it, Delete takes the chosen one off. It decides
// nothing.
type coverPhoto struct {
	widget.BaseWidget
	image         *canvas.Image
	width, height float64 // of the photo in its own pixels
	covers        []shape.Rect
	chosen        int // -1 for none

	from, to *fyne.Position // while a cover is drawn

	OnCover  func(r shape.Rect) // in pixels of the upright photo
	OnTap    func(at shape.Pt)
	OnDelete func()
}

var (
	_ fyne.Draggable     = (*coverPhoto)(nil)
	_ fyne.Tappable      = (*coverPhoto)(nil)
	_ fyne.Focusable     = (*coverPhoto)(nil)
	_ desktop.Cursorable = (*coverPhoto)(nil)
)

// coverInk is the grey that is burned in.
var coverInk = color.Gray{0x70}

func newCoverPhoto() *coverPhoto {
	p := &coverPhoto{image: canvas.NewImageFromImage(nil), chosen: -1}
	p.image.FillMode, p.image.ScaleMode, p.image.Hidden = canvas.ImageFillStretch, canvas.ImageScaleSmooth, true
	p.ExtendBaseWidget(p)
	return p
}

// set shows a photo's covers; width and height are the photo's own.
func (p *coverPhoto) set(width, height int, covers []shape.Rect, chosen int) {
	p.width, p.height, p.covers, p.chosen = float64(width), float64(height), covers, chosen
	p.Refresh()
}

// setImage shows a picture of the photo, of any size.
func (p *coverPhoto) setImage(m image.Image) {
	p.image.Image, p.image.Hidden = m, m == nil
	p.image.Refresh()
}

// frame is where the photo is on the widget, and pixels a unit.
func (p *coverPhoto) frame() (at fyne.Position, size fyne.Size, k float64) {
	s := p.Size()
	if p.width < 1 || p.height < 1 || s.Width < 1 || s.Height < 1 {
		return fyne.Position{}, fyne.Size{}, 0
	}
	k = max(p.width/float64(s.Width), p.height/float64(s.Height))
	size = fyne.NewSize(float32(p.width/k), float32(p.height/k))
	return fyne.NewPos((s.Width-size.Width)/2, (s.Height-size.Height)/2), size, k
}

func (p *coverPhoto) pixels(at fyne.Position) shape.Pt {
	o, _, k := p.frame()
	return shape.Pt{X: float64(at.X-o.X) * k, Y: float64(at.Y-o.Y) * k}
}

// Dragged is called by the toolkit.
func (p *coverPhoto) Dragged(e *fyne.DragEvent) {
	if p.from == nil {
		from := e.Position.Subtract(fyne.NewPos(e.Dragged.DX, e.Dragged.DY))
		p.from = &from
	}
	to := e.Position
	p.to = &to
	p.Refresh()
}

// DragEnd is called by the toolkit.
func (p *coverPhoto) DragEnd() {
	from, to := p.from, p.to
	p.from, p.to = nil, nil
	if from == nil || to == nil || p.OnCover == nil {
		return
	}
	a, b := p.pixels(*from), p.pixels(*to)
	p.OnCover(shape.RectAround(a, b))
}

// Tapped is called by the toolkit.
func (p *coverPhoto) Tapped(e *fyne.PointEvent) {
	if c := fyne.CurrentApp().Driver().CanvasForObject(p); c != nil {
		c.Focus(p)
	}
	if p.OnTap != nil {
		p.OnTap(p.pixels(e.Position))
	}
}

// TypedKey is called by the toolkit.
func (p *coverPhoto) TypedKey(e *fyne.KeyEvent) {
	if (e.Name == fyne.KeyDelete || e.Name == fyne.KeyBackspace) && p.OnDelete != nil {
		p.OnDelete()
	}
}

// TypedRune is called by the toolkit.
func (p *coverPhoto) TypedRune(rune) {}

// FocusGained is called by the toolkit.
func (p *coverPhoto) FocusGained() {}

// FocusLost is called by the toolkit.
func (p *coverPhoto) FocusLost() {}

// Cursor is called by the toolkit.
func (p *coverPhoto) Cursor() desktop.Cursor { return desktop.CrosshairCursor }

// CreateRenderer is called by the toolkit.
func (p *coverPhoto) CreateRenderer() fyne.WidgetRenderer {
	return &coverPainter{p: p, ground: canvas.NewRectangle(previewGround)}
}

// coverPainter lays the photo and its covers out.
type coverPainter struct {
	p      *coverPhoto
	ground *canvas.Rectangle
	rects  []fyne.CanvasObject
}

// Destroy is called by the toolkit, as the next four are.
func (r *coverPainter) Destroy() {}

// MinSize is called by the toolkit.
func (r *coverPainter) MinSize() fyne.Size { return fyne.NewSize(160, 120) }

// Objects is called by the toolkit.
func (r *coverPainter) Objects() []fyne.CanvasObject {
	return append([]fyne.CanvasObject{r.ground, r.p.image}, r.rects...)
}

// Layout is called by the toolkit.
func (r *coverPainter) Layout(s fyne.Size) {
	r.ground.Resize(s)
	at, size, k := r.p.frame()
	r.p.image.Move(at)
	r.p.image.Resize(size)
	r.rects = nil
	if k == 0 {
		return
	}
	for i, c := range r.p.covers {
		box := canvas.NewRectangle(coverInk)
		box.StrokeColor, box.StrokeWidth = color.White, 1
		if i == r.p.chosen {
			box.StrokeColor, box.StrokeWidth = theme.ColorForWidget(look.Accent, r.p), 3
		}
		box.Move(at.AddXY(float32(c.Min.X/k), float32(c.Min.Y/k)))
		box.Resize(fyne.NewSize(float32(c.Dx()/k), float32(c.Dy()/k)))
		r.rects = append(r.rects, box)
	}
	if a, b := r.p.from, r.p.to; a != nil && b != nil {
		box := canvas.NewRectangle(color.NRGBA{0x70, 0x70, 0x70, 0xc0})
		box.StrokeColor, box.StrokeWidth = color.White, 1
		box.Move(fyne.NewPos(min(a.X, b.X), min(a.Y, b.Y)))
		box.Resize(fyne.NewSize(max(a.X, b.X)-min(a.X, b.X), max(a.Y, b.Y)-min(a.Y, b.Y)))
		r.rects = append(r.rects, box)
	}
}

// Refresh is called by the toolkit.
func (r *coverPainter) Refresh() {
	r.Layout(r.p.Size())
	canvas.Refresh(r.p)
}
