package look

import (
	"image"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/widget"

	"wornwood/annotate/draw"
	"wornwood/annotate/shape"
)

// PinBadge is the pin of one mark as it looks on the outline, for panels and
// lists.
type PinBadge struct {
	widget.BaseWidget
	number, level int
	size          float32
	raster        *canvas.Raster
}

// NewPinBadge makes a pin of the diameter in units.
func NewPinBadge(number, level int, size float32) *PinBadge {
	b := &PinBadge{number: number, level: level, size: size}
	b.ExtendBaseWidget(b)
	return b
}

// Set shows another mark. Number 0 shows nothing.
func (b *PinBadge) Set(number, level int) {
	if b.number != number || b.level != level {
		b.number, b.level = number, level
		b.Refresh()
	}
}

// CreateRenderer is called by the toolkit.
func (b *PinBadge) CreateRenderer() fyne.WidgetRenderer {
	b.raster = canvas.NewRaster(b.draw)
	r := newRenderer(b, []fyne.CanvasObject{b.raster})
	r.layout = func(s fyne.Size) {
		b.raster.Resize(fyne.NewSize(b.size, b.size))
		b.raster.Move(fyne.NewPos((s.Width-b.size)/2, middle(s.Height, b.size)))
	}
	r.min = func() fyne.Size { return fyne.NewSize(b.size, b.size) }
	r.paint = b.raster.Refresh
	return r
}

func (b *PinBadge) draw(w, h int) image.Image {
	m := image.NewRGBA(image.Rect(0, 0, max(1, w), max(1, h)))
	if b.number < 1 {
		return m
	}
	st := draw.ScreenLight().At(float64(w) / float64(b.size))
	st.Halo = draw.Ink{} // it lies on a plain panel
	st.HaloWidth = 0
	mid := shape.Pt{X: float64(w) / 2, Y: float64(h) / 2}
	draw.Paint(m, draw.PinOps(draw.Pin{Number: b.number, Level: b.level, At: mid, Anchor: mid}, mid.X-0.5, st), shape.Identity())
	return m
}
