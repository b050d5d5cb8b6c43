package look

import (
	"fmt"
	"image/color"
	"sync"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/widget"

	"wornwood/icons"
)

// coloured keeps one resource per drawing and colour: the toolkit keeps its
// pictures by the resource's name.
var coloured sync.Map

func inked(name string, c color.Color) fyne.Resource {
	r, g, b, _ := c.RGBA()
	hexed := fmt.Sprintf("#%02x%02x%02x", r>>8, g>>8, b>>8)
	key := name + hexed
	if res, ok := coloured.Load(key); ok {
		return res.(fyne.Resource)
	}
	res, _ := coloured.LoadOrStore(key, fyne.NewStaticResource(key[:len(name)]+"-"+hexed[1:]+".svg", icons.Coloured(name, hexed)))
	return res.(fyne.Resource)
}

// Icon is one of the program's drawings in a colour of the theme.
type Icon struct {
	widget.BaseWidget
	name string
	ink  fyne.ThemeColorName
	size float32
	img  *canvas.Image
}

// NewIcon makes an icon of the size in units. 18 is usual beside text.
func NewIcon(name string, ink fyne.ThemeColorName, size float32) *Icon {
	i := &Icon{name: name, ink: ink, size: size}
	i.ExtendBaseWidget(i)
	return i
}

// Set shows another drawing or colour.
func (i *Icon) Set(name string, ink fyne.ThemeColorName) {
	if i.name != name || i.ink != ink {
		i.name, i.ink = name, ink
		i.Refresh()
	}
}

// CreateRenderer is called by the toolkit.
func (i *Icon) CreateRenderer() fyne.WidgetRenderer {
	i.img = canvas.NewImageFromResource(nil)
	i.img.FillMode = canvas.ImageFillContain
	r := newRenderer(i, []fyne.CanvasObject{i.img})
	r.layout = func(s fyne.Size) {
		i.img.Resize(fyne.NewSize(i.size, i.size))
		i.img.Move(fyne.NewPos((s.Width-i.size)/2, (s.Height-i.size)/2))
	}
	r.min = func() fyne.Size { return fyne.NewSize(i.size, i.size) }
	r.paint = func() {
		if res := inked(i.name, ink(i, i.ink)); i.img.Resource != res {
			i.img.Resource = res
			i.img.Refresh()
		}
	}
	r.paint()
	return r
}
