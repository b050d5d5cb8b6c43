package look

import (
	"image/color"

	"fyne.io/fyne/v2"
)

// over is the theme of the moment with some sizes and colours changed, for one
// of the toolkit's own widgets.
type over struct {
	sizes map[fyne.ThemeSizeName]float32
	names map[fyne.ThemeColorName]fyne.ThemeColorName // this colour instead of that
	clear fyne.ThemeColorName                         // a colour that is not shown
}

func (over) base() fyne.Theme { return fyne.CurrentApp().Settings().Theme() }

func (o over) Color(n fyne.ThemeColorName, v fyne.ThemeVariant) color.Color {
	if n == o.clear {
		return color.Transparent
	}
	if own, ok := o.names[n]; ok {
		n = own
	}
	return o.base().Color(n, v)
}

func (o over) Font(s fyne.TextStyle) fyne.Resource     { return o.base().Font(s) }
func (o over) Icon(n fyne.ThemeIconName) fyne.Resource { return o.base().Icon(n) }

func (o over) Size(n fyne.ThemeSizeName) float32 {
	if s, ok := o.sizes[n]; ok {
		return s
	}
	return o.base().Size(n)
}
