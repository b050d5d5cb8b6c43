package look

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/widget"
)

// Figure is one of the answers in the header: a caption, a figure in large,
// and what it is a figure of. It keeps its width while the figure changes, so
// that the header does not jump about.
type Figure struct {
	widget.BaseWidget
	caption, value, of string
	cap, val, rest     *canvas.Text
}

// NewFigure makes a figure: "Condition · honestly worn", "78", "71–79 of 100".
func NewFigure(caption, value, of string) *Figure {
	f := &Figure{caption: caption, value: value, of: of}
	f.ExtendBaseWidget(f)
	return f
}

// Set changes all three texts.
func (f *Figure) Set(caption, value, of string) {
	if f.caption != caption || f.value != value || f.of != of {
		f.caption, f.value, f.of = caption, value, of
		f.Refresh()
	}
}

// CreateRenderer is called by the toolkit.
func (f *Figure) CreateRenderer() fyne.WidgetRenderer {
	f.cap, f.val, f.rest = newText("", Caption, false), newText("", Large, true), newText("", Small, false)
	r := newRenderer(f, []fyne.CanvasObject{f.cap, f.val, f.rest})
	r.layout, r.min, r.paint = f.layout, f.min, f.paint
	f.paint()
	return r
}

const figureGap float32 = 5

func (f *Figure) min() fyne.Size {
	c, v, o := f.cap.MinSize(), f.val.MinSize(), f.rest.MinSize()
	return fyne.NewSize(max(c.Width, v.Width+figureGap+o.Width), c.Height+v.Height-2)
}

// layout sets the two lines on one baseline where they stand side by side.
func (f *Figure) layout(s fyne.Size) {
	c, v, o := f.cap.MinSize(), f.val.MinSize(), f.rest.MinSize()
	top := middle(s.Height, c.Height+v.Height-2)
	f.cap.Move(fyne.NewPos(0, top))
	f.val.Move(fyne.NewPos(0, top+c.Height-2))
	base := func(h, size float32) float32 { return (h-size)/2 + size*0.86 }
	f.rest.Move(fyne.NewPos(v.Width+figureGap, top+c.Height-2+base(v.Height, Large)-base(o.Height, Small)))
	f.cap.Resize(c)
	f.val.Resize(v)
	f.rest.Resize(o)
}

func (f *Figure) paint() {
	f.cap.Text, f.val.Text, f.rest.Text = f.caption, f.value, f.of
	f.cap.Color, f.val.Color, f.rest.Color = ink(f, Dim), ink(f, Ink), ink(f, Dim)
}
