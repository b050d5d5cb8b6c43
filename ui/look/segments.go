package look

import (
	"image/color"
	"slices"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/driver/desktop"
)

// Segments is a choice of one among few words, all of them in sight: in finish
// | through | in wood. Arrow keys move the choice.
type Segments struct {
	control
	options   []string
	chosen    int // -1 for none
	at        int // segment under the pointer, -1 for none
	OnChanged func(i int)

	back   *canvas.Rectangle
	fills  []*canvas.Rectangle
	labels []*canvas.Text
	lines  []*canvas.Rectangle
}

var (
	_ fyne.Tappable     = (*Segments)(nil)
	_ fyne.Focusable    = (*Segments)(nil)
	_ desktop.Hoverable = (*Segments)(nil)
)

// NewSegments makes the choice with nothing chosen yet.
func NewSegments(options []string, changed func(i int)) *Segments {
	s := &Segments{options: slices.Clone(options), chosen: -1, at: -1, OnChanged: changed}
	s.ExtendBaseWidget(s)
	return s
}

// Set shows a choice without reporting it; -1 shows none.
func (s *Segments) Set(i int) {
	if i >= len(s.options) {
		i = -1
	}
	if s.chosen != i {
		s.chosen = i
		s.Refresh()
	}
}

// SetOptions changes the words and chooses none. Their number may change.
func (s *Segments) SetOptions(options []string) {
	if slices.Equal(options, s.options) {
		return
	}
	if len(options) != len(s.options) {
		s.back = nil // another number of words needs other objects
	}
	s.options, s.chosen = slices.Clone(options), -1
	s.Refresh()
}

// Chosen is the index of the choice, -1 for none.
func (s *Segments) Chosen() int { return s.chosen }

func (s *Segments) choose(i int) {
	if s.off || i < 0 || i >= len(s.options) || i == s.chosen {
		return
	}
	s.Set(i)
	if s.OnChanged != nil {
		s.OnChanged(i)
	}
}

func (s *Segments) under(x float32) int {
	if s.Size().Width <= 0 || len(s.options) == 0 {
		return -1
	}
	i := 0
	for _, e := range s.edges(s.Size().Width)[1:len(s.options)] {
		if x >= e {
			i++
		}
	}
	return i
}

// edges divides the width: equally where every word has room so, else by the
// words' own widths.
func (s *Segments) edges(width float32) []float32 {
	n := float32(len(s.options))
	words := make([]float32, len(s.options))
	widest, all := float32(0), float32(0)
	for i, o := range s.options {
		words[i] = fyne.MeasureText(o, Body, fyne.TextStyle{}).Width
		widest, all = max(widest, words[i]), all+words[i]
	}
	edges := make([]float32, len(s.options)+1)
	for i, w := range words {
		step := width / n
		if widest+8 > step {
			step = w + (width-all)/n
		}
		edges[i+1] = edges[i] + step
	}
	return edges
}

// Tapped is called by the toolkit.
func (s *Segments) Tapped(e *fyne.PointEvent) {
	s.choose(s.under(e.Position.X))
}

// TypedKey is called by the toolkit.
func (s *Segments) TypedKey(e *fyne.KeyEvent) {
	switch e.Name {
	case fyne.KeyLeft, fyne.KeyUp:
		s.choose(max(0, s.chosen-1))
	case fyne.KeyRight, fyne.KeyDown:
		s.choose(min(len(s.options)-1, s.chosen+1))
	case fyne.KeyHome:
		s.choose(0)
	case fyne.KeyEnd:
		s.choose(len(s.options) - 1)
	}
}

// MouseIn is called by the toolkit.
func (s *Segments) MouseIn(e *desktop.MouseEvent) { s.hovered = true; s.MouseMoved(e) }

// MouseMoved is called by the toolkit.
func (s *Segments) MouseMoved(e *desktop.MouseEvent) {
	if i := s.under(e.Position.X); i != s.at {
		s.at = i
		s.Refresh()
	}
}

// MouseOut is called by the toolkit.
func (s *Segments) MouseOut() { s.at = -1; s.control.MouseOut() }

// CreateRenderer is called by the toolkit.
func (s *Segments) CreateRenderer() fyne.WidgetRenderer {
	r := newRenderer(s, nil)
	r.layout, r.min = s.layout, s.min
	r.paint = func() {
		if s.back == nil {
			r.objects = s.build()
		}
		s.paint()
	}
	r.objects = s.build()
	s.paint()
	return r
}

func (s *Segments) build() []fyne.CanvasObject {
	s.back = box()
	s.fills, s.labels, s.lines = nil, nil, nil
	objects := []fyne.CanvasObject{s.back}
	for i, o := range s.options {
		f, l := canvas.NewRectangle(color.Transparent), newText(o, Body, false)
		l.Alignment = fyne.TextAlignCenter
		s.fills, s.labels = append(s.fills, f), append(s.labels, l)
		objects = append(objects, f, l)
		if i > 0 {
			line := canvas.NewRectangle(color.Transparent)
			s.lines = append(s.lines, line)
			objects = append(objects, line)
		}
	}
	return objects
}

func (s *Segments) min() fyne.Size {
	w := float32(0)
	for _, o := range s.options {
		w += fyne.MeasureText(o, Body, fyne.TextStyle{}).Width + 12
	}
	return fyne.NewSize(w, controlHeight)
}

func (s *Segments) layout(size fyne.Size) {
	s.back.Resize(size)
	edges := s.edges(size.Width)
	for i := range s.fills {
		x0, x1 := edges[i], edges[i+1]
		s.fills[i].Move(fyne.NewPos(x0, 0))
		s.fills[i].Resize(fyne.NewSize(x1-x0, size.Height))
		h := s.labels[i].MinSize().Height
		s.labels[i].Text = shorten(s.options[i], s.labels[i], x1-x0-4)
		s.labels[i].Move(fyne.NewPos(x0, middle(size.Height, h)))
		s.labels[i].Resize(fyne.NewSize(x1-x0, h))
		if i > 0 {
			s.lines[i-1].Move(fyne.NewPos(x0-0.5, 1))
			s.lines[i-1].Resize(fyne.NewSize(1, size.Height-2))
		}
	}
}

func (s *Segments) paint() {
	s.back.FillColor, s.back.StrokeColor, s.back.StrokeWidth = ink(s, Sheet), ink(s, Border), 1
	if s.focused {
		s.back.StrokeColor, s.back.StrokeWidth = ink(s, Accent), 2
	}
	for i := range s.fills {
		s.labels[i].Text = s.options[i]
		s.fills[i].FillColor, s.labels[i].Color = color.Transparent, ink(s, Ink)
		left, right := i == 0, i == len(s.fills)-1
		s.fills[i].CornerRadius = 0
		corner(s.fills[i], left, right)
		switch {
		case s.off && i == s.chosen: // what was said stays legible when nothing can be said any more
			s.fills[i].FillColor = ink(s, Border)
		case s.off:
			s.labels[i].Color = ink(s, Dim)
		case i == s.chosen:
			s.fills[i].FillColor, s.labels[i].Color = ink(s, Strong), ink(s, OnStrong)
		case i == s.at:
			s.fills[i].FillColor = ink(s, Over)
		}
	}
	for i, l := range s.lines {
		l.FillColor = ink(s, Border)
		if i == s.chosen || i+1 == s.chosen {
			l.FillColor = color.Transparent
		}
	}
}

// corner rounds the outer corners only.
func corner(r *canvas.Rectangle, left, right bool) {
	r.TopLeftCornerRadius, r.BottomLeftCornerRadius, r.TopRightCornerRadius, r.BottomRightCornerRadius = 0, 0, 0, 0
	if left {
		r.TopLeftCornerRadius, r.BottomLeftCornerRadius = radius, radius
	}
	if right {
		r.TopRightCornerRadius, r.BottomRightCornerRadius = radius, radius
	}
}
