package cli

import (
	"context"
	"errors"

	"wornwood/pdfout"
	"wornwood/pdfout/receive"
)

var verifyVerb = &verb{name: "verify", args: "REPORT.pdf [options]",
	short: "say whether a report is complete and unaltered, who signed it, and whether its grade follows from its record", run: runVerify}

// maxReceipt is the largest file that is looked at as a receipt, in bytes: it is
// read as a whole, and what somebody sends may be of any size.
const maxReceipt = 32 << 20

func runVerify(ctx context.Context, c *call) error {
	asJSON := c.flags.Bool("json", false, "print the verdict as JSON")
	schema := c.flags.Bool("schema", false, "print the JSON schema of the verdict on a report and stop")
	strict := c.flags.Bool("strict", false, "for archives: ask as well for a signer known or certified here, a trusted time, a rubric of the program's and the marks of the archival form")
	of := c.flags.String("of", "", "of a receipt: the `report` that it should be about")
	trusts := c.trustFlags()
	if err := c.parse(0, 1); err != nil {
		return err
	}
	if *schema {
		_, err := c.Stdout.Write(pdfout.SchemaOfVerdict())
		return err
	}
	if len(c.args) == 0 {
		return &usageError{"usage: wornwood verify " + c.verb.args}
	}
	opt, err := trusts.options(c)
	if err != nil {
		return err
	}
	if *of != "" {
		return verifyReceipt(ctx, c, *of, *asJSON, opt)
	}
	opt.Strict = *strict
	v, err := pdfout.Verify(ctx, c.args[0], opt)
	if err != nil {
		return err
	}
	if v.Record == nil && v.Size <= maxReceipt && receive.Is(ctx, c.args[0]) {
		if *strict {
			return errors.New("this is a receipt, and --strict is for reports")
		}
		return verifyReceipt(ctx, c, "", *asJSON, opt)
	}
	if *asJSON {
		if err := c.printJSON(v); err != nil {
			return err
		}
	} else {
		printVerdict(c, v)
	}
	if !v.OK {
		return errAnswerNo
	}
	return nil
}

func printVerdict(c *call, v *pdfout.Verdict) {
	c.print("%s\n", v.Headline())
	for _, l := range v.Lines {
		c.print("%-4s %s\n", l.Standing, l.Text)
	}
}
