package cli

import (
	"context"

	"wornwood/annotate"
	"wornwood/annotate/trace"
	"wornwood/capture/bench"
	"wornwood/ui/view"
)

var traceVerb = &verb{name: "trace", args: "BENCH PHOTO [X,Y X,Y] [--keep] [--exam ID]",
	short: "take the body's own outline from a photo on a plain backdrop", run: runTrace}

func runTrace(ctx context.Context, c *call) error {
	fs := c.flags
	exam := fs.String("exam", "", "`ID` of the examination; the only open one otherwise")
	keep := fs.Bool("keep", false, "make it the instrument's own outline")
	class := fs.Bool("class", false, "go back to the outline of the class")
	asJSON := fs.Bool("json", false, "print the outline as JSON")
	if err := c.parse(2, 4); err != nil {
		return err
	}
	axis, err := points(c.args[2:])
	if err != nil {
		return err
	}
	if len(axis) == 1 {
		return &usageError{"give the middle of the nut and the middle of the saddles, or scale the photo by frets first"}
	}
	return c.withSession(c.args[0], *exam, func(b *bench.Bench, _ *bench.Exam, s *annotate.Session) error {
		if *class {
			return s.SetOwn(nil)
		}
		p, err := findPhoto(s, c.args[1])
		if err != nil {
			return err
		}
		m := view.NewMarks(s)
		m.SetPhoto(p.ID)
		v := view.NewTracing(s, m)
		for _, q := range axis {
			v.Click(q)
		}
		if v.NeedsAxis() {
			return &usageError{"the photo is not laid over the outline: give the middle of the nut and of the saddles in pixels, or scale it by frets first"}
		}
		job := view.NewTraceJob(b, *p, trace.Options{})
		if err := job.Run(ctx); err != nil {
			return err
		}
		v.Show(job)
		return printTrace(c, v, *keep, *asJSON)
	})
}

func printTrace(c *call, v *view.Tracing, keep, asJSON bool) error {
	own, err := v.Own()
	if err == nil && asJSON {
		if err := c.printJSON(own); err != nil {
			return err
		}
	} else if !asJSON {
		c.print("%s\n", v.Status())
	}
	for _, w := range v.Warnings() {
		c.say("%s", w)
	}
	if err != nil {
		return errAnswerNo
	}
	if keep {
		return v.Keep()
	}
	return nil
}
