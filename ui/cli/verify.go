package cli

import (
	"context"

	"wornwood/pdfout"
	"wornwood/pdfout/receive"
)

var verifyVerb = &verb{name: "verify", args: "REPORT.pdf [options]",
	short: "say whether a report is complete and unaltered, who signed it, and whether its grade follows from its record", run: runVerify}

func runVerify(ctx context.Context, c *call) error {
	asJSON := c.flags.Bool("json", false, "print the verdict as JSON")
	list := c.flags.String("known", "", "`file` with the list of known keys; the user's own otherwise")
	of := c.flags.String("of", "", "of a receipt: the `report` that it should be about")
	if err := c.parse(1, 1); err != nil {
		return err
	}
	known, err := c.knownKeys(*list)
	if err != nil {
		return err
	}
	if *of != "" || receive.Is(ctx, c.args[0]) {
		return verifyReceipt(ctx, c, *of, *asJSON, pdfout.VerifyOptions{Known: known})
	}
	v, err := pdfout.Verify(ctx, c.args[0], pdfout.VerifyOptions{Known: known})
	if err != nil {
		return err
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
