package cli

import (
	"context"

	"wornwood/pdfout"
	"wornwood/pdfout/receive"
)

// verifyReceipt says what a receipt proves and, when a report is given, whether
// it is about that one.
func verifyReceipt(ctx context.Context, c *call, of string, asJSON bool, opt pdfout.VerifyOptions) error {
	v, err := receive.Check(ctx, c.args[0], opt)
	if err != nil {
		return err
	}
	if of != "" {
		if _, err := v.About(ctx, of, opt); err != nil {
			return err
		}
	}
	if asJSON {
		if err := c.printJSON(v); err != nil {
			return err
		}
	} else {
		c.print("%s\n", v.Headline())
		for _, l := range v.Lines {
			c.print("%-4s %s\n", l.Standing, l.Text)
		}
	}
	if !v.OK {
		return errAnswerNo
	}
	return nil
}
