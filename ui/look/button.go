package look

import (
	"image/color"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/driver/desktop"
)

// ButtonKind is how loudly a button speaks.
type ButtonKind uint8

// The kinds of button. A screen has one Main button at most.
const (
	Plain ButtonKind = iota // outlined
	Main                    // filled with the accent
	Quiet                   // text only, for bars of tools
)

// Button is a flat button in regular weight.
type Button struct {
	control
	text, icon string
	kind       ButtonKind
	chosen     bool // pressed in, for tools
	tight      bool // little room beside the text
	OnTapped   func()

	back  *canvas.Rectangle
	label *canvas.Text
	img   *canvas.Image
}

var (
	_ fyne.Tappable     = (*Button)(nil)
	_ fyne.Focusable    = (*Button)(nil)
	_ fyne.Disableable  = (*Button)(nil)
	_ desktop.Hoverable = (*Button)(nil)
)

// NewButton makes a button with a text, an icon, or both ("" leaves one out).
func NewButton(text, icon string, kind ButtonKind, tapped func()) *Button {
	b := &Button{text: text, icon: icon, kind: kind, OnTapped: tapped}
	b.ExtendBaseWidget(b)
	return b
}

// Tight leaves little room beside the text, for rows of many; it returns the
// button for chaining.
func (b *Button) Tight() *Button { b.tight = true; return b }

// SetText changes the text.
func (b *Button) SetText(s string) {
	if b.text != s {
		b.text = s
		b.Refresh()
	}
}

// SetChosen shows a tool as the one in use.
func (b *Button) SetChosen(on bool) {
	if b.chosen != on {
		b.chosen = on
		b.Refresh()
	}
}

// Tapped is called by the toolkit.
func (b *Button) Tapped(*fyne.PointEvent) {
	if !b.off && b.OnTapped != nil {
		b.OnTapped()
	}
}

// TypedKey is called by the toolkit.
func (b *Button) TypedKey(e *fyne.KeyEvent) {
	if isPress(e) {
		b.Tapped(nil)
	}
}

// MouseIn is called by the toolkit.
func (b *Button) MouseIn(*desktop.MouseEvent) { b.hovered = true; b.Refresh() }

// MouseMoved is called by the toolkit.
func (b *Button) MouseMoved(*desktop.MouseEvent) {}

// CreateRenderer is called by the toolkit.
func (b *Button) CreateRenderer() fyne.WidgetRenderer {
	b.back, b.label = box(), newText(b.text, Body, false)
	b.img = canvas.NewImageFromResource(nil)
	b.img.FillMode = canvas.ImageFillContain
	r := newRenderer(b, []fyne.CanvasObject{b.back, b.img, b.label})
	r.layout, r.min, r.paint = b.layout, b.min, b.paint
	b.paint()
	return r
}

const (
	buttonIcon float32 = 18
	buttonPad  float32 = 12
)

// content is the width of icon, gap and text.
func (b *Button) content() (icon, gap, text float32) {
	if b.icon != "" {
		icon = buttonIcon
	}
	if b.text != "" {
		text = fyne.MeasureText(b.text, Body, fyne.TextStyle{}).Width
	}
	if icon > 0 && text > 0 {
		gap = 6
	}
	return icon, gap, text
}

func (b *Button) min() fyne.Size {
	icon, gap, text := b.content()
	pad := buttonPad
	if b.tight {
		pad = buttonPad / 2
	}
	if text == 0 {
		pad = (controlHeight - buttonIcon) / 2
	}
	return fyne.NewSize(icon+gap+text+2*pad, controlHeight)
}

func (b *Button) layout(s fyne.Size) {
	b.back.Resize(s)
	icon, gap, text := b.content()
	x := (s.Width - icon - gap - text) / 2
	b.img.Resize(fyne.NewSize(buttonIcon, buttonIcon))
	b.img.Move(fyne.NewPos(x, middle(s.Height, buttonIcon)))
	h := b.label.MinSize().Height
	b.label.Resize(fyne.NewSize(text, h))
	b.label.Move(fyne.NewPos(x+icon+gap, middle(s.Height, h)))
}

func (b *Button) paint() {
	back, edge, text := b.colours()
	b.back.FillColor, b.back.StrokeColor, b.back.StrokeWidth = back, edge, 1
	if b.focused {
		b.back.StrokeColor, b.back.StrokeWidth = ink(b, Accent), 2
		if b.kind == Main {
			b.back.StrokeColor = ink(b, Ink)
		}
	}
	b.label.Text, b.label.Color = b.text, text
	b.img.Hidden = b.icon == ""
	if b.icon != "" {
		if res := inked(b.icon, text); b.img.Resource != res {
			b.img.Resource = res
			b.img.Refresh()
		}
	}
}

func (b *Button) colours() (back, edge, text color.Color) {
	none := color.Transparent
	switch {
	case b.off && b.chosen:
		return ink(b, Border), none, ink(b, Ink)
	case b.off && b.kind == Quiet:
		return none, none, ink(b, Border)
	case b.off:
		return none, ink(b, Hairline), ink(b, Border)
	case b.chosen:
		return ink(b, Strong), none, ink(b, OnStrong)
	case b.kind == Main:
		back = ink(b, Accent)
		if b.hovered {
			back = shade(back, ink(b, Ink), 0.14)
		}
		return back, none, ink(b, OnAccent)
	case b.kind == Quiet && b.hovered:
		return ink(b, Over), none, ink(b, Ink)
	case b.kind == Quiet:
		return none, none, ink(b, Ink)
	case b.hovered:
		return ink(b, Over), ink(b, Border), ink(b, Ink)
	}
	return ink(b, Sheet), ink(b, Border), ink(b, Ink)
}

// shade mixes a share of one colour into another.
func shade(c, with color.Color, share float64) color.Color {
	a, b := color.NRGBAModel.Convert(c).(color.NRGBA), color.NRGBAModel.Convert(with).(color.NRGBA)
	mix := func(x, y uint8) uint8 { return uint8(float64(x)*(1-share) + float64(y)*share + 0.5) }
	return color.NRGBA{mix(a.R, b.R), mix(a.G, b.G), mix(a.B, b.B), a.A}
}
