package view

import (
	"fmt"
	"math"
	"time"
)

// HistoryChart is the line of time: where its examinations and years lie, and
// what each says. Places along it are shares of its length, 0 to 1.
type HistoryChart struct {
	Points []HistoryPoint
	Years  []HistoryYear
	Floor  float64 // least value of the scale of index and originality; the greatest is 100
}

// HistoryPoint is one examination on the line.
type HistoryPoint struct {
	At       float64
	Date, By string
	Index    HistoryBar
	Original HistoryBar
	Playing  string
	Short    string // Playing where there is little room
	Selected bool
}

// HistoryBar is a figure with its range, as shares of the scale's height from
// below; Known is false where there is none.
type HistoryBar struct {
	Known          bool
	Low, High, Is  float64
	Label          string
	Ranged         bool // the range is wide enough to be seen
	OtherRubric    bool // graded by another rubric than the examination before
	lowest, figure float64
}

// HistoryYear is the beginning of a year on the line.
type HistoryYear struct {
	At    float64
	Label string
}

// Chart lays the examinations out over time.
func (m *ArchiveHistory) Chart() *HistoryChart {
	c := &HistoryChart{}
	var days []time.Time
	least := 100.0
	for i := range m.h.Looks {
		l := &m.h.Looks[i]
		d, err := time.Parse(time.DateOnly, l.Report.Date)
		if err != nil && len(days) > 0 {
			d = days[len(days)-1]
		}
		days = append(days, d)
		p := HistoryPoint{Date: l.Report.Date, By: l.By(), Playing: l.Playing(), Short: l.Playing(), Selected: i == m.sel}
		if l.Tried > 0 {
			p.Short = fmt.Sprintf("%d / %d", l.Clean, l.Tried)
		}
		p.Index, p.Original = barOf(l.Index, l.Low, l.High), barOf(l.Originality, l.OriginalityLow, l.OriginalityHigh)
		if l.Trouble != "" {
			p.Playing, p.Short = "record damaged", "damaged"
		}
		p.Index.OtherRubric = i > 0 && l.Rubric != m.h.Looks[i-1].Rubric && l.Rubric != "" && m.h.Looks[i-1].Rubric != ""
		for _, b := range []HistoryBar{p.Index, p.Original} {
			if b.Known {
				least = math.Min(least, math.Min(b.lowest, b.figure))
			}
		}
		c.Points = append(c.Points, p)
	}
	// A scale of 20 at least, so that a tenth does not look like a fall.
	c.Floor = math.Max(0, math.Min(80, math.Floor((least-2)/10)*10))
	for i := range c.Points {
		c.Points[i].Index.scale(c.Floor)
		c.Points[i].Original.scale(c.Floor)
	}
	c.place(days)
	return c
}

func barOf(v *float64, low, high float64) HistoryBar {
	if v == nil {
		return HistoryBar{}
	}
	return HistoryBar{Known: true, Low: math.Min(low, *v), High: math.Max(high, *v), Is: *v, Label: fmt.Sprintf("%.1f", *v), lowest: math.Min(low, *v), figure: *v, Ranged: high-low >= 0.5}
}

func (b *HistoryBar) scale(floor float64) {
	share := func(v float64) float64 { return math.Max(0, math.Min(1, (v-floor)/(100-floor))) }
	b.Low, b.High, b.Is = share(b.Low), share(b.High), share(b.Is)
}

// place spreads the days over the line, with the years between them.
func (c *HistoryChart) place(days []time.Time) {
	if len(days) == 0 {
		return
	}
	first, last := days[0], days[len(days)-1]
	span := last.Sub(first).Hours()
	at := func(t time.Time) float64 {
		if span <= 0 {
			return 0.5
		}
		return t.Sub(first).Hours() / span
	}
	for i, d := range days {
		c.Points[i].At = at(d)
	}
	if span <= 0 {
		return
	}
	years := last.Year() - first.Year()
	step := 1
	for years/step > 12 {
		step *= 5
	}
	for y := first.Year() + 1; y <= last.Year(); y++ {
		if y%step == 0 {
			c.Years = append(c.Years, HistoryYear{at(time.Date(y, 1, 1, 0, 0, 0, 0, time.UTC)), fmt.Sprint(y)})
		}
	}
}

// Spread moves places apart, in their order, until each stands least from the
// next, within low and high where there is room: labels must not lie over each
// other.
func Spread(at []float64, least, low, high float64) []float64 {
	out := append([]float64{}, at...)
	if n := len(out); n > 1 && least*float64(n-1) > high-low {
		least = (high - low) / float64(n-1)
	}
	for i := range out {
		if out[i] = math.Max(out[i], low); i > 0 {
			out[i] = math.Max(out[i], out[i-1]+least)
		}
	}
	for i := len(out) - 1; i >= 0; i-- {
		most := high
		if i+1 < len(out) {
			most = out[i+1] - least
		}
		out[i] = math.Min(out[i], most)
	}
	return out
}
