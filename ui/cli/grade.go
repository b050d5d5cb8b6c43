package cli

import (
	"context"
	"fmt"
	"os"

	"wornwood/annotate"
	"wornwood/annotate/grade"
	"wornwood/capture/bench"
	"wornwood/capture/record"
)

var gradeVerb = &verb{name: "grade", args: "RECORD.json|BENCH [--exam ID]",
	short: "grade a bare record or an examination, and explain each point", run: runGrade}

func runGrade(ctx context.Context, c *call) error {
	exam := c.flags.String("exam", "", "`ID` of the examination in a bench; the only open one otherwise")
	asJSON := c.flags.Bool("json", false, "print the whole result as JSON")
	explain := c.flags.Bool("explain", false, "print every step of the calculation")
	schema := c.flags.Bool("schema", false, "print the JSON schema of a record and stop")
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
	res, err := c.gradeOf(ctx, c.args[0], *exam)
	if err != nil {
		return err
	}
	if *asJSON {
		return c.printJSON(res)
	}
	printAnswers(c, res)
	for _, l := range res.Ledger {
		c.print("  %6.1f  %s\n", l.Shown, l.Text)
	}
	if *explain {
		for _, s := range res.Explain() {
			c.print("%s\n", s)
		}
	}
	return nil
}

func (c *call) gradeOf(ctx context.Context, path, exam string) (*grade.Result, error) {
	st, err := os.Stat(path)
	if err != nil {
		return nil, fmt.Errorf("grade: %w", err)
	}
	if !st.IsDir() {
		return gradeFile(path)
	}
	var res *grade.Result
	err = c.withSession(path, exam, func(_ *bench.Bench, _ *bench.Exam, s *annotate.Session) error {
		sc := s.Scene()
		res = sc.Grade
		return sc.GradeError
	})
	return res, err
}

func gradeFile(path string) (*grade.Result, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, fmt.Errorf("grade: %w", err)
	}
	defer f.Close()
	rec, err := record.Read(f)
	if err != nil {
		return nil, fmt.Errorf("grade %s: %w", path, err)
	}
	d, err := grade.DrawingFor(rec.Instrument)
	if err != nil {
		return nil, fmt.Errorf("grade %s: %w", path, err)
	}
	res, err := grade.Grade(rec, d, grade.Default())
	if err != nil {
		return nil, fmt.Errorf("grade %s: %w", path, err)
	}
	return res, nil
}
