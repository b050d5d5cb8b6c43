package look

import (
	"fmt"
	"image/color"
	"slices"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/widget"
)

// ScaleBar is a scale from 0 to 100 cut into named stretches, the one that the
// value falls into darker, with a stroke at the value and a line under its
// range.
type ScaleBar struct {
	widget.BaseWidget
	state Scaled

	fills         []*canvas.Rectangle
	words, limits []*canvas.Text
	at            *canvas.Rectangle
	span          [3]*canvas.Rectangle // the range, and its two ends
	value         *canvas.Text
}

// Stretch is one named part of the scale.
type Stretch struct {
	Word     string
	From, To float64
}

// Scaled is what a ScaleBar shows.
type Scaled struct {
	Stretches []Stretch
	Value     float64
	Has       bool // whether there is a value
	Low, High float64
	Range     bool // whether to draw the range
}

// NewScaleBar makes a bar that shows nothing yet.
func NewScaleBar() *ScaleBar {
	b := &ScaleBar{}
	b.ExtendBaseWidget(b)
	return b
}

// Set changes what is shown.
func (b *ScaleBar) Set(s Scaled) {
	old := b.state
	same := slices.Equal(old.Stretches, s.Stretches) && old.Value == s.Value && old.Has == s.Has && old.Low == s.Low && old.High == s.High && old.Range == s.Range
	if b.state = s; !same {
		b.Refresh()
	}
}

// mostStretches is how many parts of the scale can be drawn.
const mostStretches = 6

// CreateRenderer is called by the toolkit.
func (b *ScaleBar) CreateRenderer() fyne.WidgetRenderer {
	var objects []fyne.CanvasObject
	for range mostStretches {
		f, w, l := box(), newText("", Caption, false), newText("", Caption, false)
		b.fills, b.words, b.limits = append(b.fills, f), append(b.words, w), append(b.limits, l)
		objects = append(objects, f, w, l)
	}
	b.at, b.value = box(), newText("", Small, true)
	for i := range b.span {
		b.span[i] = box()
		objects = append(objects, b.span[i])
	}
	objects = append(objects, b.at, b.value)
	r := newRenderer(b, objects)
	r.min = func() fyne.Size { return fyne.NewSize(300, 56) }
	r.layout, r.paint = b.layout, b.paint
	b.paint()
	return r
}

// Heights from the top: figures, bar, range, words.
const (
	barTop, barThick, rangeTop, wordTop float32 = 17, 10, 31, 36
)

func (b *ScaleBar) layout(s fyne.Size) {
	x := func(v float64) float32 { return float32(v/100) * (s.Width - 1) }
	at := x(b.state.Value)
	b.value.Move(fyne.NewPos(max(0, min(s.Width-b.value.MinSize().Width, at-b.value.MinSize().Width/2)), 0))
	left, right := b.value.Position().X-6, b.value.Position().X+b.value.MinSize().Width+6
	for i := range b.fills {
		if i >= len(b.state.Stretches) {
			b.fills[i].Hide()
			b.words[i].Hide()
			b.limits[i].Hide()
			continue
		}
		t := b.state.Stretches[i]
		from, to := x(t.From), x(t.To)
		b.fills[i].Show()
		b.fills[i].Move(fyne.NewPos(from+0.5, barTop))
		b.fills[i].Resize(fyne.NewSize(max(1, to-from-1), barThick))
		w := b.words[i].MinSize()
		b.words[i].Hidden = w.Width > to-from-2
		b.words[i].Move(fyne.NewPos((from+to-w.Width)/2, wordTop))
		l := b.limits[i].MinSize()
		lx := max(0, from-l.Width/2)
		b.limits[i].Move(fyne.NewPos(lx, 2))
		b.limits[i].Hidden = b.state.Has && lx < right && lx+l.Width > left
	}
	b.at.Move(fyne.NewPos(at-1.5, barTop-3))
	b.at.Resize(fyne.NewSize(3, barThick+6))
	low, high := x(b.state.Low), x(b.state.High)
	b.span[0].Move(fyne.NewPos(low, rangeTop))
	b.span[0].Resize(fyne.NewSize(max(1, high-low), 2))
	for i, e := range [2]float32{low, high - 2} {
		b.span[i+1].Move(fyne.NewPos(e, rangeTop-2))
		b.span[i+1].Resize(fyne.NewSize(2, 6))
	}
}

func (b *ScaleBar) paint() {
	for i, t := range b.state.Stretches {
		if i >= len(b.fills) {
			break
		}
		here := b.state.Has && b.state.Value > t.From-1e-9 && b.state.Value <= t.To+1e-9 && (i == 0 || b.state.Value <= t.To-1e-9 || b.state.Stretches[i-1].From > b.state.Value)
		b.fills[i].FillColor, b.words[i].Color = ink(b, Hairline), ink(b, Dim)
		if here {
			b.fills[i].FillColor, b.words[i].Color = ink(b, Border), ink(b, Ink)
		}
		b.words[i].Text, b.limits[i].Text, b.limits[i].Color = t.Word, fmt.Sprintf("%.0f", t.From), ink(b, Dim)
	}
	b.value.Text, b.value.Color, b.at.FillColor = "", ink(b, Ink), color.Transparent
	if b.state.Has {
		b.value.Text, b.at.FillColor = fmt.Sprintf("%.1f", b.state.Value), ink(b, Accent)
	}
	for _, s := range b.span {
		s.FillColor = color.Transparent
		if b.state.Range {
			s.FillColor = ink(b, Dim)
		}
	}
}
