package grade

import (
	"fmt"
	"math"

	"wornwood/capture/record"
)

// condition fills in index, class, range, cap, parts and ledger.
func (g *grading) condition(res *Result) {
	var fitted, inspected, cost float64 // shares in per cent; cost weighted by them
	for _, p := range g.parts {
		if p.fitted {
			fitted += p.Share.Share
		}
		if p.inspected {
			inspected += p.Share.Share
			cost += p.Share.Share * p.cost
		}
	}
	res.Ratio, res.High = 1, 100
	if fitted > 0 {
		res.Inspected = inspected / fitted
		// What nobody looked at is sound at best and worn out at worst.
		res.Low = Index(1 + (cost+(fitted-inspected)*(g.r.UninspectedR-1))/fitted)
		res.High = Index(1 + cost/fitted)
	}
	res.Provisional = res.Inspected < g.r.ProvisionalBelow-slack
	before := 100.0
	if inspected > 0 {
		res.Ratio = 1 + cost/inspected
		before = Index(res.Ratio)
		index := before
		res.BeforeCap, res.Index = &before, &index
		res.Class = g.r.Class(res.Ratio)
		g.hold(res)
		res.Word = g.r.Words(res.Class)
	}
	g.listPartResults(res, cost, 100-before)
	g.ledger(res, cost, 100-before)
}

// hold finds the worst structural flaw and caps the index by it. Of equally bad
// flaws the one with the larger extent is named, then the lower number.
func (g *grading) hold(res *Result) {
	for j := range g.marks {
		m := &g.marks[j]
		if m.kind.Importance != 2 {
			continue
		}
		part, ext := -1, 0.0
		for i := range g.parts {
			if p := &g.parts[i]; p.fitted && m.touched[i] && (part < 0 || p.extent[j] > ext) {
				part, ext = i, p.extent[j]
			}
		}
		if part < 0 {
			continue
		}
		shown := ext
		if m.kind.Reach > 0 {
			ext = max(ext, m.kind.Reach)
		}
		class := flawClass(m.kind.Importance, m.intensity, g.r.extent(ext))
		if c := res.Cap; c == nil || class > c.FlawClass || (class == c.FlawClass && ext > max(c.Extent, c.CountedAs)+slack) {
			res.Cap = &Cap{Mark: m.Number, Part: g.parts[part].Part, Extent: shown, FlawClass: class,
				Class: max(1, class-1), Limit: g.r.Top(class - 1)}
			if ext > shown {
				res.Cap.CountedAs = ext
			}
		}
	}
	if res.Cap == nil {
		return
	}
	c := res.Cap
	if res.High <= c.Limit && res.Class >= c.Class {
		res.Cap = nil // it holds nothing: index and low are not above high
		return
	}
	c.Points = max(0, *res.Index-c.Limit)
	*res.Index = min(*res.Index, c.Limit)
	res.Low, res.High = min(res.Low, c.Limit), min(res.High, c.Limit)
	res.Class = max(res.Class, c.Class)
}

func (g *grading) listPartResults(res *Result, cost, lost float64) {
	res.NotInspected, res.NotFitted = []record.PartID{}, []record.PartID{}
	for _, p := range g.parts {
		pr := PartResult{Part: p.Part, Share: p.Share.Share, Fitted: p.fitted, Inspected: p.inspected, State: p.said.State, R: 1}
		if p.inspected {
			pr.R, pr.Covered = 1+p.cost, p.covered
		}
		if p.inspected && cost > 0 {
			pr.Points = p.Share.Share * p.cost / cost * lost
		}
		res.Parts = append(res.Parts, pr)
		switch {
		case !p.fitted:
			res.NotFitted = append(res.NotFitted, p.Part)
		case !p.inspected:
			res.NotInspected = append(res.NotInspected, p.Part)
		}
	}
}

// originality is the second answer.
func (g *grading) originality(res *Result) {
	var known, unknown, sum float64
	res.NotOriginal, res.UnknownState = []PartState{}, []record.PartID{}
	for _, p := range g.parts {
		o, ok := g.r.Originality[p.said.State]
		switch {
		case !p.fitted:
		case !ok:
			unknown += p.Share.Share
			res.UnknownState = append(res.UnknownState, p.Part)
		default:
			known += p.Share.Share
			sum += p.Share.Share * o
			if p.said.State != record.Original {
				res.NotOriginal = append(res.NotOriginal, PartState{p.Part, p.said.State})
			}
		}
	}
	res.OriginalityHigh = 100
	if known > 0 {
		o := 100 * sum / known
		res.Originality = &o
	}
	if known+unknown > 0 {
		res.OriginalityLow = 100 * sum / (known + unknown)
		res.OriginalityHigh = 100 * (sum + unknown) / (known + unknown)
	}
}

// Tenths is a value as it is printed, in whole tenths.
func Tenths(v float64) int { return int(math.Round(v * 10)) }

func number(v float64) string {
	s := fmt.Sprintf("%.2f", v)
	for s[len(s)-1] == '0' {
		s = s[:len(s)-1]
	}
	if s[len(s)-1] == '.' {
		s = s[:len(s)-1]
	}
	return s
}
