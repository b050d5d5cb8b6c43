// Package grade turns a record into its three answers: condition, originality
// and playing, with a ledger in which every point lost is explained.
//
// Start with Grade and Default; Result is what comes out and Result.Explain
// says it in sentences. The same record, drawing and rubric always give the
// same result, so whoever holds a report can compute its grade again.
//
// The condition follows the scoring of the building standard NEN 2767-1:
// importance and intensity make a score as if a flaw covered its whole part,
// the score a factor, and factors are weighted by the share covered. All
// numbers are in the table rubric.json and, for older reports, in rubrics. A
// shop's own table is read by Load, and NewCase keeps the working for
// what-ifs. The package does not judge authenticity or value, and claims
// conformity with no standard.
package grade

import (
	"fmt"
	"slices"

	"wornwood/annotate/outline"
	"wornwood/capture/record"
)

// Grade computes the grade of a record on its drawing. It changes neither, and
// the order of the record's lists does not matter. The error names the mark
// that cannot be judged: its kind, its reading or its part is not in the
// rubric.
func Grade(rec *record.Record, d *outline.Drawing, r *Rubric) (*Result, error) {
	c, err := NewCase(rec, d, r)
	if err != nil {
		return nil, err
	}
	return c.res, nil
}

// judged is one mark with what the rubric says of it.
type judged struct {
	*record.Mark
	kind      KindInfo
	intensity int
	score     int
	laid
}

// partSum is one part's sum.
type partSum struct {
	Share
	said      record.Part
	fitted    bool
	inspected bool
	supposed  bool      // worn out, in a what-if
	cost      float64   // R - 1
	covered   float64   // 0..1
	marks     []float64 // each mark's part of cost
	extent    []float64 // each mark's own share of the part, 0..1, whatever lies over it
}

// grading is one computation in progress. Marks are in the order of their
// numbers, parts in the order of the shares.
type grading struct {
	r     *Rubric
	marks []judged
	parts []partSum
	*sheets
	strips []strip
}

func newGrading(rec *record.Record, d *outline.Drawing, r *Rubric) (*grading, error) {
	sh, err := r.spread(d)
	if err != nil {
		return nil, err
	}
	g := &grading{r: r, sheets: sh}
	for i := range rec.Marks {
		m := &rec.Marks[i]
		k, ok := r.Kind(m.Kind)
		if !ok {
			return nil, fmt.Errorf("grade: mark %d has the kind %q, which the rubric %q does not know; choose a kind from its list", m.Number, m.Kind, r.Name)
		}
		g.marks = append(g.marks, judged{Mark: m, kind: k})
	}
	slices.SortFunc(g.marks, func(a, b judged) int { return a.Number - b.Number })
	lay := layer{sheets: sh, halo: r.HaloMM}
	for i := range g.marks {
		m := &g.marks[i]
		n, remark, err := r.intensity(m.Mark, m.kind)
		if err != nil {
			return nil, fmt.Errorf("grade: %w", err)
		}
		m.intensity, m.score = n, score(m.kind.Importance, n)
		if m.laid, err = lay.lay(i, m.Mark, m.kind); err != nil {
			return nil, err
		}
		if remark != "" {
			m.remarks = append(m.remarks, remark)
		}
	}
	g.strips = lay.strips
	g.listParts(rec)
	return g, nil
}

// listParts notes what was said of each part. A part with a mark on it counts
// as inspected. An optional part of which nothing was said is not there.
func (g *grading) listParts(rec *record.Record) {
	for i, sh := range g.shares {
		p := partSum{Share: sh, said: record.Part{ID: sh.Part}}
		if said := rec.PartByID(sh.Part); said != nil {
			p.said = *said
		}
		if p.said.State == "" {
			p.said.State = record.NotSeen
		}
		p.fitted = p.said.State != record.NotFitted
		p.inspected = p.said.Inspected
		spoken := p.said.State != record.NotSeen || p.said.Inspected
		for j := range g.marks {
			m := &g.marks[j]
			if !m.touched[i] {
				continue
			}
			p.inspected, spoken = true, true
			if !p.fitted {
				m.remarks = append(m.remarks, fmt.Sprintf("lies on the %s, said to be not fitted, where it costs nothing", sh.Part))
			}
		}
		p.fitted = p.fitted && (spoken || !sh.Optional)
		p.inspected = p.inspected && p.fitted
		g.parts = append(g.parts, p)
	}
}

// judgeParts sums each part's flaws.
func (g *grading) judgeParts() {
	scores := make([]int, len(g.marks))
	for i := range g.marks {
		scores[i] = g.marks[i].score
	}
	covers := countStrips(g.strips, scores, len(g.parts))
	for i := range g.parts {
		g.sumPart(i, &covers[i], float64(g.units(i)))
	}
}

// sumPart fills the part from the worst score down: at each score the units
// drawn whose worst it is and the shares stated, as far as the part has room.
// What does not fit is scaled down alike for all marks of the score, so that a
// further or deeper flaw can only add to the sum.
func (g *grading) sumPart(i int, c *partCover, units float64) {
	p := &g.parts[i]
	p.marks, p.extent = make([]float64, len(g.marks)), make([]float64, len(g.marks))
	for s := topScore; s > 0; s-- {
		want := 0.0
		if units > 0 {
			want = float64(c.drawn[s]) / units
		}
		for j := range g.marks {
			if g.marks[j].score == s {
				want += g.marks[j].stated[i]
			}
		}
		if want == 0 {
			continue
		}
		take, over := min(want, 1-p.covered), g.r.Factors[s-1]-1
		for j := range g.marks {
			if m := &g.marks[j]; m.score == s {
				share := m.stated[i]
				if units > 0 {
					share += c.share[j] / units
				}
				p.marks[j] = share * take / want * over
			}
		}
		p.cost += take * over
		p.covered += take
	}
	for j := range g.marks {
		p.extent[j] = g.marks[j].stated[i]
		if units > 0 {
			p.extent[j] += float64(c.own[j]) / units
		}
		p.extent[j] = min(1, p.extent[j])
	}
}
