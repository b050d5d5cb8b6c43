package ui

import (
	"fmt"
	"image/color"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/widget"

	"wornwood/annotate/dating"
	"wornwood/ui/look"
	"wornwood/ui/view"
)

// barLine is one row of yearBars; its texts are kept, since making them is slow.
type barLine struct {
	number, sign, name, brief, more *look.Text
}

func newBarLine() *barLine {
	return &barLine{number: look.NewText("", look.Small, look.Dim), sign: look.NewText("", look.Body, look.Ink).Bold(), name: look.NewText("", look.Body, look.Ink),
		brief: look.NewText("", look.Small, look.Dim), more: look.NewText("", look.Small, look.Ink)}
}

// draw lays a row out from y down.
func (l *barLine) draw(sc yearScale, row *view.EvidenceRow, y, h float32, focused bool) []fyne.CanvasObject {
	width := sc.right + barEdge
	back := canvas.NewRectangle(color.Transparent)
	if row.Selected {
		back.FillColor = sc.ink(look.Over)
		if focused {
			back.StrokeColor, back.StrokeWidth = sc.ink(look.Accent), 1
		}
	}
	back.Move(fyne.NewPos(0, y))
	back.Resize(fyne.NewSize(width, h))
	out := []fyne.CanvasObject{back}
	for _, o := range sc.ground(h) {
		out = append(out, shifted(o, y))
	}
	ink := look.Ink
	if row.Sign == "≠" {
		ink = look.Bad
	}
	l.number.SetText(fmt.Sprint(row.Number))
	l.sign.SetText(row.Sign)
	l.sign.SetInk(ink)
	l.name.SetText(row.Name)
	l.brief.SetText(row.Brief)
	l.more.SetText("")
	if h > barRow {
		l.more.SetText(row.SignWords)
		l.more.SetInk(ink)
	}
	place := func(t *look.Text, x, top float32) {
		t.Move(fyne.NewPos(x, y+top))
		t.Resize(fyne.NewSize(barNames-x-12, t.MinSize().Height))
		out = append(out, t)
	}
	for i, t := range []*look.Text{l.number, l.sign} {
		place(t, 4, 4+15*float32(i))
		t.Resize(fyne.NewSize(barSign, t.MinSize().Height))
	}
	place(l.name, 4+barSign, 3)
	place(l.brief, 4+barSign, 20)
	place(l.more, 4+barSign, 35)
	mid := y + (h-barHeight)/2
	for _, b := range row.Chart.Bars {
		out = append(out, sc.bar(b, mid, barHeight, look.Dim, row.Chart.Hollow)...)
	}
	for _, b := range row.Chart.Blocks {
		out = append(out, sc.block(b, mid, row.Chart.Hollow)...)
	}
	return append(out, shifted(sc.line(0, h, width, h, look.Hairline, 1), y))
}

// block is when the part itself dates from: a small upright that stands out of
// its bar.
func (s yearScale) block(b dating.Bar, mid float32, hollow bool) []fyne.CanvasObject {
	x0, x1 := s.x(b.From), s.x(b.To)
	if x1-x0 < 5 {
		c := (x0 + x1) / 2
		x0, x1 = c-2.5, c+2.5
	}
	r := canvas.NewRectangle(s.ink(look.Ink))
	if hollow {
		r.FillColor = s.ink(look.Sheet)
		r.StrokeColor, r.StrokeWidth = s.ink(look.Dim), 1
	}
	r.Move(fyne.NewPos(x0, mid-4))
	r.Resize(fyne.NewSize(x1-x0, barHeight+8))
	return []fyne.CanvasObject{r}
}

func shifted(o fyne.CanvasObject, y float32) fyne.CanvasObject {
	if l, ok := o.(*canvas.Line); ok {
		l.Position1.Y += y
		l.Position2.Y += y
		return l
	}
	o.Move(o.Position().AddXY(0, y))
	return o
}

// yearAxis names the years over the bars and the claimed ones; with foot set it
// shows what the evidence allows together instead.
type yearAxis struct {
	widget.BaseWidget
	chart *dating.Chart
	claim string // "claimed 1974"
	foot  bool
	name  *look.Text
	words *look.Text
}

func newYearAxis(foot bool) *yearAxis {
	a := &yearAxis{chart: &dating.Chart{}, foot: foot, name: look.NewText("", look.Body, look.Ink).Bold(), words: look.NewText("", look.Small, look.Dim)}
	a.ExtendBaseWidget(a)
	return a
}

// Set shows another chart.
func (a *yearAxis) Set(c *dating.Chart, claim, name, words string) {
	a.chart, a.claim = c, claim
	a.name.SetText(name)
	a.words.SetText(words)
	a.Refresh()
}

// CreateRenderer is called by the toolkit.
func (a *yearAxis) CreateRenderer() fyne.WidgetRenderer { return &axisRenderer{a: a} }

type axisRenderer struct {
	a       *yearAxis
	objects []fyne.CanvasObject
}

func (r *axisRenderer) Destroy()                     {}
func (r *axisRenderer) Objects() []fyne.CanvasObject { return r.objects }
func (r *axisRenderer) Layout(fyne.Size)             { r.build() }
func (r *axisRenderer) MinSize() fyne.Size           { return fyne.NewSize(barNames+220, barRow) }

func (r *axisRenderer) Refresh() {
	r.build()
	canvas.Refresh(r.a)
}

func (r *axisRenderer) build() {
	a := r.a
	sc := yearScale{a.chart, barNames, a.Size().Width - barEdge, a}
	r.objects = nil
	if a.foot {
		r.foot(sc)
		return
	}
	h := a.Size().Height
	for _, b := range a.chart.Claims {
		// The claim's name stands over its band, inside the chart.
		t := canvas.NewText(a.claim, sc.ink(look.Accent))
		t.TextSize = look.Caption
		w := t.MinSize().Width
		x := min(max((sc.x(b.From)+sc.x(b.To)-w)/2, sc.left), sc.right-w)
		t.Move(fyne.NewPos(x, 2))
		t.Resize(t.MinSize())
		r.objects = append(r.objects, t)
	}
	for _, k := range a.chart.Ticks {
		t := canvas.NewText(k.Label, sc.ink(look.Dim))
		t.TextSize, t.Alignment = look.Caption, fyne.TextAlignCenter
		t.Move(fyne.NewPos(sc.x(k.At)-20, h-18))
		t.Resize(fyne.NewSize(40, t.MinSize().Height))
		r.objects = append(r.objects, t, sc.line(sc.x(k.At), h-3, sc.x(k.At), h, look.Border, 1))
	}
	r.objects = append(r.objects, sc.line(sc.left, h, sc.right, h, look.Border, 1))
}

func (r *axisRenderer) foot(sc yearScale) {
	a := r.a
	h := a.Size().Height
	r.objects = append(r.objects, sc.ground(h)...)
	for i, t := range []*look.Text{a.name, a.words} {
		t.Move(fyne.NewPos(4+barSign, 3+17*float32(i)))
		t.Resize(fyne.NewSize(barNames-4-barSign-12, t.MinSize().Height))
		r.objects = append(r.objects, t)
	}
	for _, b := range a.chart.Foot {
		r.objects = append(r.objects, sc.bar(b, (h-barHeight)/2, barHeight, look.Accent, false)...)
	}
}
