package look

import (
	"fmt"
	"image"
	"math"
	"slices"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/widget"
)

// Series is one line of a Curve: levels in dB at frequencies in Hz that go up.
type Series struct {
	Name   string
	Hz, DB []float64
}

// Curve shows levels over frequency: 20 Hz to 20 kHz on a logarithmic axis, dB
// upwards. Its lines are told apart by their dashes and named above, so they
// are also on a grey print; the fifth looks like the first, so show four at
// most. It follows the theme.
type Curve struct {
	widget.BaseWidget
	series    []Series
	low, high float64 // dB, the ends of the axis
	step      float64 // dB between its lines

	plot   *canvas.Raster
	hertz  []*canvas.Text // under the plot
	levels []*canvas.Text // left of it, from the top
	names  []*canvas.Text // above it
}

// NewCurve makes a curve of the series; it may have none yet.
func NewCurve(series ...Series) *Curve {
	c := &Curve{series: series}
	c.scale()
	c.ExtendBaseWidget(c)
	return c
}

// Set shows other series; the same ones again cost nothing.
func (c *Curve) Set(series ...Series) {
	if slices.EqualFunc(series, c.series, sameSeries) {
		return
	}
	c.series = slices.Clone(series)
	c.scale()
	c.Refresh()
}

func sameSeries(a, b Series) bool {
	return a.Name == b.Name && slices.Equal(a.Hz, b.Hz) && slices.Equal(a.DB, b.DB)
}

// What the frequency axis shows. The edges are those of hearing.
const lowestHz, highestHz = 20, 20000

var (
	namedHz = []struct {
		hz   float64
		text string
	}{{20, "20 Hz"}, {100, "100 Hz"}, {1000, "1 kHz"}, {10000, "10 kHz"}}
	griddedHz = []float64{20, 50, 100, 200, 500, 1000, 2000, 5000, 10000, 20000}
)

// shownDB is how far the axis reaches down from the highest level, at most: a
// hundredth of the voltage is hardly heard beside the rest.
const shownDB = 40

// scale chooses the ends of the dB axis: whole steps round what there is.
func (c *Curve) scale() {
	lo, hi := math.Inf(1), math.Inf(-1)
	for _, s := range c.series {
		for i := range min(len(s.Hz), len(s.DB)) {
			if s.Hz[i] >= lowestHz && s.Hz[i] <= highestHz && !math.IsNaN(s.DB[i]) && !math.IsInf(s.DB[i], 0) {
				lo, hi = min(lo, s.DB[i]), max(hi, s.DB[i])
			}
		}
	}
	if lo > hi {
		lo, hi = -18, 6
	}
	lo = max(lo, hi-shownDB)
	for _, c.step = range []float64{3, 6, 12} {
		if (hi-lo)/c.step <= 8 {
			break
		}
	}
	c.high = c.step * math.Ceil(hi/c.step)
	c.low = min(c.step*math.Floor(lo/c.step), c.high-2*c.step)
}

// CreateRenderer is called by the toolkit.
func (c *Curve) CreateRenderer() fyne.WidgetRenderer {
	c.plot = canvas.NewRaster(func(w, h int) image.Image { return c.picture(w, h) })
	for _, n := range namedHz {
		c.hertz = append(c.hertz, newText(n.text, Caption, false))
	}
	r := newRenderer(c, nil)
	r.layout, r.min = c.layout, c.min
	r.paint = func() { c.paint(); r.objects = c.objects() }
	r.paint()
	return r
}

func (c *Curve) objects() []fyne.CanvasObject {
	out := []fyne.CanvasObject{c.plot}
	for _, texts := range [][]*canvas.Text{c.hertz, c.levels, c.names} {
		for _, t := range texts {
			out = append(out, t)
		}
	}
	return out
}

// paint makes the texts anew; the lines are drawn when the plot is shown.
func (c *Curve) paint() {
	fill := func(texts []*canvas.Text, n int) []*canvas.Text {
		for len(texts) < n {
			texts = append(texts, newText("", Caption, false))
		}
		return texts[:n]
	}
	n := int(math.Round((c.high-c.low)/c.step)) + 1
	c.levels = fill(c.levels, n)
	for i, t := range c.levels {
		t.Text = decibels(c.high - float64(i)*c.step)
	}
	c.names = fill(c.names, len(c.series))
	for i, t := range c.names {
		t.Text = c.series[i].Name
	}
	for _, texts := range [][]*canvas.Text{c.hertz, c.levels} {
		for _, t := range texts {
			t.Color = ink(c, Dim)
		}
	}
	for _, t := range c.names {
		t.Color = ink(c, Ink)
	}
}

// decibels is a label of the axis: "+6 dB", "0 dB", "−12 dB".
func decibels(v float64) string {
	switch {
	case v > 0:
		return fmt.Sprintf("+%.0f dB", v)
	case v < 0:
		return fmt.Sprintf("−%.0f dB", -v)
	}
	return "0 dB"
}

// Measures of the curve, in the toolkit's units.
const (
	sampleWide float32 = 34 // a piece of a line before its name
	sampleGap  float32 = 7
	nameGap    float32 = 22
	labelGap   float32 = 6
)

func (c *Curve) min() fyne.Size { return fyne.NewSize(260, 150+float32(c.nameRows(260))*c.line()) }

func (c *Curve) line() float32 { return c.hertz[0].MinSize().Height + 2 }

// nameRows places nothing and counts the rows that the names need.
func (c *Curve) nameRows(width float32) int {
	rows := 0
	c.eachName(width, func(_ int, _ fyne.Position, row int) { rows = row + 1 })
	return rows
}

// eachName tells where each name's line sample begins.
func (c *Curve) eachName(width float32, f func(i int, at fyne.Position, row int)) {
	x, row := float32(0), 0
	left := c.left()
	for i, t := range c.names {
		w := sampleWide + sampleGap + t.MinSize().Width
		if x > 0 && left+x+w > width {
			x, row = 0, row+1
		}
		f(i, fyne.NewPos(left+x, float32(row)*c.line()), row)
		x += w + nameGap
	}
}

// left is where the plot begins: beside the longest label.
func (c *Curve) left() float32 {
	w := float32(0)
	for _, t := range c.levels {
		w = max(w, t.MinSize().Width)
	}
	return w + labelGap
}

// field is the plot without labels, in the toolkit's units.
func (c *Curve) field(s fyne.Size) (x, y, w, h float32) {
	x, y = c.left(), float32(c.nameRows(s.Width))*c.line()+c.line()/2
	return x, y, max(s.Width-x-1, 1), max(s.Height-y-c.line()-labelGap, 1)
}

func (c *Curve) layout(s fyne.Size) {
	c.plot.Move(fyne.NewPos(0, 0))
	c.plot.Resize(s)
	x, y, w, h := c.field(s)
	for i, t := range c.hertz {
		m := t.MinSize()
		at := x + w*float32(along(namedHz[i].hz))
		t.Move(fyne.NewPos(min(max(at-m.Width/2, x), x+w-m.Width), y+h+labelGap/2))
		t.Resize(m)
	}
	for i, t := range c.levels {
		m := t.MinSize()
		at := y + h*float32(i)/float32(max(len(c.levels)-1, 1))
		t.Move(fyne.NewPos(x-labelGap-m.Width, at-m.Height/2))
		t.Resize(m)
	}
	c.eachName(s.Width, func(i int, at fyne.Position, _ int) {
		c.names[i].Move(at.AddXY(sampleWide+sampleGap, 0))
		c.names[i].Resize(c.names[i].MinSize())
	})
}

// along is where a frequency lies on the axis, from 0 to 1.
func along(hz float64) float64 { return math.Log(hz/lowestHz) / math.Log(highestHz/lowestHz) }
