package look

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/widget"
)

// Text is one line of text without padding, cut with an ellipsis where there
// is no room for it; Whole keeps it from being cut.
type Text struct {
	widget.BaseWidget
	text  string
	size  float32
	ink   fyne.ThemeColorName
	bold  bool
	mono  bool
	align fyne.TextAlign
	whole bool // may not shrink below its text

	obj *canvas.Text
}

// NewText makes a line in the ink and size.
func NewText(s string, size float32, ink fyne.ThemeColorName) *Text {
	t := &Text{text: s, size: size, ink: ink}
	t.ExtendBaseWidget(t)
	return t
}

// Bold sets the line in semibold; it returns the line for chaining, as the
// next three do.
func (t *Text) Bold() *Text { t.bold = true; return t }

// Mono sets the line in the monospaced face.
func (t *Text) Mono() *Text { t.mono = true; return t }

// Right aligns the line at the right.
func (t *Text) Right() *Text { t.align = fyne.TextAlignTrailing; return t }

// Middle centres the line.
func (t *Text) Middle() *Text { t.align = fyne.TextAlignCenter; return t }

// Whole keeps the line from being cut: its least width is that of its text.
func (t *Text) Whole() *Text { t.whole = true; return t }

// SetText changes the text.
func (t *Text) SetText(s string) {
	if t.text != s {
		t.text = s
		t.Refresh()
	}
}

// SetInk changes the colour.
func (t *Text) SetInk(n fyne.ThemeColorName) {
	if t.ink != n {
		t.ink = n
		t.Refresh()
	}
}

// String is the whole text.
func (t *Text) String() string { return t.text }

// CreateRenderer is called by the toolkit.
func (t *Text) CreateRenderer() fyne.WidgetRenderer {
	t.obj = newText(t.text, t.size, t.bold)
	r := newRenderer(t, []fyne.CanvasObject{t.obj})
	r.layout = func(s fyne.Size) {
		t.obj.Text = shorten(t.text, t.obj, s.Width)
		h := t.obj.MinSize().Height
		t.obj.Resize(fyne.NewSize(s.Width, h))
		t.obj.Move(fyne.NewPos(0, middle(s.Height, h)))
	}
	r.min = func() fyne.Size {
		m := fyne.MeasureText(t.text, t.size, t.obj.TextStyle)
		if !t.whole {
			m.Width = min(m.Width, 2*t.size)
		}
		return m
	}
	r.paint = func() {
		t.obj.TextStyle = fyne.TextStyle{Bold: t.bold, Monospace: t.mono}
		t.obj.Alignment = t.align
		t.obj.TextSize = t.size
		t.obj.Color = ink(t, t.ink)
	}
	r.paint()
	return r
}

// shorten is as much of the text as fits, with an ellipsis when something was
// left out.
func shorten(s string, like *canvas.Text, width float32) string {
	fits := func(s string) bool {
		return fyne.MeasureText(s, like.TextSize, like.TextStyle).Width <= width+0.5
	}
	if width <= 0 || s == "" || fits(s) {
		return s
	}
	r := []rune(s)
	lo, hi := 0, len(r)
	for lo < hi {
		mid := (lo + hi + 1) / 2
		if fits(string(r[:mid]) + "…") {
			lo = mid
		} else {
			hi = mid - 1
		}
	}
	return string(r[:lo]) + "…"
}
