package grade

import (
	"fmt"
	"strings"

	"wornwood/annotate/outline"
	"wornwood/capture/record"
)

// Supposition is one thing that is taken to be otherwise than the record says.
// It names either a mark or a part.
type Supposition struct {
	Without int // the mark of this number were not there; what it lies on was looked at all the same

	Mark  int          // this mark ...
	Depth record.Depth // ... were of this depth, whatever was measured
	Kind  record.Kind  // ... were of this kind

	Part    record.PartID // this part ...
	Sound   bool          // ... were looked at and nothing found
	WornOut bool          // ... were looked at and found worn out
	State   record.State  // ... were in this state
}

// String says it in words: "without mark 5", "if the neck were sound".
func (s Supposition) String() string {
	switch {
	case s.Without != 0:
		return fmt.Sprintf("without mark %d", s.Without)
	case s.Mark != 0 && s.Kind != "":
		return fmt.Sprintf("if mark %d were a %s", s.Mark, s.Kind)
	case s.Mark != 0:
		return fmt.Sprintf("if mark %d were %s", s.Mark, s.Depth)
	case s.Sound:
		return fmt.Sprintf("if the %s were sound", s.Part)
	case s.WornOut:
		return fmt.Sprintf("if the %s were worn out", s.Part)
	}
	return fmt.Sprintf("if the %s were %s", s.Part, s.State)
}

// Outcome is the grade as it would be, beside what it is.
type Outcome struct {
	Words  string // what was supposed
	Now    *Result
	Result *Result
}

// Index is the condition index as it would be; nil when nothing were inspected.
func (o *Outcome) Index() *float64 { return o.Result.Index }

// Gain is by how much the condition index would rise; 0 where there is none.
func (o *Outcome) Gain() float64 {
	if o.Now.Index == nil || o.Result.Index == nil {
		return 0
	}
	return *o.Result.Index - *o.Now.Index
}

// ClassChanges tells whether the instrument would fall into another class.
func (o *Outcome) ClassChanges() bool { return o.Now.Class != o.Result.Class }

// CapChanges tells whether another flaw, or none, would hold the index.
func (o *Outcome) CapChanges() bool {
	a, b := o.Now.Cap, o.Result.Cap
	if a == nil || b == nil {
		return a != b
	}
	return a.Mark != b.Mark || a.Class != b.Class
}

// Figures are the index and, where it changes, the class in words:
// "87.3, honestly worn → lightly worn".
func (o *Outcome) Figures() string {
	if o.Result.Index == nil {
		return "no index"
	}
	s := fmt.Sprintf("%.1f", *o.Result.Index)
	if o.ClassChanges() && o.Now.Word != "" {
		s += fmt.Sprintf(", %s → %s", o.Now.Word, o.Result.Word)
	}
	return s
}

// Differences says in sentences what would be otherwise, "nothing" included.
func (o *Outcome) Differences() []string {
	var out []string
	say := func(format string, args ...any) { out = append(out, fmt.Sprintf(format, args...)) }
	a, b := o.Now, o.Result
	switch {
	case (a.Index == nil) != (b.Index == nil):
		say("Condition: %s, now %s.", indexWords(b), indexWords(a))
	case a.Index != nil && (Tenths(*a.Index) != Tenths(*b.Index) || a.Class != b.Class):
		say("Condition: %s, now %s.", indexWords(b), indexWords(a))
	}
	if o.CapChanges() {
		switch {
		case b.Cap == nil:
			say("Nothing would hold the index; mark %d holds it now.", a.Cap.Mark)
		default:
			say("Mark %d would hold the index to class %d.", b.Cap.Mark, b.Cap.Class)
		}
	}
	if Tenths(a.Low) != Tenths(b.Low) || Tenths(a.High) != Tenths(b.High) {
		say("Range: %.1f to %.1f, now %.1f to %.1f.", b.Low, b.High, a.Low, a.High)
	}
	if a.Provisional != b.Provisional {
		say("%s", map[bool]string{true: "The index would be provisional.", false: "The index would no longer be provisional."}[b.Provisional])
	}
	if originalityWords(a) != originalityWords(b) {
		say("Originality: %s, now %s.", originalityWords(b), originalityWords(a))
	}
	if len(out) == 0 {
		say("Nothing that is printed would change.")
	}
	return out
}

func indexWords(r *Result) string {
	if r.Index == nil {
		return "not graded"
	}
	return fmt.Sprintf("%.1f, class %d, %s", *r.Index, r.Class, r.Word)
}

func originalityWords(r *Result) string {
	if r.Originality == nil {
		return "not judged"
	}
	s := fmt.Sprintf("%.1f", *r.Originality)
	if Tenths(r.OriginalityLow) != Tenths(r.OriginalityHigh) {
		s += fmt.Sprintf(" (range %.1f to %.1f)", r.OriginalityLow, r.OriginalityHigh)
	}
	return s
}

// WhatIf grades a record and grades it again as supposed; see Case.WhatIf.
func WhatIf(rec *record.Record, d *outline.Drawing, r *Rubric, sups ...Supposition) (*Outcome, error) {
	c, err := NewCase(rec, d, r)
	if err != nil {
		return nil, err
	}
	return c.WhatIf(sups...)
}

// WhatIf is the grade as it would be if all the suppositions held. Playing is
// as it is. The error says which of them cannot be made.
func (c *Case) WhatIf(sups ...Supposition) (*Outcome, error) {
	base, rest, err := c.reclassified(sups)
	if err != nil {
		return nil, err
	}
	g := base.g.fork()
	again := make([]bool, len(g.parts))
	words := make([]string, len(sups))
	for i, s := range sups {
		words[i] = s.String()
	}
	for _, s := range rest {
		if s.Part == "" {
			err = g.supposeMark(s, again)
		}
		if err != nil {
			return nil, fmt.Errorf("what if: %w", err)
		}
	}
	g.rejudge(again)
	for _, s := range rest {
		if s.Part != "" {
			if err := g.supposePart(s); err != nil {
				return nil, fmt.Errorf("what if: %w", err)
			}
		}
	}
	res := g.result()
	res.Playing = c.res.Playing
	return &Outcome{Words: strings.Join(words, " and "), Now: c.res, Result: res}, nil
}

// reclassified makes the marks whose kind is supposed to be another: such a
// mark may cover other things, so the record is laid out again.
func (c *Case) reclassified(sups []Supposition) (*Case, []Supposition, error) {
	var rec *record.Record
	var rest []Supposition
	for _, s := range sups {
		if s.Mark == 0 || s.Kind == "" {
			rest = append(rest, s)
			continue
		}
		if rec == nil {
			r := *c.rec
			r.Marks = append([]record.Mark(nil), r.Marks...)
			rec = &r
		}
		m := rec.MarkByNumber(s.Mark)
		if m == nil {
			return nil, nil, fmt.Errorf("what if: there is no mark %d", s.Mark)
		}
		m.Kind = s.Kind
		if s.Depth != "" {
			m.Depth, m.Reading = s.Depth, nil
		}
	}
	if rec == nil {
		return c, rest, nil
	}
	out, err := NewCase(rec, c.d, c.g.r)
	return out, rest, err
}

func (g *grading) supposeMark(s Supposition, again []bool) error {
	n := max(s.Without, s.Mark)
	for j := range g.marks {
		m := &g.marks[j]
		if m.Number != n || m.score == 0 {
			continue
		}
		for i, on := range m.touched {
			again[i] = again[i] || on
		}
		if s.Without != 0 {
			m.score, m.laid = 0, laid{touched: make([]bool, len(g.parts)), stated: make([]float64, len(g.parts))}
			return nil
		}
		level := s.Depth.Level()
		if level < 0 {
			return fmt.Errorf("a mark cannot be %q deep", s.Depth)
		}
		changed := *m.Mark
		changed.Depth, changed.Reading = s.Depth, nil
		m.Mark, m.intensity, m.score = &changed, level, score(m.kind.Importance, level)
		return nil
	}
	return fmt.Errorf("there is no mark %d", n)
}

func (g *grading) supposePart(s Supposition) error {
	i, ok := g.byPart[s.Part]
	if !ok {
		return fmt.Errorf("this class has no part %q", s.Part)
	}
	p := &g.parts[i]
	if s.State != "" {
		if !isState(s.State) {
			return fmt.Errorf("there is no state %q", s.State)
		}
		p.said.State = s.State
		p.fitted = s.State != record.NotFitted
		p.inspected = p.fitted && (p.inspected || p.said.Inspected)
	}
	if !s.Sound && !s.WornOut {
		return nil
	}
	for j := range g.marks {
		if g.marks[j].touched[i] {
			return fmt.Errorf("there are marks on the %s, so it is known; leave them out one by one instead", s.Part)
		}
	}
	p.fitted, p.inspected, p.supposed, p.cost, p.covered = true, true, s.WornOut, 0, 0
	if s.WornOut {
		p.cost, p.covered = g.r.UninspectedR-1, 1
	}
	return nil
}
