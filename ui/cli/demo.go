package cli

import (
	"context"
	"path/filepath"

	"wornwood/ui/demo"
)

var demoVerb = &verb{name: "demo", args: "FOLDER [--json] [--draft]",
	short: "fill a new folder with the demonstration: photos, examination, signed and verified report", run: runDemo}

func runDemo(ctx context.Context, c *call) error {
	asJSON := c.flags.Bool("json", false, "print answers and paths as JSON")
	draft := c.flags.Bool("draft", false, "leave the examination open, without a report")
	if err := c.parse(1, 1); err != nil {
		return err
	}
	dir, err := filepath.Abs(c.args[0])
	if err != nil {
		return err
	}
	o := demo.Options{Now: c.Now, Draft: *draft}
	if !*asJSON {
		o.Progress = c.progress("demo")
	}
	res, err := demo.Run(ctx, dir, o)
	if err != nil {
		return err
	}
	if *asJSON {
		return c.printJSON(res)
	}
	printAnswers(c, res.Grade)
	c.print("\nbench        %s\nexamination  %s\n", res.Bench, res.Exam)
	for _, p := range res.Photos {
		c.print("photo        %s\n", p)
	}
	if res.Verdict == nil {
		return nil
	}
	c.print("report       %s\n\n", res.Report)
	printVerdict(c, res.Verdict)
	return nil
}
