package look

import (
	"image/color"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/driver/desktop"
)

// Status is what the dot of a rail item says.
type Status uint8

// The states of a rail item.
const (
	NoDot      Status = iota
	NotStarted        // hollow dot
	Incomplete        // something is missing: filled, warning colour
	Complete          // filled, quiet green
)

// RailItem leads to one screen: icon, label, status dot. The states differ in
// form too: hollow, ringed, full.
type RailItem struct {
	control
	label, icon string
	status      Status
	here        bool
	OnTapped    func()
	// OnHover is told when the pointer comes and goes, to say what is missing.
	OnHover func(in bool)

	back, bar *canvas.Rectangle
	img       *canvas.Image
	text      *canvas.Text
	dot       *canvas.Circle
}

var (
	_ fyne.Tappable     = (*RailItem)(nil)
	_ fyne.Focusable    = (*RailItem)(nil)
	_ desktop.Hoverable = (*RailItem)(nil)
)

// NewRailItem makes an item with no dot.
func NewRailItem(label, icon string, tapped func()) *RailItem {
	r := &RailItem{label: label, icon: icon, OnTapped: tapped}
	r.ExtendBaseWidget(r)
	return r
}

// Set shows whether this is where the user is, and the dot.
func (r *RailItem) Set(here bool, s Status) {
	if r.here != here || r.status != s {
		r.here, r.status = here, s
		r.Refresh()
	}
}

// Tapped is called by the toolkit.
func (r *RailItem) Tapped(*fyne.PointEvent) {
	if r.OnTapped != nil && !r.off {
		r.OnTapped()
	}
}

// TypedKey is called by the toolkit.
func (r *RailItem) TypedKey(e *fyne.KeyEvent) {
	if isPress(e) {
		r.Tapped(nil)
	}
}

// MouseIn is called by the toolkit.
func (r *RailItem) MouseIn(*desktop.MouseEvent) { r.hover(true) }

// MouseMoved is called by the toolkit.
func (r *RailItem) MouseMoved(*desktop.MouseEvent) {}

// MouseOut is called by the toolkit.
func (r *RailItem) MouseOut() { r.hover(false) }

func (r *RailItem) hover(in bool) {
	r.hovered = in
	r.Refresh()
	if r.OnHover != nil {
		r.OnHover(in)
	}
}

const (
	railWidth  float32 = 84
	railHeight float32 = 60
	railIcon   float32 = 22
)

// CreateRenderer is called by the toolkit.
func (r *RailItem) CreateRenderer() fyne.WidgetRenderer {
	r.back, r.bar = canvas.NewRectangle(color.Transparent), canvas.NewRectangle(color.Transparent)
	r.img = canvas.NewImageFromResource(nil)
	r.img.FillMode = canvas.ImageFillContain
	r.text = newText(r.label, Caption, false)
	r.text.Alignment = fyne.TextAlignCenter
	r.dot = canvas.NewCircle(color.Transparent)
	w := newRenderer(r, []fyne.CanvasObject{r.back, r.bar, r.img, r.text, r.dot})
	w.layout, w.paint = r.layout, r.paint
	w.min = func() fyne.Size { return fyne.NewSize(railWidth, railHeight) }
	r.paint()
	return w
}

func (r *RailItem) layout(s fyne.Size) {
	r.back.Resize(s)
	r.bar.Resize(fyne.NewSize(3, s.Height))
	h := r.text.MinSize().Height
	top := middle(s.Height, railIcon+5+h)
	r.img.Resize(fyne.NewSize(railIcon, railIcon))
	r.img.Move(fyne.NewPos((s.Width-railIcon)/2, top))
	r.text.Resize(fyne.NewSize(s.Width, h))
	r.text.Move(fyne.NewPos(0, top+railIcon+5))
	r.dot.Resize(fyne.NewSize(7, 7))
	r.dot.Move(fyne.NewPos(s.Width/2+railIcon/2+8, top-1))
}

func (r *RailItem) paint() {
	text, back, bar := Dim, color.Color(color.Transparent), color.Color(color.Transparent)
	switch {
	case r.here:
		text, back, bar = Accent, ink(r, Here), ink(r, Accent)
	case r.hovered:
		text, back = Ink, ink(r, Over)
	}
	r.back.StrokeWidth = 0
	if r.focused {
		r.back.StrokeColor, r.back.StrokeWidth = ink(r, Accent), 2
	}
	r.back.FillColor, r.bar.FillColor, r.text.Color = back, bar, ink(r, text)
	name := Ink
	if r.here {
		name = Accent
	}
	if res := inked(r.icon, ink(r, name)); r.img.Resource != res {
		r.img.Resource = res
		r.img.Refresh()
	}
	r.dot.Hidden = r.status == NoDot
	r.dot.StrokeWidth, r.dot.FillColor = 0, color.Transparent
	switch r.status {
	case Complete:
		r.dot.FillColor = ink(r, Good)
	case Incomplete:
		r.dot.FillColor = ink(r, Missing)
	default:
		r.dot.StrokeColor, r.dot.StrokeWidth = ink(r, Border), 1.3
	}
}
