package look

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/theme"
	"fyne.io/fyne/v2/widget"
)

// Paragraph is text that wraps, without padding.
type Paragraph struct {
	Object fyne.CanvasObject // what goes on the screen
	label  *widget.Label
}

// NewParagraph makes a text in ink, or in dim for remarks.
func NewParagraph(s string, dim bool) *Paragraph {
	l := widget.NewLabel(s)
	l.Wrapping = fyne.TextWrapWord
	names := map[fyne.ThemeColorName]fyne.ThemeColorName{}
	if dim {
		names[theme.ColorNameForeground] = Dim
	}
	sizes := map[fyne.ThemeSizeName]float32{theme.SizeNameInnerPadding: 0}
	return &Paragraph{Object: container.NewThemeOverride(l, over{sizes: sizes, names: names}), label: l}
}

// SetText changes the text.
func (p *Paragraph) SetText(s string) {
	if p.label.Text != s {
		p.label.SetText(s)
	}
}
