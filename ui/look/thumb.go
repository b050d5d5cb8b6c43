package look

import (
	"image"
	"image/color"
	"strconv"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/driver/desktop"
)

// Thumb is a small photo with its caption, a badge with the number of marks on
// it, and a ring when it is the one being shown. Give it pictures of about
// twice its size: the toolkit scales slowly.
type Thumb struct {
	control
	caption  string
	count    int
	here     bool
	w, h     float32
	OnTapped func()

	back, ring, veil *canvas.Rectangle
	img              *canvas.Image
	label, number    *canvas.Text
	badge            *canvas.Rectangle
}

var (
	_ fyne.Tappable     = (*Thumb)(nil)
	_ fyne.Focusable    = (*Thumb)(nil)
	_ desktop.Hoverable = (*Thumb)(nil)
)

// NewThumb makes a thumbnail of the size without a picture yet.
func NewThumb(w, h float32, tapped func()) *Thumb {
	t := &Thumb{w: w, h: h, OnTapped: tapped}
	t.img = canvas.NewImageFromImage(nil)
	t.img.FillMode = canvas.ImageFillCover
	t.img.ScaleMode = canvas.ImageScaleFastest
	t.img.Hidden = true // until there is a picture: not every painter takes one without
	t.ExtendBaseWidget(t)
	return t
}

// Set shows caption, number of marks and whether it is the one being shown.
func (t *Thumb) Set(caption string, count int, here bool) {
	if t.caption != caption || t.count != count || t.here != here {
		t.caption, t.count, t.here = caption, count, here
		t.Refresh()
	}
}

// SetImage shows a picture; the same one again costs nothing.
func (t *Thumb) SetImage(m image.Image) {
	if t.img.Image != m {
		t.img.Image, t.img.Hidden = m, m == nil
		t.img.Refresh()
	}
}

// Tapped is called by the toolkit.
func (t *Thumb) Tapped(*fyne.PointEvent) {
	if t.OnTapped != nil {
		t.OnTapped()
	}
}

// TypedKey is called by the toolkit.
func (t *Thumb) TypedKey(e *fyne.KeyEvent) {
	if isPress(e) {
		t.Tapped(nil)
	}
}

// MouseIn is called by the toolkit.
func (t *Thumb) MouseIn(*desktop.MouseEvent) { t.hovered = true; t.Refresh() }

// MouseMoved is called by the toolkit.
func (t *Thumb) MouseMoved(*desktop.MouseEvent) {}

// CreateRenderer is called by the toolkit.
func (t *Thumb) CreateRenderer() fyne.WidgetRenderer {
	t.back, t.ring, t.veil = canvas.NewRectangle(color.Transparent), canvas.NewRectangle(color.Transparent), canvas.NewRectangle(color.Transparent)
	t.badge = canvas.NewRectangle(color.Transparent)
	t.label, t.number = newText("", Caption, false), newText("", Caption, true)
	t.number.Alignment = fyne.TextAlignCenter
	r := newRenderer(t, []fyne.CanvasObject{t.back, t.img, t.veil, t.label, t.badge, t.number, t.ring})
	r.layout, r.paint = t.layout, t.paint
	r.min = func() fyne.Size { return fyne.NewSize(t.w, t.h) }
	t.paint()
	return r
}

func (t *Thumb) layout(s fyne.Size) {
	for _, o := range []fyne.CanvasObject{t.back, t.img, t.ring} {
		o.Resize(s)
	}
	t.label.Text = shorten(t.caption, t.label, s.Width-12)
	h := t.label.MinSize().Height
	t.veil.Move(fyne.NewPos(0, s.Height-h-5))
	t.veil.Resize(fyne.NewSize(s.Width, h+5))
	t.label.Move(fyne.NewPos(6, s.Height-h-2))
	t.label.Resize(fyne.NewSize(s.Width-12, h))
	nh := t.number.MinSize().Height
	w := max(nh+4, t.number.MinSize().Width+10)
	t.badge.CornerRadius = nh / 2
	t.badge.Resize(fyne.NewSize(w, nh))
	t.badge.Move(fyne.NewPos(s.Width-w-5, 5))
	t.number.Resize(fyne.NewSize(w, nh))
	t.number.Move(fyne.NewPos(s.Width-w-5, 5))
}

func (t *Thumb) paint() {
	t.back.FillColor = color.NRGBA{119, 119, 119, 255}
	t.label.Color = color.White
	t.veil.FillColor = color.NRGBA{0, 0, 0, 120}
	t.veil.Hidden = t.caption == ""
	t.number.Text = strconv.Itoa(t.count)
	t.number.Color, t.badge.FillColor = color.NRGBA{0x1d, 0x21, 0x25, 255}, color.White
	t.badge.Hidden, t.number.Hidden = t.count == 0, t.count == 0
	t.ring.StrokeColor, t.ring.StrokeWidth = color.Transparent, 0
	switch {
	case t.here:
		t.ring.StrokeColor, t.ring.StrokeWidth = color.White, 2
	case t.focused:
		t.ring.StrokeColor, t.ring.StrokeWidth = ink(t, Accent), 2
	case t.hovered:
		t.ring.StrokeColor, t.ring.StrokeWidth = color.NRGBA{255, 255, 255, 130}, 1
	}
}
