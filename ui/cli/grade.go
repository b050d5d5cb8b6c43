package cli

import (
	"context"
	"fmt"
	"os"
	"strings"

	"wornwood/annotate"
	"wornwood/annotate/grade"
	"wornwood/capture/bench"
	"wornwood/capture/record"
	"wornwood/ui/view"
)

var gradeVerb = &verb{name: "grade", args: "RECORD.json|BENCH [--exam ID] [--rubric FILE] [--without MARK] [--sound PART] [--worn PART]",
	short: "grade a bare record or an examination, explain each point, and ask what if", run: runGrade}

func runGrade(ctx context.Context, c *call) error {
	exam := c.flags.String("exam", "", "`ID` of the examination in a bench; the only open one otherwise")
	rubric := c.flags.String("rubric", "", "grade by the rubric in this `FILE` instead")
	asJSON := c.flags.Bool("json", false, "print the whole result as JSON; of a what-if, as it would be")
	explain := c.flags.Bool("explain", false, "print every step of the calculation")
	schema := c.flags.Bool("schema", false, "print the JSON schema of a record and stop")
	ifs := &suppositions{}
	ifs.flags(c)
	if err := c.parse(0, 1); err != nil {
		return err
	}
	if *schema {
		_, err := c.Stdout.Write(grade.Schema())
		return err
	}
	if len(c.args) == 0 {
		return &usageError{"usage: wornwood grade " + c.verb.args}
	}
	cs, rec, err := c.caseOf(ctx, c.args[0], *exam, *rubric)
	if err != nil {
		return err
	}
	if len(ifs.list) > 0 {
		return c.whatIf(cs, ifs.list, *asJSON)
	}
	res := cs.Result()
	if *asJSON {
		return c.printJSON(res)
	}
	printAnswers(c, res)
	for _, l := range res.Ledger {
		c.print("  %6.1f  %s\n", l.Shown, l.Text)
	}
	if o := cs.Rubric().Origin(); o != "" {
		c.print("rubric       %s\n", cs.Rubric().Title())
	}
	if *explain {
		for _, s := range append(res.Explain(), grade.Repaired(rec)...) {
			c.print("%s\n", s)
		}
	}
	return nil
}

// whatIf prints what would be if all suppositions held.
func (c *call) whatIf(cs *grade.Case, list []grade.Supposition, asJSON bool) error {
	o, err := cs.WhatIf(list...)
	if err != nil {
		return err
	}
	if asJSON {
		return c.printJSON(o.Result)
	}
	c.print("%s:\n", view.Capital(o.Words))
	printAnswers(c, o.Result)
	for _, s := range o.Differences() {
		c.print("%s\n", s)
	}
	return nil
}

// suppositions are what the flags of a what-if say, in their order.
type suppositions struct{ list []grade.Supposition }

func (s *suppositions) add(x grade.Supposition) error {
	s.list = append(s.list, x)
	return nil
}

func (s *suppositions) flags(c *call) {
	c.flags.Func("without", "what if this `MARK` were not there; may be given again, as may the others", func(t string) error {
		n, err := markNumber(t)
		if err != nil {
			return err
		}
		return s.add(grade.Supposition{Without: n})
	})
	c.flags.Func("sound", "what if this `PART`, not inspected, turned out sound", func(t string) error {
		return s.add(grade.Supposition{Part: record.PartID(t), Sound: true})
	})
	c.flags.Func("worn", "what if this `PART`, not inspected, turned out worn out", func(t string) error {
		return s.add(grade.Supposition{Part: record.PartID(t), WornOut: true})
	})
	c.flags.Func("depth", "what if a mark were of another depth: `MARK=DEPTH`", func(t string) error {
		m, d, ok := strings.Cut(t, "=")
		n, err := markNumber(m)
		if err != nil || !ok {
			return fmt.Errorf("%q is not a mark and a depth, such as 5=through the finish", t)
		}
		return s.add(grade.Supposition{Mark: n, Depth: record.Depth(d)})
	})
	c.flags.Func("kind", "what if a mark were of another kind: `MARK=KIND`", func(t string) error {
		m, k, ok := strings.Cut(t, "=")
		n, err := markNumber(m)
		if err != nil || !ok || k == "" {
			return fmt.Errorf("%q is not a mark and a kind, such as 5=repaired crack", t)
		}
		return s.add(grade.Supposition{Mark: n, Kind: record.Kind(k)})
	})
	c.flags.Func("state", "what if a part were in another state: `PART=STATE`", func(t string) error {
		p, st, ok := strings.Cut(t, "=")
		if !ok || p == "" || st == "" {
			return fmt.Errorf("%q is not a part and a state, such as tuners=original", t)
		}
		return s.add(grade.Supposition{Part: record.PartID(p), State: record.State(st)})
	})
}

// caseOf grades what path names: a record's file, or an examination of a bench.
func (c *call) caseOf(_ context.Context, path, exam, rubric string) (*grade.Case, *record.Record, error) {
	var by *grade.Rubric
	if rubric != "" {
		b, err := view.ReadRubric(rubric)
		if err == nil {
			by, err = grade.Load(b)
		}
		if err != nil {
			return nil, nil, err
		}
	}
	st, err := os.Stat(path)
	if err != nil {
		return nil, nil, fmt.Errorf("grade: %w", err)
	}
	if !st.IsDir() {
		return gradeFile(path, by)
	}
	var out *grade.Case
	var rec *record.Record
	err = c.withSession(path, exam, func(_ *bench.Bench, _ *bench.Exam, s *annotate.Session) error {
		sc := s.Scene()
		out, rec = sc.Case, sc.Record
		if by == nil {
			return sc.GradeError
		}
		out, err = grade.NewCase(rec, sc.Drawing, by)
		return err
	})
	return out, rec, err
}

func gradeFile(path string, by *grade.Rubric) (*grade.Case, *record.Record, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, nil, fmt.Errorf("grade: %w", err)
	}
	defer f.Close()
	rec, err := record.Read(f)
	if err != nil {
		return nil, nil, fmt.Errorf("grade %s: %w", path, err)
	}
	d, err := grade.DrawingFor(rec.Instrument)
	if err == nil && by == nil {
		by, err = annotate.RubricOf(nil, rec.Examination.Rubric)
	}
	if err != nil {
		return nil, nil, fmt.Errorf("grade %s: %w", path, err)
	}
	out, err := grade.NewCase(rec, d, by)
	if err != nil {
		return nil, nil, fmt.Errorf("grade %s: %w", path, err)
	}
	return out, rec, nil
}
