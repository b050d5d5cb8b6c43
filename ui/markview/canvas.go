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

// MouseDown is called by the toolkit.
func (c *Canvas) MouseDown(e *desktop.MouseEvent) {
	c.pressed = true
	if cv := fyne.CurrentApp().Driver().CanvasForObject(c); cv != nil {
		cv.Focus(c)
	}
	c.pressed = false
	b := Primary
	if e.Button != desktop.MouseButtonPrimary {
		b = Other
	}
	c.Control.Press(c.device(e.Position), b)
}

// MouseUp is called by the toolkit.
func (c *Canvas) MouseUp(e *desktop.MouseEvent) { c.Control.Release(c.device(e.Position)) }

// MouseIn is called by the toolkit.
func (c *Canvas) MouseIn(e *desktop.MouseEvent) { c.Control.Move(c.device(e.Position)) }

// MouseMoved is called by the toolkit.
func (c *Canvas) MouseMoved(e *desktop.MouseEvent) { c.Control.Move(c.device(e.Position)) }

// MouseOut is called by the toolkit.
func (c *Canvas) MouseOut() { c.Control.Leave() }

// Dragged is called by the toolkit while a button is down.
func (c *Canvas) Dragged(e *fyne.DragEvent) { c.Control.Move(c.device(e.Position)) }

// DragEnd is called by the toolkit, also when the button comes up elsewhere.
func (c *Canvas) DragEnd() {
	at, _ := c.Control.Cursor()
	c.Control.Release(at)
}

// Scrolled is called by the toolkit.
func (c *Canvas) Scrolled(e *fyne.ScrollEvent) {
	c.Control.Wheel(c.device(e.Position), float64(e.Scrolled.DY))
}

// Cursor is called by the toolkit: a cross where a click would draw.
func (c *Canvas) Cursor() desktop.Cursor {
	switch {
	case c.Control.press.moving() || c.Control.hovered > 0:
		return desktop.PointerCursor
	case c.Control.sheet.empty():
		return desktop.DefaultCursor
	}
	return desktop.CrosshairCursor
}

// FocusGained is called by the toolkit. The ring shows only for those who came
// by keyboard.
func (c *Canvas) FocusGained() {
	c.pic.Focused = !c.pressed
	c.redraw()
}

// FocusLost is called by the toolkit.
func (c *Canvas) FocusLost() {
	c.pic.Focused = false
	c.redraw()
}

// keys are the toolkit's names.
var keys = map[fyne.KeyName]Key{
	fyne.KeySpace: FitKey, fyne.KeyEnter: EnterKey, fyne.KeyReturn: EnterKey,
	fyne.KeyEscape: EscapeKey, fyne.KeyBackspace: BackKey,
	fyne.KeyLeft: LeftKey, fyne.KeyRight: RightKey, fyne.KeyUp: UpKey, fyne.KeyDown: DownKey,
}

// TypedKey is called by the toolkit.
func (c *Canvas) TypedKey(e *fyne.KeyEvent) { c.Control.Key(keys[e.Name]) }

// TypedRune is called by the toolkit: 1, plus and minus by what is printed on the
// key, wherever the keyboard has them.
func (c *Canvas) TypedRune(r rune) {
	switch r {
	case '+', '=':
		c.Control.Key(InKey)
	case '1':
		c.Control.Key(OneKey)
	case '-':
		c.Control.Key(OutKey)
	}
}
