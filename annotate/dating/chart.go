package dating

import (
	"fmt"
	"math"
	"slices"
)

// Chart is a result laid out over years, the same for screen and paper: one row
// a piece of evidence, the claimed years across, what the evidence allows at
// the foot. Positions are years with their fraction, 1966.5 in the middle of
// 1966; a week of a year takes a 53rd of it.
type Chart struct {
	From, To float64 // the years at either edge
	Ticks    []Tick
	Rows     []ChartRow
	Claims   []Bar // the first claimed year that could be read; empty for none
	Foot     []Bar // what the evidence allows; empty when nothing counts or no year is left
}

// Tick is one year marked on the axis.
type Tick struct {
	At    float64
	Label string
}

// Bar is a stretch of years. An open end reaches the edge of the chart and is
// drawn as an arrow.
type Bar struct {
	From, To            float64
	OpenFrom, OpenUntil bool
}

// ChartRow is one piece of evidence.
type ChartRow struct {
	Piece  int   // index into Result.Pieces; rows are numbered by it, from 1
	Bars   []Bar // the years that it allows
	Blocks []Bar // the weeks or years from which the thing itself dates
	Hollow bool  // set aside: drawn without a filling
	// Against are the rows, by Piece, with which it cannot stand; Claim says
	// that it contradicts the claimed year.
	Against []int
	Claim   bool
}

// Conflict says whether the row contradicts anything.
func (r *ChartRow) Conflict() bool { return len(r.Against) > 0 || r.Claim }

// leastYears is how many years a chart shows at least: a single date alone would
// stand without a neighbour to compare it with.
const leastYears = 12

// Chart lays the result out.
func (r *Result) Chart() *Chart {
	c := &Chart{}
	c.span(r)
	for i := range r.Pieces {
		p := &r.Pieces[i]
		row := ChartRow{Piece: i, Bars: c.bars(p.Allows), Hollow: p.Aside != ""}
		if p.Read != nil {
			row.Blocks = c.bars(p.Dated)
		}
		c.Rows = append(c.Rows, row)
	}
	for _, set := range r.Contradictions {
		for _, i := range set {
			for _, j := range set {
				if i != j && !slices.Contains(c.Rows[i].Against, j) {
					c.Rows[i].Against = append(c.Rows[i].Against, j)
				}
			}
		}
	}
	if k := r.claimShown(); k >= 0 {
		c.Claims = c.bars(r.Claims[k].Years)
		for _, set := range r.Claims[k].Against {
			for _, i := range set {
				c.Rows[i].Claim = true
			}
		}
	}
	if r.Counted > 0 {
		c.Foot = c.bars(r.Allows)
	}
	return c
}

// claimShown is the claim drawn across the chart, -1 for none.
func (r *Result) claimShown() int {
	return slices.IndexFunc(r.Claims, func(c Claim) bool { return c.Read })
}

// Claim is the claim that the chart draws, nil for none.
func (r *Result) Claim() *Claim {
	if k := r.claimShown(); k >= 0 {
		return &r.Claims[k]
	}
	return nil
}

// span chooses the years shown, so that every end that is no open one lies
// inside, and the ticks of the axis.
func (c *Chart) span(r *Result) {
	lo, hi := math.Inf(1), math.Inf(-1)
	see := func(s Set) {
		for _, x := range s {
			if !x.From.IsZero() {
				lo, hi = min(lo, begin(x.From)), max(hi, begin(x.From))
			}
			if !x.To.IsZero() {
				lo, hi = min(lo, end(x.To)), max(hi, end(x.To))
			}
		}
	}
	for i := range r.Pieces {
		see(r.Pieces[i].Allows)
		see(r.Pieces[i].Dated)
	}
	if k := r.claimShown(); k >= 0 {
		see(r.Claims[k].Years)
	}
	if lo > hi {
		return // nothing to show
	}
	pad := max((hi-lo)*0.08, 1.5, (leastYears-(hi-lo))/2)
	c.From, c.To = math.Floor(lo-pad), math.Ceil(hi+pad)
	step := tickStep(c.To - c.From)
	for y := math.Ceil(c.From/step) * step; y <= c.To; y += step {
		c.Ticks = append(c.Ticks, Tick{y, fmt.Sprint(int(y))})
	}
}

// mostTicks is how many years an axis names.
const mostTicks = 11

func tickStep(years float64) float64 {
	for _, s := range []float64{1, 2, 5, 10, 20, 50, 100, 200, 500} {
		if years/s <= mostTicks-1 {
			return s
		}
	}
	return 1000
}

func begin(w Week) float64 { return float64(w.Year) + float64(w.Week-1)/slots }
func end(w Week) float64   { return float64(w.Year) + float64(w.Week)/slots }

func (c *Chart) bars(s Set) []Bar {
	var out []Bar
	for _, r := range s {
		b := Bar{From: c.From, To: c.To, OpenFrom: r.From.IsZero(), OpenUntil: r.To.IsZero()}
		if !b.OpenFrom {
			b.From = begin(r.From)
		}
		if !b.OpenUntil {
			b.To = end(r.To)
		}
		out = append(out, b)
	}
	return out
}

// X is where a year lies between a left and a right edge.
func (c *Chart) X(at, left, right float64) float64 {
	if c.To <= c.From {
		return left
	}
	return left + (right-left)*(at-c.From)/(c.To-c.From)
}

// Sign is what stands beside a row that does not simply count: "≠" for one that
// contradicts, "–" for one set aside, "?" for one without a date.
func (r *Result) Sign(row *ChartRow) string {
	p := &r.Pieces[row.Piece]
	switch {
	case p.Aside != "":
		return "–"
	case p.Undone != "":
		return "?"
	case row.Conflict():
		return "≠"
	}
	return ""
}

// SignWords says what Sign means for the row: "contradicts 3, 8 and the claimed
// year", by the numbers of the rows, "set aside: REASON", "no date".
func (r *Result) SignWords(row *ChartRow) string {
	p := &r.Pieces[row.Piece]
	switch {
	case p.Aside != "":
		return "set aside: " + p.Aside
	case p.Undone != "":
		return "no date"
	case !row.Conflict():
		return ""
	}
	var with []string
	for k, i := range row.Against {
		if k == mostNamed && len(row.Against) > mostNamed+1 {
			with = append(with, fmt.Sprintf("%d more", len(row.Against)-k))
			break
		}
		with = append(with, fmt.Sprint(i+1))
	}
	if row.Claim {
		with = append(with, "the claimed year")
	}
	return "contradicts " + both(with)
}

// Brief is what a row says in a few words, "week 34 of 1966 or later".
func (p *Piece) Brief() string {
	if p.Undone != "" {
		return p.Undone
	}
	return p.Allows.Words()
}
