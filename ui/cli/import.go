package cli

import (
	"context"
	"strconv"
	"strings"
	"unicode"

	"wornwood/annotate"
	"wornwood/capture/bench"
)

var importVerb = &verb{name: "import", args: "BENCH FILE|FOLDER ... [--exam ID]",
	short: "copy photos into a bench, byte for byte, and list them in an examination", run: runImport}

func runImport(ctx context.Context, c *call) error {
	exam := c.flags.String("exam", "", "`ID` of the examination; the only open one otherwise")
	asJSON := c.flags.Bool("json", false, "print what was added as JSON")
	quiet := c.flags.Bool("quiet", false, "no progress")
	if err := c.parse(2, -1); err != nil {
		return err
	}
	return c.withSession(c.args[0], *exam, func(b *bench.Bench, ex *bench.Exam, _ *annotate.Session) error {
		report := c.progress("photo")
		if *quiet || *asJSON {
			report = func(int, int, string) {}
		}
		res, err := b.Import(ctx, ex, c.args[1:], report)
		if err != nil {
			return err
		}
		if *asJSON {
			if err := c.printJSON(res); err != nil {
				return err
			}
		} else {
			printImport(c, res)
		}
		if len(res.Refused) > 0 {
			return errAnswerNo
		}
		return nil
	})
}

func printImport(c *call, res *bench.ImportResult) {
	for _, p := range res.Added {
		taken := p.Taken
		if taken == "" {
			taken = "no camera date"
		}
		c.print("%s  %s  %d × %d  %s\n", p.ID[:12], taken, p.Width, p.Height, p.Name)
		for _, r := range p.Remarks {
			c.print("              %s\n", r)
		}
	}
	for _, r := range res.Refused {
		c.print("refused %s: %s\n", onOneLine(r.File), r.Why)
	}
	c.print("%d added, %d known already, %d refused\n", len(res.Added), len(res.Known), len(res.Refused))
}

// onOneLine is a path as it can be shown in a terminal: in quotes, when it holds
// line ends, terminal codes or what else does not print.
func onOneLine(path string) string {
	if strings.IndexFunc(path, func(r rune) bool { return !unicode.IsPrint(r) || r == unicode.ReplacementChar }) < 0 {
		return path
	}
	return strconv.Quote(path)
}
