package cli

import (
	"context"

	"wornwood/capture/bench"
)

var checkVerb = &verb{name: "check", args: "BENCH",
	short: "read every file of a bench again and say what is damaged or missing", run: runCheck}

var rebuildVerb = &verb{name: "rebuild", args: "BENCH",
	short: "make index.db anew from the files; nothing else changes", run: runRebuild}

func runCheck(ctx context.Context, c *call) error {
	asJSON := c.flags.Bool("json", false, "print the findings as JSON")
	if err := c.parse(1, 1); err != nil {
		return err
	}
	return c.withBench(c.args[0], func(b *bench.Bench) error {
		found, err := b.Check(ctx, nil)
		if err != nil {
			return err
		}
		if *asJSON {
			if err := c.printJSON(found); err != nil {
				return err
			}
		} else {
			for _, f := range found {
				c.print("%s: %s\n", f.File, f.Text)
			}
			if len(found) == 0 {
				c.print("every file is whole\n")
			}
		}
		if len(found) > 0 {
			return errAnswerNo
		}
		return nil
	})
}

func runRebuild(ctx context.Context, c *call) error {
	asJSON := c.flags.Bool("json", false, "print the counts as JSON")
	if err := c.parse(1, 1); err != nil {
		return err
	}
	return c.withBench(c.args[0], func(b *bench.Bench) error {
		r, err := b.Rebuild(ctx)
		if err != nil {
			return err
		}
		if *asJSON {
			return c.printJSON(r)
		}
		c.print("index.db made anew from %d examinations\n", r.Examinations)
		for _, f := range r.Damaged {
			c.print("left out %s: %s\n", f.File, f.Text)
		}
		if len(r.Damaged) > 0 {
			return errAnswerNo
		}
		return nil
	})
}
