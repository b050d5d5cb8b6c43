package ui

import (
	"fmt"
	"image/color"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/theme"
	"fyne.io/fyne/v2/widget"

	"wornwood/ui/look"
	"wornwood/ui/view"
)

// Measures of the line of time.
const (
	lineNames  float32 = 132 // column of names
	laneIndex  float32 = 82
	laneOrig   float32 = 58
	lanePlay   float32 = 22
	laneGap    float32 = 14
	lineDates  float32 = 40
	lineHeight         = laneIndex + laneOrig + lanePlay + 2*laneGap + lineDates + 8
	lineInset  float32 = 70 // room at the ends for half a label
	lookWidth  float32 = 138
)

// historyLine draws index and originality with their ranges over time, one column
// for each examination. Left and Right walk the examinations, a click selects one.
type historyLine struct {
	widget.BaseWidget
	chart   *view.HistoryChart
	focused bool
	onPick  func(i int)
	xs      []float32 // of the columns, as drawn last
}

func newHistoryLine(pick func(i int)) *historyLine {
	l := &historyLine{chart: &view.HistoryChart{}, onPick: pick}
	l.ExtendBaseWidget(l)
	return l
}

// Set shows another chart.
func (l *historyLine) Set(c *view.HistoryChart) { l.chart = c; l.Refresh() }

func (l *historyLine) selected() int {
	for i, p := range l.chart.Points {
		if p.Selected {
			return i
		}
	}
	return -1
}

// Tapped is called by the toolkit, as the next ones are.
func (l *historyLine) Tapped(e *fyne.PointEvent) {
	if c := fyne.CurrentApp().Driver().CanvasForObject(l); c != nil {
		c.Focus(l)
	}
	best, at := float32(1e9), -1
	for i, x := range l.xs {
		if d := max(x-e.Position.X, e.Position.X-x); d < best {
			best, at = d, i
		}
	}
	if at >= 0 && e.Position.X > lineNames {
		l.onPick(at)
	}
}

// FocusGained takes the keyboard.
func (l *historyLine) FocusGained() { l.focused = true; l.Refresh() }

// FocusLost gives the keyboard away.
func (l *historyLine) FocusLost() { l.focused = false; l.Refresh() }

// TypedRune does nothing.
func (l *historyLine) TypedRune(rune) {}

// TypedKey walks the examinations.
func (l *historyLine) TypedKey(e *fyne.KeyEvent) {
	at, n := l.selected(), len(l.chart.Points)
	switch e.Name {
	case fyne.KeyLeft:
		at--
	case fyne.KeyRight:
		at++
	case fyne.KeyHome:
		at = 0
	case fyne.KeyEnd:
		at = n - 1
	default:
		return
	}
	if at >= 0 && at < n {
		l.onPick(at)
	}
}

// CreateRenderer is called by the toolkit.
func (l *historyLine) CreateRenderer() fyne.WidgetRenderer { return &historyRenderer{l: l} }

type historyRenderer struct {
	l       *historyLine
	objects []fyne.CanvasObject
}

func (r *historyRenderer) Destroy()                     {}
func (r *historyRenderer) Objects() []fyne.CanvasObject { return r.objects }
func (r *historyRenderer) Layout(fyne.Size)             { r.build() }
func (r *historyRenderer) MinSize() fyne.Size {
	return fyne.NewSize(lineNames+2*lineInset+120, lineHeight)
}

func (r *historyRenderer) Refresh() {
	r.build()
	canvas.Refresh(r.l)
}

func (r *historyRenderer) ink(n fyne.ThemeColorName) color.Color { return theme.ColorForWidget(n, r.l) }

func (r *historyRenderer) text(s string, size float32, n fyne.ThemeColorName, x, y, width float32, align fyne.TextAlign) {
	t := canvas.NewText(s, r.ink(n))
	t.TextSize, t.Alignment = size, align
	for rs := []rune(s); width > 0 && len(rs) > 1 && t.MinSize().Width > width; {
		rs = rs[:len(rs)-1]
		t.Text = string(rs) + "…"
	}
	if width <= 0 {
		width = t.MinSize().Width
	}
	t.Move(fyne.NewPos(x, y))
	t.Resize(fyne.NewSize(width, t.MinSize().Height))
	r.objects = append(r.objects, t)
}

func (r *historyRenderer) rule(x0, y0, x1, y1 float32, n fyne.ThemeColorName, width float32) {
	l := canvas.NewLine(r.ink(n))
	l.StrokeWidth = width
	l.Position1, l.Position2 = fyne.NewPos(x0, y0), fyne.NewPos(x1, y1)
	r.objects = append(r.objects, l)
}

func (r *historyRenderer) box(x, y, w, h float32, n fyne.ThemeColorName) *canvas.Rectangle {
	b := canvas.NewRectangle(r.ink(n))
	b.Move(fyne.NewPos(x, y))
	b.Resize(fyne.NewSize(w, h))
	r.objects = append(r.objects, b)
	return b
}

// build draws everything anew: there are a few dozen objects at most.
func (r *historyRenderer) build() {
	l, c := r.l, r.l.chart
	r.objects, l.xs = r.objects[:0], l.xs[:0]
	width := l.Size().Width
	if len(c.Points) == 0 || width < lineNames+2*lineInset {
		return
	}
	left, right := lineNames+lineInset, width-lineInset
	at := make([]float64, len(c.Points))
	for i, p := range c.Points {
		at[i] = float64(left) + p.At*float64(right-left)
	}
	// Columns stand where the days are, moved apart where labels would meet.
	for _, x := range view.Spread(at, float64(lookWidth)*0.62, float64(left), float64(right)) {
		l.xs = append(l.xs, float32(x))
	}
	bottom := lineHeight - lineDates
	if i := l.selected(); i >= 0 {
		half := min(lookWidth/2, r.room(i)/2)
		b := r.box(l.xs[i]-half, 0, 2*half, lineHeight-2, look.Here)
		if l.focused {
			b.StrokeColor, b.StrokeWidth = r.ink(look.Accent), 1
		}
	}
	r.years(left, right, bottom)
	top := float32(4)
	of := "with its range"
	for _, p := range c.Points {
		if p.Index.OtherRubric {
			of = "* another rubric"
		}
	}
	r.lane("Index", of, top, laneIndex, true)
	top += laneIndex + laneGap
	r.lane("Originality, %", "with its range", top, laneOrig, false)
	top += laneOrig + laneGap
	r.text("Playing", look.Small, look.Ink, 0, top+3, lineNames-12, fyne.TextAlignLeading)
	for i, p := range c.Points {
		if r.room(i) < 110 {
			p.Playing = p.Short
		}
		r.text(p.Playing, look.Caption, look.Dim, l.xs[i]-r.room(i)/2+4, top+4, r.room(i)-8, fyne.TextAlignCenter)
	}
	r.rule(lineNames, bottom, width, bottom, look.Border, 1)
	for i, p := range c.Points {
		n := look.Ink
		if p.Selected {
			n = look.Accent
		}
		r.text(p.Date, look.Small, n, l.xs[i]-r.room(i)/2+2, bottom+3, r.room(i)-4, fyne.TextAlignCenter)
		r.text(p.By, look.Caption, look.Dim, l.xs[i]-r.room(i)/2+4, bottom+19, r.room(i)-8, fyne.TextAlignCenter)
	}
}

// room is the width that a column has for its labels.
func (r *historyRenderer) room(i int) float32 {
	xs, out := r.l.xs, 2*lineInset
	if i > 0 {
		out = min(out, xs[i]-xs[i-1])
	}
	if i+1 < len(xs) {
		out = min(out, xs[i+1]-xs[i])
	}
	return out
}

// years draws the beginnings of years behind the lanes, while columns stand where
// their days are.
func (r *historyRenderer) years(left, right, bottom float32) {
	for i, p := range r.l.chart.Points {
		if x := left + float32(p.At)*(right-left); max(x-r.l.xs[i], r.l.xs[i]-x) > 1 {
			return
		}
	}
	for _, y := range r.l.chart.Years {
		x := left + float32(y.At)*(right-left)
		r.rule(x, 0, x, bottom, look.Hairline, 1)
		near := false
		for i, c := range r.l.xs {
			near = near || max(c-x, x-c) < r.room(i)/2+16
		}
		if !near {
			r.text(y.Label, look.Caption, look.Dim, x-20, bottom+4, 40, fyne.TextAlignCenter)
		}
	}
}

// lane draws one figure over time: the range as a bar, the figure as a dot.
func (r *historyRenderer) lane(name, of string, top, height float32, index bool) {
	l, c := r.l, r.l.chart
	r.text(name, look.Small, look.Ink, 0, top+height/2-16, lineNames-12, fyne.TextAlignLeading)
	r.text(of, look.Caption, look.Dim, 0, top+height/2, lineNames-34, fyne.TextAlignLeading)
	head := float32(14) // room for the figures over the dots
	y := func(share float64) float32 { return top + head + (height-head)*(1-float32(share)) }
	for _, g := range []float64{0, 1} {
		r.rule(lineNames, y(g), l.Size().Width, y(g), look.Hairline, 1)
		r.text(fmt.Sprintf("%.0f", c.Floor+g*(100-c.Floor)), look.Caption, look.Dim, lineNames-28, y(g)-8, 24, fyne.TextAlignTrailing)
	}
	last := -1
	for i, p := range c.Points {
		b := p.Original
		if index {
			b = p.Index
		}
		if !b.Known {
			r.text("–", look.Small, look.Dim, l.xs[i]-8, y(0.5)-8, 16, fyne.TextAlignCenter)
			continue
		}
		if last >= 0 {
			was := c.Points[last].Original
			if index {
				was = c.Points[last].Index
			}
			r.rule(l.xs[last], y(was.Is), l.xs[i], y(b.Is), look.Dim, 1)
		}
		last = i
	}
	for i, p := range c.Points {
		b := p.Original
		if index {
			b = p.Index
		}
		if b.Known {
			r.dot(l.xs[i], y, b, p.Selected)
		}
	}
}

func (r *historyRenderer) dot(x float32, y func(float64) float32, b view.HistoryBar, here bool) {
	if b.Ranged {
		bar := r.box(x-4, y(b.High), 8, max(2, y(b.Low)-y(b.High)), look.Sheet)
		bar.StrokeColor, bar.StrokeWidth = r.ink(look.Dim), 1
	}
	n := look.Ink
	if here {
		n = look.Accent
	}
	d := canvas.NewCircle(r.ink(n))
	d.Move(fyne.NewPos(x-4, y(b.Is)-4))
	d.Resize(fyne.NewSize(8, 8))
	r.objects = append(r.objects, d)
	s := b.Label
	if b.OtherRubric {
		s += " *"
	}
	r.text(s, look.Small, look.Ink, x+9, y(b.Is)-19, 0, fyne.TextAlignLeading)
}
