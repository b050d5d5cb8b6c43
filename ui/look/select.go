package look

import (
	"slices"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/driver/desktop"
	"fyne.io/fyne/v2/widget"
)

// Select is an outlined choice of one among many words. The arrow keys step
// through them; Enter, Space or a click opens the list.
type Select struct {
	control
	options   []string
	chosen    string
	hint      string
	OnChanged func(s string)

	back  *canvas.Rectangle
	label *canvas.Text
	img   *canvas.Image
}

var (
	_ fyne.Tappable     = (*Select)(nil)
	_ fyne.Focusable    = (*Select)(nil)
	_ desktop.Hoverable = (*Select)(nil)
)

// NewSelect makes the choice with nothing chosen; the hint stands in its place.
func NewSelect(options []string, hint string, changed func(s string)) *Select {
	s := &Select{options: slices.Clone(options), hint: hint, OnChanged: changed}
	s.ExtendBaseWidget(s)
	return s
}

// Set shows a choice without reporting it. It need not be one of the options:
// a record may carry a word that this program does not offer.
func (s *Select) Set(word string) {
	if s.chosen != word {
		s.chosen = word
		s.Refresh()
	}
}

// SetOptions changes the words on offer and keeps the choice.
func (s *Select) SetOptions(options []string) { s.options = slices.Clone(options) }

// Chosen is the chosen word, "" for none.
func (s *Select) Chosen() string { return s.chosen }

func (s *Select) choose(word string) {
	if s.off || word == s.chosen {
		return
	}
	s.Set(word)
	if s.OnChanged != nil {
		s.OnChanged(word)
	}
}

// Tapped is called by the toolkit.
func (s *Select) Tapped(*fyne.PointEvent) {
	if s.off {
		return
	}
	focus(s)
	s.open()
}

// open shows the list under the widget.
func (s *Select) open() {
	cv := fyne.CurrentApp().Driver().CanvasForObject(s)
	if cv == nil || len(s.options) == 0 {
		return
	}
	var items []*fyne.MenuItem
	for _, o := range s.options {
		item := fyne.NewMenuItem(o, func() { s.choose(o) })
		item.Checked = o == s.chosen
		items = append(items, item)
	}
	pop := widget.NewPopUpMenu(fyne.NewMenu("", items...), cv)
	at := fyne.CurrentApp().Driver().AbsolutePositionForObject(s)
	pop.ShowAtPosition(at.AddXY(0, s.Size().Height+2))
	pop.Resize(fyne.NewSize(max(s.Size().Width, pop.MinSize().Width), pop.MinSize().Height))
}

// TypedKey is called by the toolkit.
func (s *Select) TypedKey(e *fyne.KeyEvent) {
	i := slices.Index(s.options, s.chosen)
	switch {
	case len(s.options) == 0:
	case isPress(e):
		s.Tapped(nil)
	case e.Name == fyne.KeyUp && i > 0:
		s.choose(s.options[i-1])
	case e.Name == fyne.KeyDown && i+1 < len(s.options):
		s.choose(s.options[i+1])
	}
}

// MouseIn is called by the toolkit.
func (s *Select) MouseIn(*desktop.MouseEvent) { s.hovered = true; s.Refresh() }

// MouseMoved is called by the toolkit.
func (s *Select) MouseMoved(*desktop.MouseEvent) {}

// CreateRenderer is called by the toolkit.
func (s *Select) CreateRenderer() fyne.WidgetRenderer {
	s.back, s.label = box(), newText("", Body, false)
	s.img = canvas.NewImageFromResource(nil)
	s.img.FillMode = canvas.ImageFillContain
	r := newRenderer(s, []fyne.CanvasObject{s.back, s.label, s.img})
	r.layout, r.paint = s.layout, s.paint
	r.min = func() fyne.Size { return fyne.NewSize(90, controlHeight) }
	s.paint()
	return r
}

func (s *Select) layout(size fyne.Size) {
	s.back.Resize(size)
	s.label.Text = shorten(s.word(), s.label, size.Width-9-26)
	h := s.label.MinSize().Height
	s.label.Move(fyne.NewPos(9, middle(size.Height, h)))
	s.label.Resize(fyne.NewSize(size.Width-35, h))
	s.img.Resize(fyne.NewSize(14, 14))
	s.img.Move(fyne.NewPos(size.Width-14-9, middle(size.Height, 14)))
}

func (s *Select) word() string {
	if s.chosen == "" {
		return s.hint
	}
	return s.chosen
}

func (s *Select) paint() {
	s.back.FillColor, s.back.StrokeColor, s.back.StrokeWidth = ink(s, Sheet), ink(s, Border), 1
	text := Ink
	switch {
	case s.off:
		s.back.FillColor = ink(s, Panel) // no longer a choice, still to be read
	case s.focused:
		s.back.StrokeColor, s.back.StrokeWidth = ink(s, Accent), 2
	case s.hovered:
		s.back.StrokeColor = ink(s, Dim)
	}
	if s.chosen == "" && !s.off {
		text = Dim
	}
	s.label.Color = ink(s, text)
	if res := inked("down", ink(s, Dim)); s.img.Resource != res {
		s.img.Resource = res
		s.img.Refresh()
	}
}
