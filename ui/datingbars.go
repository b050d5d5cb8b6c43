package ui

import (
	"image/color"
	"slices"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/driver/desktop"
	"fyne.io/fyne/v2/theme"
	"fyne.io/fyne/v2/widget"

	"wornwood/annotate/dating"
	"wornwood/ui/look"
	"wornwood/ui/view"
)

// Measures of the bars over years.
const (
	barNames   float32 = 270 // column of names, with its gap
	barHeight  float32 = 10
	barRow     float32 = 40
	barRowMore float32 = 55 // a row that says a third line
	barSign    float32 = 22
	barEdge    float32 = 10
)

// yearScale turns years into places on one widget.
type yearScale struct {
	chart       *dating.Chart
	left, right float32
	of          fyne.Widget // whose theme paints
}

func (s yearScale) x(at float64) float32 {
	return float32(s.chart.X(at, float64(s.left), float64(s.right)))
}

func (s yearScale) ink(n fyne.ThemeColorName) color.Color { return theme.ColorForWidget(n, s.of) }

// ground draws the claimed years and the years of the axis behind a row.
func (s yearScale) ground(height float32) []fyne.CanvasObject {
	var out, edges []fyne.CanvasObject
	for _, b := range s.chart.Claims {
		r := canvas.NewRectangle(s.ink(look.Here))
		r.Move(fyne.NewPos(s.x(b.From), 0))
		r.Resize(fyne.NewSize(max(2, s.x(b.To)-s.x(b.From)), height))
		out = append(out, r)
		if !b.OpenFrom {
			edges = append(edges, s.line(s.x(b.From), 0, s.x(b.From), height, look.Accent, 1))
		}
		if !b.OpenUntil {
			edges = append(edges, s.line(s.x(b.To), 0, s.x(b.To), height, look.Accent, 1))
		}
	}
	for _, t := range s.chart.Ticks {
		out = append(out, s.line(s.x(t.At), 0, s.x(t.At), height, look.Hairline, 1))
	}
	return append(out, edges...)
}

func (s yearScale) line(x0, y0, x1, y1 float32, n fyne.ThemeColorName, width float32) fyne.CanvasObject {
	l := canvas.NewLine(s.ink(n))
	l.StrokeWidth = width
	l.Position1, l.Position2 = fyne.NewPos(x0, y0), fyne.NewPos(x1, y1)
	return l
}

// bar draws one stretch of years from y down. A hollow one is hatched, so that
// it differs in black and white too.
func (s yearScale) bar(b dating.Bar, y, h float32, n fyne.ThemeColorName, hollow bool) []fyne.CanvasObject {
	x0, x1 := s.x(b.From), s.x(b.To)
	if b.OpenFrom {
		x0 += h
	}
	if b.OpenUntil {
		x1 -= h
	}
	if x1-x0 < 3 {
		mid := (x0 + x1) / 2
		x0, x1 = mid-1.5, mid+1.5
	}
	r := canvas.NewRectangle(s.ink(n))
	if hollow {
		r.FillColor = color.Transparent
		r.StrokeColor, r.StrokeWidth = s.ink(n), 1
	}
	r.Move(fyne.NewPos(x0, y))
	r.Resize(fyne.NewSize(x1-x0, h))
	out := []fyne.CanvasObject{r}
	if hollow {
		for x := x0 + 4; x+h <= x1; x += 8 {
			out = append(out, s.line(x, y+h, x+h, y, n, 1))
		}
	}
	if b.OpenFrom {
		out = append(out, s.arrow(x0-2, y, h, -1, n)...)
	}
	if b.OpenUntil {
		out = append(out, s.arrow(x1+2, y, h, 1, n)...)
	}
	return out
}

// arrow says that a bar goes on beyond the edge.
func (s yearScale) arrow(x, y, h, way float32, n fyne.ThemeColorName) []fyne.CanvasObject {
	tip := x + way*h*0.6
	return []fyne.CanvasObject{s.line(x, y, tip, y+h/2, n, 2), s.line(tip, y+h/2, x, y+h, n, 2)}
}

// yearBars lists the evidence with its bars. Up and Down walk the rows, a click
// selects one, the pointer over one shows what it says.
type yearBars struct {
	widget.BaseWidget
	chart   *dating.Chart
	rows    []view.EvidenceRow
	focused bool
	onPick  func(key string)
	onHover func(key string) // "" when the pointer leaves
	lines   []*barLine
}

func newYearBars(pick, hover func(key string)) *yearBars {
	b := &yearBars{chart: &dating.Chart{}, onPick: pick, onHover: hover}
	b.ExtendBaseWidget(b)
	return b
}

// Set shows other rows.
func (b *yearBars) Set(c *dating.Chart, rows []view.EvidenceRow) {
	b.chart, b.rows = c, rows
	for len(b.lines) < len(rows) {
		b.lines = append(b.lines, newBarLine())
	}
	b.lines = b.lines[:len(rows)]
	b.Refresh()
}

// height is how tall a row is.
func (b *yearBars) height(i int) float32 {
	if s := b.rows[i].Sign; s == "≠" || s == "–" {
		return barRowMore
	}
	return barRow
}

func (b *yearBars) rowAt(y float32) int {
	for i := range b.rows {
		if y -= b.height(i); y < 0 {
			return i
		}
	}
	return -1
}

// selected is where the selected row begins and ends.
func (b *yearBars) selected() (top, bottom float32, ok bool) {
	for i := range b.rows {
		bottom = top + b.height(i)
		if b.rows[i].Selected {
			return top, bottom, true
		}
		top = bottom
	}
	return 0, 0, false
}

// Tapped is called by the toolkit, as the next ones are.
func (b *yearBars) Tapped(e *fyne.PointEvent) {
	if c := fyne.CurrentApp().Driver().CanvasForObject(b); c != nil {
		c.Focus(b)
	}
	if i := b.rowAt(e.Position.Y); i >= 0 {
		b.onPick(b.rows[i].Key)
	}
}

// MouseIn shows what the row under the pointer says.
func (b *yearBars) MouseIn(e *desktop.MouseEvent) { b.MouseMoved(e) }

// MouseMoved follows the pointer.
func (b *yearBars) MouseMoved(e *desktop.MouseEvent) {
	if i := b.rowAt(e.Position.Y); i >= 0 {
		b.onHover(b.rows[i].Key)
	}
}

// MouseOut goes back to the selected row.
func (b *yearBars) MouseOut() { b.onHover("") }

// FocusGained takes the keyboard.
func (b *yearBars) FocusGained() { b.focused = true; b.Refresh() }

// FocusLost gives the keyboard away.
func (b *yearBars) FocusLost() { b.focused = false; b.Refresh() }

// TypedRune does nothing.
func (b *yearBars) TypedRune(rune) {}

// TypedKey walks the rows.
func (b *yearBars) TypedKey(e *fyne.KeyEvent) {
	at := slices.IndexFunc(b.rows, func(r view.EvidenceRow) bool { return r.Selected })
	switch e.Name {
	case fyne.KeyDown:
		at++
	case fyne.KeyUp:
		at = max(at-1, 0)
	case fyne.KeyHome:
		at = 0
	case fyne.KeyEnd:
		at = len(b.rows) - 1
	default:
		return
	}
	if at >= 0 && at < len(b.rows) {
		b.onPick(b.rows[at].Key)
	}
}

// CreateRenderer is called by the toolkit.
func (b *yearBars) CreateRenderer() fyne.WidgetRenderer { return &barsRenderer{b: b} }

type barsRenderer struct {
	b       *yearBars
	objects []fyne.CanvasObject
}

func (r *barsRenderer) Destroy()                     {}
func (r *barsRenderer) Objects() []fyne.CanvasObject { return r.objects }
func (r *barsRenderer) Layout(fyne.Size)             { r.build() }

func (r *barsRenderer) MinSize() fyne.Size {
	s := fyne.NewSize(barNames+220, 0)
	for i := range r.b.rows {
		s.Height += r.b.height(i)
	}
	return s
}

func (r *barsRenderer) Refresh() {
	r.build()
	canvas.Refresh(r.b)
}

func (r *barsRenderer) build() {
	b := r.b
	r.objects = r.objects[:0]
	sc := yearScale{b.chart, barNames, b.Size().Width - barEdge, b}
	y := float32(0)
	for i := range b.rows {
		h := b.height(i)
		r.objects = append(r.objects, b.lines[i].draw(sc, &b.rows[i], y, h, b.focused)...)
		y += h
	}
	// The years go on down to where the list could.
	if left := b.Size().Height - y; left > 1 {
		for _, o := range sc.ground(left) {
			r.objects = append(r.objects, shifted(o, y))
		}
	}
}
