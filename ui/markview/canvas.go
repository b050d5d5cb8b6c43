package markview

import (
	"image"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/driver/desktop"
	"fyne.io/fyne/v2/widget"

	"wornwood/annotate/draw"
	"wornwood/annotate/shape"
)

// DefaultStore is how many bytes of decoded photos a canvas keeps when it is
// given no store: two photos of 24 megapixels.
const DefaultStore = 280 << 20

// Canvas is the widget: one raster the size of the view in device pixels. Set
// the callbacks of its Controller, then SetSheet. All of it belongs to the
// UI goroutine.
type Canvas struct {
	widget.BaseWidget
	Control *Controller

	// OnFail is told when a photo could not be read; the canvas says so too.
	OnFail func(photo string, err error)
	// OnKey is given the keys that mean nothing to the canvas.
	OnKey func(e *fyne.KeyEvent)

	pic     Picture
	raster  *canvas.Raster
	loads   loads
	pressed bool // focus comes from a press, which needs no ring
}

var (
	_ fyne.Focusable     = (*Canvas)(nil)
	_ fyne.Draggable     = (*Canvas)(nil)
	_ fyne.Scrollable    = (*Canvas)(nil)
	_ desktop.Mouseable  = (*Canvas)(nil)
	_ desktop.Hoverable  = (*Canvas)(nil)
	_ desktop.Cursorable = (*Canvas)(nil)
	_ desktop.Keyable    = (*Canvas)(nil)
	_ fyne.Tabbable      = (*Canvas)(nil)
)

// NewCanvas makes an empty canvas. A nil store gets one of DefaultStore bytes;
// a nil loader is for canvases that only ever show outlines.
func NewCanvas(store *Store, load Loader) *Canvas {
	if store == nil {
		store = NewStore(DefaultStore)
	}
	c := &Canvas{Control: NewController()}
	c.Control.Changed = c.redraw
	c.loads = loads{
		store: store, load: load,
		run: func(f func()) { go f() }, post: fyne.Do,
		arrive: c.arrive, fail: c.failed,
	}
	c.ExtendBaseWidget(c)
	return c
}

// SetSheet shows a sheet. Another photo is brought in the background.
func (c *Canvas) SetSheet(s Sheet) {
	if s.Photo != c.Control.sheet.Photo {
		c.pic.Photo, c.pic.Message = nil, ""
		c.loads.want(s.Photo)
	}
	c.Control.SetSheet(s)
}

// SetTip gives the lines of the note beside a hovered mark.
func (c *Canvas) SetTip(tip func(number int) []string) { c.pic.Tip = tip }

// SetGhostTip gives the lines of the note beside a suggestion, in place of the
// usual ones.
func (c *Canvas) SetGhostTip(tip func(id int) []string) { c.pic.GhostTip = tip }

// SetExtra gives more to draw between ground and pins, in the unit of the
// sheet; Redraw shows a change of it.
func (c *Canvas) SetExtra(extra func(st draw.Style) draw.List) {
	c.pic.Extra = extra
	c.redraw()
}

// SetDark chooses the style of outlines for dark windows.
func (c *Canvas) SetDark(dark bool) {
	if c.pic.Dark != dark {
		c.pic.Dark = dark
		c.redraw()
	}
}

// Photo is the photo shown, at full size only once it has come; nil before.
func (c *Canvas) Photo() *Pyramid { return c.pic.Photo }

// Redraw paints anew.
func (c *Canvas) Redraw() { c.redraw() }

func (c *Canvas) redraw() {
	if c.raster != nil {
		c.raster.Refresh()
	}
}

func (c *Canvas) arrive(p *Pyramid, _ bool) {
	c.pic.Photo, c.pic.Message = p, ""
	c.redraw()
}

func (c *Canvas) failed(photo string, err error) {
	c.pic.Message = "This photo could not be read: " + err.Error()
	if c.OnFail != nil {
		c.OnFail(photo, err)
	}
	c.redraw()
}

// CreateRenderer is called by the toolkit.
func (c *Canvas) CreateRenderer() fyne.WidgetRenderer {
	c.raster = canvas.NewRaster(func(w, h int) image.Image {
		if size := c.Size(); size.Width > 0 {
			c.Control.Resize(w, h, float64(w)/float64(size.Width))
		}
		return c.pic.Paint(c.Control, w, h)
	})
	// The raster has the size of the view; scaling it again would only blur.
	c.raster.ScaleMode = canvas.ImageScalePixels
	return widget.NewSimpleRenderer(c.raster)
}

// MinSize is small: the canvas takes the room that is left.
func (c *Canvas) MinSize() fyne.Size {
	c.ExtendBaseWidget(c)
	return fyne.NewSize(160, 120)
}

// device maps a position in the widget to device pixels.
func (c *Canvas) device(p fyne.Position) shape.Pt {
	k := c.Control.scale
	return shape.Pt{X: float64(p.X) * k, Y: float64(p.Y) * k}
}
