package cli

import (
	"context"
	"fmt"
	"strings"

	"wornwood/pdfout/archive"
)

func runArchiveAlike(ctx context.Context, c *call) error {
	asJSON := c.flags.Bool("json", false, "print the proposals as JSON")
	most := c.flags.Int("most", 10, "print at most so many")
	rules := c.flags.Bool("rules", false, "print the rules with their points and stop")
	if err := c.parse(0, 2); err != nil {
		return err
	}
	if *rules {
		for _, r := range archive.AlikeRules() {
			c.print("%+5.1f  %-20s %s\n", r.Points, r.ID, r.Says)
		}
		c.print("strong from %.1f points, fair from %.1f, weak from %.1f\n", archive.StrongFrom, archive.FairFrom, archive.WeakFrom)
		return nil
	}
	if len(c.args) != 2 || *most < 1 {
		return &usageError{"usage: wornwood archive alike DIR SHA256 [options]"}
	}
	return c.readArchive(ctx, func(a *archive.Archive) error {
		al, err := a.Alike(ctx, c.args[1], *most)
		if err != nil {
			return err
		}
		if *asJSON {
			return c.printJSON(al)
		}
		return c.printAlike(al)
	})
}

func (c *call) printAlike(al *archive.Alike) error {
	c.print("%s\n", onOneLine(fmt.Sprintf("%s, serial %s, report %s of %s", al.Of.Title(), orDash(al.Of.Serial), orDash(al.Of.Number), al.Of.Date)))
	for _, p := range al.Proposals {
		r := p.Report
		c.print("\n%s\n", onOneLine(fmt.Sprintf("%s  %s  %s, serial %s, by %s: %s, %.1f points", r.Hash[:16], r.Date, r.Title(), orDash(r.Serial), orDash(r.Shop), p.Strength, p.Points)))
		for _, e := range p.For {
			c.print("  for      %+.1f  %s\n", e.Points, onOneLine(e.Text))
		}
		for _, e := range p.Against {
			c.print("  against  %+.1f  %s\n", e.Points, onOneLine(e.Text))
		}
	}
	c.print("\n%d records compared", al.Compared)
	if al.Apart > 0 {
		c.print("; %d left out, which somebody said are other instruments", al.Apart)
	}
	c.print("\n")
	if al.More {
		c.print("there are more reports of its maker and model than were looked through for marks\n")
	}
	if len(al.Proposals) == 0 {
		c.print("nothing to propose\n")
		return errAnswerNo
	}
	c.print("these are proposals; 'archive join' or 'archive distinct' says what is so\n")
	return nil
}

func runArchiveJoin(ctx context.Context, c *call) error {
	return c.decide(ctx, 2, (*archive.Archive).Join, "joined: %s")
}

func runArchivePart(ctx context.Context, c *call) error {
	return c.decide(ctx, 1, (*archive.Archive).Part, "parted: %s")
}

func runArchiveDistinct(ctx context.Context, c *call) error {
	return c.decide(ctx, 2, (*archive.Archive).Distinct, "kept apart: %s")
}

// decide writes what a person says about reports into the log.
func (c *call) decide(ctx context.Context, least int, do func(a *archive.Archive, by, why string, hashes ...string) error, done string) error {
	by := c.flags.String("by", "", "who decides it; goes into the log")
	why := c.flags.String("why", "", "the reason; goes into the log")
	if err := c.parse(1+least, 1+archive.MaxMembers); err != nil {
		return err
	}
	if strings.TrimSpace(*by) == "" || strings.TrimSpace(*why) == "" {
		return &usageError{fmt.Sprintf("wornwood %s: --by and --why are needed: others will want to know who decided it, and on what grounds", c.verb.name)}
	}
	return c.withArchive(ctx, func(a *archive.Archive) error {
		if err := do(a, *by, *why, c.args[1:]...); err != nil {
			return err
		}
		c.print(done+"\n", strings.Join(c.args[1:], ", "))
		for _, h := range c.args[1:] {
			i, err := a.Instrument(h)
			if err != nil {
				return err
			}
			var days []string
			for _, r := range i.Examinations() {
				days = append(days, r.Date)
			}
			c.print("%s\n", onOneLine(fmt.Sprintf("%s  now one of %d examinations: %s", h, len(days), strings.Join(days, ", "))))
		}
		c.print("head %s\n", a.Head())
		return nil
	})
}
