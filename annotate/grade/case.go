package grade

import (
	"fmt"
	"slices"

	"wornwood/annotate/outline"
	"wornwood/capture/record"
)

// Case is a record's grade together with what it was computed from, so that
// asking "what if" does not lay out every mark again. It is immutable and may be
// shared between goroutines.
type Case struct {
	rec *record.Record
	d   *outline.Drawing
	g   *grading
	res *Result
}

// NewCase grades a record, as Grade does, and keeps the working.
func NewCase(rec *record.Record, d *outline.Drawing, r *Rubric) (*Case, error) {
	if rec == nil || d == nil || r == nil {
		return nil, fmt.Errorf("grade: a record, a drawing and a rubric are needed")
	}
	if err := rec.Check(); err != nil {
		return nil, fmt.Errorf("grade: %w", err)
	}
	g, err := newGrading(rec, d, r)
	if err != nil {
		return nil, err
	}
	g.judgeParts()
	res := g.result()
	res.Playing = playing(rec, d, r)
	return &Case{rec, d, g, res}, nil
}

// Result is the grade.
func (c *Case) Result() *Result { return c.res }

// Rubric is what it was graded by.
func (c *Case) Rubric() *Rubric { return c.g.r }

// Replayed is the case of a record that differs in nothing but how the
// instrument plays; see Replay. The working is shared.
func (c *Case) Replayed(rec *record.Record) (*Case, error) {
	res, err := Replay(c.res, rec, c.d, c.g.r)
	if err != nil {
		return nil, err
	}
	return &Case{rec, c.d, c.g, res}, nil
}

// result is condition and originality.
func (g *grading) result() *Result {
	res := &Result{Schema: ResultSchemaName, Rubric: g.r.Name, RubricHash: g.r.Hash()}
	g.condition(res)
	g.originality(res)
	return res
}

// fork is a copy whose marks and parts can be changed.
func (g *grading) fork() *grading {
	out := *g
	out.marks, out.parts = slices.Clone(g.marks), slices.Clone(g.parts)
	return &out
}

// rejudge sums the parts again on which marks were changed. An absent mark has
// the score 0 and touches nothing.
func (g *grading) rejudge(parts []bool) {
	scores := make([]int, len(g.marks))
	for i := range g.marks {
		scores[i] = g.marks[i].score
	}
	for i, again := range parts {
		if !again {
			continue
		}
		var left []strip
		for _, s := range g.strips[g.firstStrip(i):g.firstStrip(i+1)] {
			if scores[s.mark] > 0 {
				left = append(left, s)
			}
		}
		p := &g.parts[i]
		p.cost, p.covered = 0, 0
		covers := countStrips(left, scores, len(g.parts))
		g.sumPart(i, &covers[i], float64(g.units(i)))
	}
}

// firstStrip is where the strips of a part begin; they are sorted.
func (g *grading) firstStrip(part int) int {
	i, _ := slices.BinarySearchFunc(g.strips, part, func(s strip, p int) int { return s.part() - p })
	return i
}
