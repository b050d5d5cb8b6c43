package look

import (
	"image/color"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/widget"
)

// Rows stacks objects from top to bottom without gaps. Those that Flex wraps
// share the height that is left; the others have their least height.
func Rows(objects ...fyne.CanvasObject) *fyne.Container {
	return container.New(&line{vertical: true}, objects...)
}

// Columns sets objects side by side in the same way.
func Columns(objects ...fyne.CanvasObject) *fyne.Container {
	return container.New(&line{}, objects...)
}

// Spaced is Rows with a gap between the objects.
func Spaced(gap float32, objects ...fyne.CanvasObject) *fyne.Container {
	return container.New(&line{vertical: true, gap: gap}, objects...)
}

// SpacedColumns is Columns with a gap between the objects.
func SpacedColumns(gap float32, objects ...fyne.CanvasObject) *fyne.Container {
	return container.New(&line{gap: gap}, objects...)
}

// Flex marks an object that takes a share of the room that is left; two
// objects of the weights 1 and 2 divide it as 1 to 2.
func Flex(weight float32, o fyne.CanvasObject) fyne.CanvasObject {
	return container.New(&flex{weight}, o)
}

// Space is empty room that takes what is left.
func Space() fyne.CanvasObject { return Flex(1, canvas.NewRectangle(color.Transparent)) }

// Fixed gives an object a width and a height; 0 leaves its own.
func Fixed(w, h float32, o fyne.CanvasObject) *fyne.Container {
	return container.New(&fixed{w, h}, o)
}

// Inset puts room around an object.
func Inset(left, top, right, bottom float32, o fyne.CanvasObject) *fyne.Container {
	return container.New(&inset{left, top, right, bottom}, o)
}

// Centred keeps an object at its least size in the middle.
func Centred(o fyne.CanvasObject) *fyne.Container { return container.NewCenter(o) }

type flex struct{ weight float32 }

func (flex) MinSize(o []fyne.CanvasObject) fyne.Size { return o[0].MinSize() }

func (flex) Layout(o []fyne.CanvasObject, s fyne.Size) {
	o[0].Move(fyne.NewPos(0, 0))
	o[0].Resize(s)
}

func weight(o fyne.CanvasObject) float32 {
	if c, ok := o.(*fyne.Container); ok {
		if f, ok := c.Layout.(*flex); ok {
			return f.weight
		}
	}
	return 0
}

type fixed struct{ w, h float32 }

func (f fixed) MinSize(o []fyne.CanvasObject) fyne.Size {
	m := o[0].MinSize()
	if f.w > 0 {
		m.Width = f.w
	}
	if f.h > 0 {
		m.Height = f.h
	}
	return m
}

func (fixed) Layout(o []fyne.CanvasObject, s fyne.Size) { flex{}.Layout(o, s) }

type inset struct{ left, top, right, bottom float32 }

func (i inset) MinSize(o []fyne.CanvasObject) fyne.Size {
	return o[0].MinSize().AddWidthHeight(i.left+i.right, i.top+i.bottom)
}

func (i inset) Layout(o []fyne.CanvasObject, s fyne.Size) {
	o[0].Move(fyne.NewPos(i.left, i.top))
	o[0].Resize(s.SubtractWidthHeight(i.left+i.right, i.top+i.bottom))
}

// line is the layout of Rows and Columns.
type line struct {
	vertical bool
	gap      float32
}

// along and across are the two measures of a size as the line sees them.
func (l *line) along(s fyne.Size) float32 {
	if l.vertical {
		return s.Height
	}
	return s.Width
}

func (l *line) size(along, across float32) fyne.Size {
	if l.vertical {
		return fyne.NewSize(across, along)
	}
	return fyne.NewSize(along, across)
}

func (l *line) across(s fyne.Size) float32 { return s.Width + s.Height - l.along(s) }

func (l *line) MinSize(objects []fyne.CanvasObject) fyne.Size {
	var a, b float32
	n := 0
	for _, o := range objects {
		if !o.Visible() {
			continue
		}
		m := o.MinSize()
		a, b = a+l.along(m), max(b, l.across(m))
		n++
	}
	return l.size(a+l.gap*float32(max(0, n-1)), b)
}

func (l *line) Layout(objects []fyne.CanvasObject, s fyne.Size) {
	sizes := l.sizes(objects, l.along(s))
	at := float32(0)
	for i, o := range objects {
		if !o.Visible() {
			continue
		}
		if l.vertical {
			o.Move(fyne.NewPos(0, at))
		} else {
			o.Move(fyne.NewPos(at, 0))
		}
		o.Resize(l.size(sizes[i], l.across(s)))
		at += sizes[i] + l.gap
	}
}

// sizes gives each visible object its length. One whose share is less than its
// least length gets that, and the others share what is then left.
func (l *line) sizes(objects []fyne.CanvasObject, all float32) []float32 {
	sizes, share := make([]float32, len(objects)), make([]float32, len(objects))
	left, weights := all+l.gap, float32(0)
	for i, o := range objects {
		if !o.Visible() {
			continue
		}
		sizes[i], share[i] = l.along(o.MinSize()), weight(o)
		left -= l.gap
		if weights += share[i]; share[i] == 0 {
			left -= sizes[i]
		}
	}
	for again := true; again; {
		again = false
		for i, w := range share {
			if w > 0 && sizes[i] > left*w/weights {
				left, weights, share[i], again = left-sizes[i], weights-w, 0, true
				break
			}
		}
	}
	for i, w := range share {
		if w > 0 {
			sizes[i] = left * w / weights
		}
	}
	return sizes
}

// Rule is a hairline between things, one unit thick.
type Rule struct {
	widget.BaseWidget
	name fyne.ThemeColorName
	obj  *canvas.Rectangle
}

// NewRule makes a hairline; it lies or stands as its place asks.
func NewRule() *Rule { return newRule(Hairline) }

func newRule(n fyne.ThemeColorName) *Rule {
	r := &Rule{name: n}
	r.ExtendBaseWidget(r)
	return r
}

// CreateRenderer is called by the toolkit.
func (r *Rule) CreateRenderer() fyne.WidgetRenderer {
	r.obj = canvas.NewRectangle(ink(r, r.name))
	w := newRenderer(r, []fyne.CanvasObject{r.obj})
	w.layout = r.obj.Resize
	w.min = func() fyne.Size { return fyne.NewSize(1, 1) }
	w.paint = func() { r.obj.FillColor = ink(r, r.name) }
	return w
}

// Ground is one colour under an object.
type Ground struct {
	widget.BaseWidget
	name    fyne.ThemeColorName
	content fyne.CanvasObject
	back    *canvas.Rectangle
}

// On lays an object on a ground of the colour: Panel for controls, Sheet for
// lists, PhotoStrip round photos.
func On(n fyne.ThemeColorName, content fyne.CanvasObject) *Ground {
	s := &Ground{name: n, content: content}
	s.ExtendBaseWidget(s)
	return s
}

// SetGround changes the colour.
func (s *Ground) SetGround(n fyne.ThemeColorName) {
	if s.name != n {
		s.name = n
		s.Refresh()
	}
}

// CreateRenderer is called by the toolkit.
func (s *Ground) CreateRenderer() fyne.WidgetRenderer {
	s.back = canvas.NewRectangle(ink(s, s.name))
	r := newRenderer(s, []fyne.CanvasObject{s.back, s.content})
	r.layout = func(size fyne.Size) { s.back.Resize(size); s.content.Resize(size) }
	r.min = func() fyne.Size { return s.content.MinSize() }
	r.paint = func() { s.back.FillColor = ink(s, s.name) }
	return r
}
