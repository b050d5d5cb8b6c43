package cli

import (
	"context"

	"wornwood/pdfout"
)

var extractVerb = &verb{name: "extract", args: "REPORT.pdf FOLDER [options]",
	short: "write the files inside a report into a folder: record, grade, their list, and the originals it holds", run: runExtract}

func runExtract(ctx context.Context, c *call) error {
	anyway := c.flags.Bool("anyway", false, "also from a report that does not pass the check; what is written is then worth nothing as evidence")
	asJSON := c.flags.Bool("json", false, "print the files as JSON")
	trusts := c.trustFlags()
	if err := c.parse(2, 2); err != nil {
		return err
	}
	opt, err := trusts.options(c)
	if err != nil {
		return err
	}
	list, v, err := pdfout.Extract(ctx, c.args[0], c.args[1], pdfout.ExtractOptions{Verify: opt, Anyway: *anyway})
	if err != nil {
		return err
	}
	if *asJSON {
		err = c.printJSON(map[string]any{"ok": v.OK, "files": list})
	} else {
		for _, f := range list {
			c.print("%s  %s\n", f.SHA256, f.File)
		}
		if !v.OK {
			c.say("written although the report does not pass the check: %s", v.Worst())
		}
	}
	if err == nil && !v.OK {
		err = errAnswerNo
	}
	return err
}
