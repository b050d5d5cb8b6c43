package cli

import (
	"context"
	"fmt"

	"wornwood/annotate"
	"wornwood/annotate/grade"
	"wornwood/annotate/outline"
	"wornwood/capture/bench"
	"wornwood/ui/view"
)

var rubricVerb = &verb{name: "rubric", args: "[BENCH [--use FILE|newest] [--exam ID]] [--table] [--export FILE]",
	short: "show the table that says what each mark is worth; let a shop use its own", run: runRubric}

func runRubric(_ context.Context, c *call) error {
	use := c.flags.String("use", "", "grade new examinations by the rubric in this `FILE`, or by the newest of Wornwood's (newest); with --exam that examination instead")
	exam := c.flags.String("exam", "", "`ID` of an examination: show or change its rubric")
	export := c.flags.String("export", "", "write a copy to change to this new `FILE`")
	name := c.flags.String("name", "", "`name` of the copy")
	table := c.flags.Bool("table", false, "print the whole table")
	class := c.flags.String("class", outline.Classes()[0], "`class` whose shares are printed")
	asJSON := c.flags.Bool("json", false, "print the table as JSON")
	known := c.flags.Bool("known", false, "list every rubric that came with the program, and those kept on the bench")
	if err := c.parse(0, 1); err != nil {
		return err
	}
	show := func(r *grade.Rubric) error { return c.showRubric(r, *class, *table, *asJSON, *export, *name) }
	if len(c.args) == 0 {
		if *use != "" || *exam != "" {
			return &usageError{"usage: wornwood rubric " + c.verb.args}
		}
		if *known {
			return c.knownRubrics(nil)
		}
		return show(grade.Default())
	}
	if *exam != "" {
		return c.withSession(c.args[0], *exam, func(b *bench.Bench, _ *bench.Exam, s *annotate.Session) error {
			if *use != "" {
				r, err := c.rubricToUse(b, *use)
				if err == nil {
					err = s.UseRubric(r)
				}
				if err != nil {
					return err
				}
			}
			if err := s.Scene().GradeError; err != nil {
				return err
			}
			return show(s.Rubric())
		})
	}
	return c.withBench(c.args[0], func(b *bench.Bench) error {
		if *use != "" {
			r, err := c.rubricToUse(b, *use)
			if err == nil {
				err = b.ChooseRubric(view.ChoiceOf(r))
			}
			if err != nil {
				return err
			}
		}
		if *known {
			return c.knownRubrics(b)
		}
		r, err := annotate.RubricOf(b, "")
		if err != nil {
			return err
		}
		return show(r)
	})
}

// rubricToUse keeps a rubric's file on the bench; "newest" is the program's.
func (c *call) rubricToUse(b *bench.Bench, use string) (*grade.Rubric, error) {
	if use == "newest" {
		return grade.Default(), nil
	}
	data, err := view.ReadRubric(use)
	if err != nil {
		return nil, err
	}
	return annotate.KeepRubric(b, data)
}

func (c *call) showRubric(r *grade.Rubric, class string, table, asJSON bool, export, name string) error {
	if export != "" {
		if name == "" {
			name = r.CopyName("")
		}
		b, err := r.Copy(name)
		if err == nil {
			err = view.SaveRubric(export, b)
		}
		if err != nil {
			return err
		}
		c.print("%s: a copy of %s to change, called %q\n", export, r.Name, name)
		return nil
	}
	if asJSON {
		_, err := fmt.Fprintf(c.Stdout, "%s\n", r.Table())
		return err
	}
	c.print("name     %s\nsha-256  %s\nchanged  %s\n", r.Name, r.Hash(), orElse(r.Origin(), "no, it came with the program"))
	if r.Note != "" {
		c.print("note     %s\n", r.Note)
	}
	if !table {
		return nil
	}
	if _, err := r.Shares(class); err != nil {
		return &usageError{fmt.Sprintf("there is no class %q; 'wornwood classes' lists them", class)}
	}
	for _, p := range view.RubricTable(r, class) {
		c.print("\n%s\n", p.Name)
		for _, row := range p.Rows {
			c.print("  %-24s %-18s", row[0], row[1])
			for _, s := range row[2:] {
				if s != "" {
					c.print("  %s", s)
				}
			}
			c.print("\n")
		}
	}
	return nil
}

func orElse(s, other string) string {
	if s == "" {
		return other
	}
	return s
}

// knownRubrics lists rubrics with their hashes, the bench's own behind those of
// the program.
func (c *call) knownRubrics(b *bench.Bench) error {
	for _, r := range grade.Known() {
		c.print("%s  %s\n", r.Hash(), r.Name)
	}
	if b == nil {
		return nil
	}
	list, err := b.Rubrics()
	if err != nil {
		return err
	}
	for _, hash := range list {
		r, err := annotate.RubricOf(b, hash)
		if err != nil {
			c.print("%s  cannot be used: %v\n", hash, err)
			continue
		}
		c.print("%s  %s, %s\n", hash, r.Name, r.Origin())
	}
	return nil
}
