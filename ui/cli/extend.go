package cli

import (
	"context"
	"path/filepath"

	"wornwood/pdfout"
)

var extendVerb = &verb{name: "extend", args: "REPORT.pdf NEW.pdf [--timestamp ADDRESS]",
	short: "copy a signed report with what keeps it checkable for longer: its authorities' word on revoked certificates, a time-stamp over the whole", run: runExtend}

func runExtend(ctx context.Context, c *call) error {
	authority := c.flags.String("timestamp", "", "`address` of a time-stamp authority (RFC 3161) that stamps the whole file")
	asJSON := c.flags.Bool("json", false, "print what was added as JSON")
	if err := c.parse(2, 2); err != nil {
		return err
	}
	did, err := pdfout.Extend(ctx, c.args[0], c.args[1], pdfout.ExtendOptions{Now: c.Now(), TimestampURL: *authority})
	if err != nil {
		return err
	}
	if *asJSON {
		return c.printJSON(map[string]any{"path": c.args[1], "revocation": did.Revocation, "timestamp": did.Timestamp, "note": did.Why})
	}
	if did.Revocation {
		c.print("the authorities' statements on revoked certificates are embedded\n")
	} else {
		c.print("nothing on revoked certificates: %s\n", did.Why)
	}
	if did.Timestamp {
		c.print("a time-stamp over the whole file is added\n")
	}
	c.print("%s\n", filepath.Clean(c.args[1]))
	return nil
}
