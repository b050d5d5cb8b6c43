package ui

import (
	"image"
	"image/color"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/driver/desktop"
	"fyne.io/fyne/v2/theme"
	"fyne.io/fyne/v2/widget"

	"wornwood/ui/look"
	"wornwood/ui/view"
)

// soundStrip shows the level of a recording over time, and the notes found in
// it, of which one can be selected by pointer or by the arrow keys.
type soundStrip struct {
	widget.BaseWidget
	m       *view.Sound
	changed func() // another note was selected
	focused bool

	levels  *canvas.Raster
	frame   *canvas.Rectangle
	spans   []*canvas.Rectangle
	labels  []*canvas.Text
	objects []fyne.CanvasObject
}

const (
	stripHeight float32 = 104
	stripLabel  float32 = 20  // height of the labels over the levels
	stripFloor          = -60 // dB full scale at the foot of the strip
)

func newSoundStrip(m *view.Sound, changed func()) *soundStrip {
	s := &soundStrip{m: m, changed: changed}
	s.ExtendBaseWidget(s)
	return s
}

// FocusGained and the next ones are called by the toolkit.
func (s *soundStrip) FocusGained() { s.focused = true; s.Refresh() }

// FocusLost is called by the toolkit.
func (s *soundStrip) FocusLost() { s.focused = false; s.Refresh() }

// TypedRune is called by the toolkit.
func (s *soundStrip) TypedRune(rune) {}

// Cursor is called by the toolkit.
func (s *soundStrip) Cursor() desktop.Cursor { return desktop.PointerCursor }

// TypedKey goes to the note before or after.
func (s *soundStrip) TypedKey(e *fyne.KeyEvent) {
	h := s.m.Heard()
	if h == nil || len(h.Notes) == 0 {
		return
	}
	switch e.Name {
	case fyne.KeyLeft:
		s.choose(max(0, s.m.Selected()-1))
	case fyne.KeyRight:
		s.choose(min(len(h.Notes)-1, s.m.Selected()+1))
	case fyne.KeyEscape:
		s.choose(-1)
	}
}

// Tapped selects the note under the pointer.
func (s *soundStrip) Tapped(e *fyne.PointEvent) {
	h := s.m.Heard()
	if h == nil || s.Size().Width <= 0 {
		return
	}
	if cv := fyne.CurrentApp().Driver().CanvasForObject(s); cv != nil {
		cv.Focus(s)
	}
	s.choose(s.m.NoteAt(float64(e.Position.X/s.Size().Width) * h.Length))
}

func (s *soundStrip) choose(i int) {
	s.m.Select(i)
	s.changed()
}

// CreateRenderer is called by the toolkit.
func (s *soundStrip) CreateRenderer() fyne.WidgetRenderer {
	s.levels = canvas.NewRaster(s.picture)
	s.frame = canvas.NewRectangle(color.Transparent)
	s.build()
	return &stripRenderer{s}
}

// build makes what the notes need; it is called again when their number
// changes.
func (s *soundStrip) build() {
	n := 0
	if h := s.m.Heard(); h != nil {
		n = len(h.Notes)
	}
	for len(s.spans) < n {
		t := canvas.NewText("", color.Transparent)
		t.TextSize, t.Alignment = look.Caption, fyne.TextAlignCenter
		s.spans, s.labels = append(s.spans, canvas.NewRectangle(color.Transparent)), append(s.labels, t)
	}
	s.spans, s.labels = s.spans[:n], s.labels[:n]
	s.objects = []fyne.CanvasObject{s.frame}
	for _, r := range s.spans {
		s.objects = append(s.objects, r)
	}
	s.objects = append(s.objects, s.levels)
	for _, t := range s.labels {
		s.objects = append(s.objects, t)
	}
}

// picture draws the levels as bars about a middle line.
func (s *soundStrip) picture(w, h int) image.Image {
	img := image.NewNRGBA(image.Rect(0, 0, w, h))
	heard := s.m.Heard()
	if heard == nil || len(heard.Levels) == 0 {
		return img
	}
	c := color.NRGBAModel.Convert(theme.ColorForWidget(look.Dim, s)).(color.NRGBA)
	c.A = 170
	for x := range w {
		level := heard.Levels[x*len(heard.Levels)/w]
		half := int((level - stripFloor) / -stripFloor * float64(h) / 2)
		for y := max(0, h/2-max(0, half)); y <= min(h-1, h/2+max(0, half)); y++ {
			img.SetNRGBA(x, y, c)
		}
	}
	return img
}

type stripRenderer struct{ s *soundStrip }

func (r *stripRenderer) Destroy()                     {}
func (r *stripRenderer) Objects() []fyne.CanvasObject { return r.s.objects }
func (r *stripRenderer) MinSize() fyne.Size           { return fyne.NewSize(200, stripHeight) }

func (r *stripRenderer) Refresh() {
	r.s.build()
	r.Layout(r.s.Size())
	r.s.levels.Refresh()
	canvas.Refresh(r.s)
}

func (r *stripRenderer) Layout(size fyne.Size) {
	s := r.s
	ink := func(n fyne.ThemeColorName) color.Color { return theme.ColorForWidget(n, s) }
	s.frame.FillColor, s.frame.StrokeColor, s.frame.StrokeWidth = ink(look.Sheet), ink(look.Border), 1
	if s.focused {
		s.frame.StrokeColor = ink(look.Accent)
	}
	s.frame.Resize(size)
	s.levels.Move(fyne.NewPos(1, stripLabel))
	s.levels.Resize(fyne.NewSize(size.Width-2, size.Height-stripLabel-4))
	h := s.m.Heard()
	if h == nil || h.Length <= 0 {
		return
	}
	for i, n := range h.Notes {
		x0, x1 := float32(n.Start/h.Length)*size.Width, float32(n.End/h.Length)*size.Width
		fill, text := look.Over, look.Ink
		if i == s.m.Selected() {
			fill, text = look.Strong, look.OnStrong
		}
		if h.Places[i].String == 0 && i != s.m.Selected() {
			text = look.Dim
		}
		s.spans[i].FillColor = ink(fill)
		s.spans[i].Move(fyne.NewPos(x0, 1))
		s.spans[i].Resize(fyne.NewSize(max(2, x1-x0), stripLabel-1))
		t := s.labels[i]
		t.Text, t.Color = h.Label(i), ink(text)
		if fyne.MeasureText(t.Text, t.TextSize, t.TextStyle).Width > x1-x0 {
			t.Text = "" // too many notes for the width; the line below says which is which
		}
		t.Move(fyne.NewPos(x0, 3))
		t.Resize(fyne.NewSize(max(2, x1-x0), stripLabel-6))
	}
}
