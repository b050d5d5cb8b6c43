package grade

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"wornwood/capture/record"
)

// ledger gives each mark its part of (R - 1) over the total, times the points
// lost before the cap, and the cap a line of its own. cost is the sum over the
// parts inspected of share times (R_part - 1).
func (g *grading) ledger(res *Result, cost, lost float64) {
	res.Ledger = []Line{}
	for j := range g.marks {
		m := &g.marks[j]
		if m.score == 0 {
			continue // supposed not to be there
		}
		own := 0.0
		line := Line{Mark: m.Number, Text: m.words(), Parts: []record.PartID{}, Covers: []Cover{}, Remark: strings.Join(m.remarks, "; "),
			Importance: m.kind.Importance, Intensity: m.intensity, Score: m.score, Factor: g.r.Factors[m.score-1]}
		for i := range g.parts {
			if !m.touched[i] {
				continue
			}
			line.Parts = append(line.Parts, g.parts[i].Part)
			line.Covers = append(line.Covers, Cover{g.parts[i].Part, g.parts[i].extent[j]})
			if g.parts[i].inspected {
				own += g.parts[i].Share.Share * g.parts[i].marks[j]
			}
		}
		if cost > 0 {
			line.Points = own / cost * lost
		}
		if line.Points == 0 && line.Remark == "" {
			line.Remark = "covers nothing, so it costs nothing"
			if slices.ContainsFunc(line.Covers, func(c Cover) bool { return c.Share > 0 }) {
				line.Remark = "lies under worse marks, so it adds nothing"
			}
		}
		res.Ledger = append(res.Ledger, line)
	}
	for _, p := range g.parts {
		if p.supposed && cost > 0 {
			res.Ledger = append(res.Ledger, Line{Parts: []record.PartID{p.Part}, Covers: []Cover{}, Points: p.Share.Share * p.cost / cost * lost,
				Text: fmt.Sprintf("The %s, supposed to be worn out", p.Part)})
		}
	}
	if c := res.Cap; c != nil && c.Points > 0 {
		m := res.Line(c.Mark)
		res.Ledger = append(res.Ledger, Line{Parts: []record.PartID{c.Part}, Covers: []Cover{}, Points: c.Points,
			Text: fmt.Sprintf("Held to class %d by mark %d (%s)", c.Class, c.Mark, lowerFirst(m.Text))})
	}
	if res.Index != nil {
		showTenths(res.Ledger, 1000-Tenths(*res.Index))
	}
}

// words is the mark's kind with its depth or its reading.
func (m *judged) words() string {
	t := upperFirst(string(m.Kind))
	switch {
	case m.Reading != nil && m.Reading.Kind == m.kind.Reading:
		return t + ", " + ReadingWords(*m.Mark)
	case m.Depth != "":
		return t + ", " + m.kind.DepthWord(m.Depth)
	}
	return t
}

// showTenths rounds the lines' points to tenths that add up to total tenths:
// each is cut down to whole tenths, and the tenths left over go to those that
// lost most by it (largest remainder).
func showTenths(lines []Line, total int) {
	type rest struct {
		line int
		lost float64
	}
	tenths, rests := make([]int, len(lines)), make([]rest, len(lines))
	for i, l := range lines {
		tenths[i] = int(math.Floor(l.Points*10 + slack))
		rests[i] = rest{i, l.Points*10 - float64(tenths[i])}
		total -= tenths[i]
	}
	slices.SortStableFunc(rests, func(a, b rest) int {
		switch {
		case a.lost > b.lost:
			return -1
		case a.lost < b.lost:
			return 1
		}
		return 0
	})
	for i := 0; i < total && i < len(rests); i++ {
		tenths[rests[i].line]++
	}
	for i := range lines {
		lines[i].Shown = float64(tenths[i]) / 10
	}
}

// Worst lists the n marks that cost the most, the dearest first; marks that
// cost nothing are left out.
func (r *Result) Worst(n int) []Line {
	var out []Line
	for _, l := range r.Ledger {
		if l.Mark != 0 && l.Points > 0 {
			out = append(out, l)
		}
	}
	slices.SortStableFunc(out, func(a, b Line) int {
		switch {
		case a.Points > b.Points:
			return -1
		case a.Points < b.Points:
			return 1
		}
		return a.Mark - b.Mark
	})
	return out[:min(n, len(out))]
}

func upperFirst(s string) string {
	if s == "" {
		return ""
	}
	return strings.ToUpper(s[:1]) + s[1:]
}

func lowerFirst(s string) string {
	if s == "" {
		return ""
	}
	return strings.ToLower(s[:1]) + s[1:]
}
