package look

import (
	"image/color"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/theme"
	"fyne.io/fyne/v2/widget"
)

// ink is a colour of the theme that the widget lives under.
func ink(w fyne.Widget, n fyne.ThemeColorName) color.Color { return theme.ColorForWidget(n, w) }

// renderer is the renderer of every widget here: three functions instead of a
// type for each.
type renderer struct {
	of      fyne.Widget
	objects []fyne.CanvasObject
	layout  func(fyne.Size)
	min     func() fyne.Size
	paint   func() // reads colours and state; called at every refresh
}

func newRenderer(of fyne.Widget, objects []fyne.CanvasObject) *renderer {
	return &renderer{of: of, objects: objects}
}

func (r *renderer) Layout(s fyne.Size)           { r.layout(s) }
func (r *renderer) MinSize() fyne.Size           { return r.min() }
func (r *renderer) Objects() []fyne.CanvasObject { return r.objects }
func (r *renderer) Destroy()                     {}

func (r *renderer) Refresh() {
	r.paint()
	r.layout(r.of.Size())
	canvas.Refresh(r.of)
}

// control is what all things that can be clicked share. Its users embed it and
// call Refresh on themselves, which reads these fields.
type control struct {
	widget.BaseWidget
	hovered, focused, off bool
}

func (c *control) FocusGained()       { c.focused = true; c.Refresh() }
func (c *control) FocusLost()         { c.focused = false; c.Refresh() }
func (c *control) TypedRune(rune)     {}
func (c *control) MouseOut()          { c.hovered = false; c.Refresh() }
func (c *control) Disabled() bool     { return c.off }
func (c *control) setDisabled(d bool) { c.off = d; c.Refresh() }
func (c *control) Enable()            { c.setDisabled(false) }
func (c *control) Disable()           { c.setDisabled(true) }

// focus takes the keyboard when the widget is clicked.
func focus(w fyne.Focusable) {
	if cv := fyne.CurrentApp().Driver().CanvasForObject(w.(fyne.CanvasObject)); cv != nil {
		cv.Focus(w)
	}
}

// isPress says whether a key presses what has the focus.
func isPress(e *fyne.KeyEvent) bool {
	return e.Name == fyne.KeySpace || e.Name == fyne.KeyReturn || e.Name == fyne.KeyEnter
}

// newText is a canvas text that widgets colour themselves.
func newText(s string, size float32, bold bool) *canvas.Text {
	t := canvas.NewText(s, color.Transparent)
	t.TextSize = size
	t.TextStyle.Bold = bold
	return t
}

// box is a rectangle with rounded corners.
func box() *canvas.Rectangle {
	r := canvas.NewRectangle(color.Transparent)
	r.CornerRadius = radius
	return r
}

// middle is the top of something of the height h in the middle of all.
func middle(all, h float32) float32 { return (all - h) / 2 }
