package serve

import (
	"fmt"
	"net/http"
	"time"

	"wornwood/pdfout/archive"
)

// history tells one instrument's history over all its examinations.
func (s *Server) history(v *visit) error {
	hash := v.r.PathValue("hash")
	if !wholeHash.MatchString(hash) {
		return asked(http.StatusNotFound, "%.70q is no report's SHA-256.", hash)
	}
	return s.shelf.use(func(a *archive.Archive) error {
		i, err := a.Instrument(hash)
		if err != nil {
			return err
		}
		h, err := a.History(i)
		if err != nil {
			return err
		}
		var read []string
		for _, l := range h.Looks {
			read = append(read, l.Report.Hash)
			s.sessions.again(v.session, l.Report.Hash) // its photos on this page are the same reading
		}
		if err := s.reads(a, v, archive.ReadHistory, read...); err != nil {
			return err
		}
		return s.show(v, http.StatusOK, "history", h.Title+": history", map[string]any{"H": h, "Hash": hash, "Line": drawLine(h), "Views": viewsOf(h), "Changed": changedParts(h)})
	})
}

// changedParts are the parts of which the examinations say different things.
func changedParts(h *archive.History) (out []archive.PartStory) {
	for _, p := range h.Parts {
		if p.Changed {
			out = append(out, p)
		}
	}
	return out
}

const mostPhotos = 2 // of one view in one examination

// viewRow is one view over time: of each examination its photos.
type viewRow struct {
	View  string
	Cells [][]archive.LookPhoto
	Of    []string // SHA-256 of each cell's report
}

// viewsOf are the views in the order of the history, with the photos of each.
func viewsOf(h *archive.History) []viewRow {
	var out []viewRow
	for _, v := range h.Views() {
		r := viewRow{View: v.View}
		for _, l := range h.Looks {
			var cell []archive.LookPhoto
			for _, p := range l.Photos {
				if p.View == v.View && len(cell) < mostPhotos {
					cell = append(cell, p)
				}
			}
			r.Cells, r.Of = append(r.Cells, cell), append(r.Of, l.Report.Hash)
		}
		out = append(out, r)
	}
	return out
}

// The drawn line of time, in its own units.
const (
	lineWide, lineHigh    = 900, 220
	lineLeft, lineRight   = 44, 860
	lineTop, lineBottom   = 14, 176
	lineGap               = 46 // least distance of two dates
	lineDate, lineCaption = 196, 212
)

// linePoint is one examination on the line of time.
type linePoint struct {
	X, Y, Low, High int
	Has             bool
	Date, Value, By string
	Mid             int // where the value stands
}

type line struct {
	Wide, High, Left, Right, Top, Bottom, Date int
	Points                                     []linePoint
	Path                                       string
	Grid                                       []gridLine
}

type gridLine struct{ Y, Value int }

// drawLine places the examinations' condition index, with its range, over time.
// Dates that lie too close are drawn apart, in their order.
func drawLine(h *archive.History) *line {
	l := &line{Wide: lineWide, High: lineHigh, Left: lineLeft, Right: lineRight, Top: lineTop, Bottom: lineBottom, Date: lineDate}
	y := func(v float64) int { return lineBottom - int(v/100*(lineBottom-lineTop)+0.5) }
	for v := 0; v <= 100; v += 25 {
		l.Grid = append(l.Grid, gridLine{y(float64(v)), v})
	}
	xs := places(h)
	for i := range h.Looks {
		k := &h.Looks[i]
		p := linePoint{X: xs[i], Date: k.Report.Date, By: k.By()}
		if k.Index != nil {
			p.Has, p.Y, p.Low, p.High, p.Value = true, y(*k.Index), y(k.Low), y(k.High), fmt.Sprintf("%.1f", *k.Index)
			op := " L"
			if l.Path == "" {
				op = "M"
			}
			l.Path += fmt.Sprintf("%s%d %d", op, p.X, p.Y)
		}
		l.Points = append(l.Points, p)
	}
	return l
}

// places are where the examinations stand from left to right.
func places(h *archive.History) []int {
	n := len(h.Looks)
	out := make([]int, n)
	if n == 0 {
		return out
	}
	days := make([]float64, n)
	for i, l := range h.Looks {
		if t, err := time.Parse(time.DateOnly, l.Report.Date); err == nil {
			days[i] = float64(t.Unix()) / 86400
		}
	}
	first, span := days[0], days[n-1]-days[0]
	gap := min(float64(lineGap), float64(lineRight-lineLeft-40)/float64(max(1, n)))
	at := func(i int) float64 {
		if span <= 0 {
			return lineLeft + 30
		}
		return lineLeft + 30 + (days[i]-first)/span*(lineRight-lineLeft-60)
	}
	last := -1e9
	for i := range out {
		last = max(at(i), last+gap)
		out[i] = int(last)
	}
	limit := float64(lineRight - 30)
	for i := n - 1; i >= 0; i-- { // what was pushed out comes back from the right
		out[i] = int(min(float64(out[i]), limit))
		limit = float64(out[i]) - gap
	}
	return out
}
