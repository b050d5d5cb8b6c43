package cli

import (
	"context"
	"errors"
	"fmt"

	"wornwood/pdfout/archive"
)

func runArchiveCheck(ctx context.Context, c *call) error {
	asJSON := c.flags.Bool("json", false, "print the findings as JSON")
	share := c.flags.Float64("share", 1, "read only this `share` of the reports byte by byte, such as 0.01; the rest is checked for being there with its size")
	seed := c.flags.String("seed", "day", "draws the share; \"day\" draws others each day")
	quarter := c.flags.Bool("quarter", false, "read those unread longest, as much as the time since the last such check is of 90 days: run it each night, and each quarter all is read")
	from := c.flags.String("copy", "", "`place` of a second copy, a folder or s3:// address: what is damaged or missing is brought back from it, lines of the log as well")
	trusts := c.trustFlags()
	if err := c.parse(1, 1); err != nil {
		return err
	}
	if !(*share > 0 && *share <= 1) || *quarter && *share != 1 {
		return &usageError{"wornwood archive check: --share is above 0 and at most 1, and --quarter takes its own"}
	}
	trust, err := trusts.options(c)
	if err != nil {
		return err
	}
	opt := archive.CheckOptions{Share: *share, Seed: *seed, Quarter: *quarter, Copy: *from, Trust: trust, Progress: func(p archive.CheckProgress) {
		if p.Done%1000 == 0 {
			fmt.Fprintf(c.Stderr, "checking: file %d of %d, %.0f of about %.0f MB of reports\n", p.Done, p.Total, float64(p.Bytes)/1e6, float64(p.Wholesale)/1e6)
		}
	}}
	if *from != "" {
		// A damaged log may keep the archive from opening, so it comes first.
		if opt.Mended, err = archive.MendLog(ctx, c.args[0], *from, c.Now()); err != nil {
			return err
		}
	}
	work := func(a *archive.Archive) error {
		r, err := a.Check(ctx, opt)
		if err != nil {
			return err
		}
		return c.printCheck(r, a.Head(), *asJSON)
	}
	err = c.withArchive(ctx, work)
	if *from == "" && (unwritable(err) || isChainError(err)) {
		// A copy on a disk that cannot be written to is checked all the same, and
		// so is an archive whose log is damaged.
		return c.readOnlyArchive(ctx, work)
	}
	return err
}

// isChainError says that an archive does not open because its log is damaged.
func isChainError(err error) bool {
	var broken *archive.ChainError
	return errors.As(err, &broken)
}

func (c *call) readOnlyArchive(ctx context.Context, f func(*archive.Archive) error) error {
	a, err := archive.Open(ctx, c.args[0], c.archiveOptions(true))
	if err != nil {
		return err
	}
	return errors.Join(f(a), a.Close())
}

func (c *call) printCheck(r *archive.CheckReport, head archive.Head, asJSON bool) error {
	if asJSON {
		if err := c.printJSON(r); err != nil {
			return err
		}
	} else {
		for _, f := range r.Findings {
			where := "archive"
			switch {
			case f.Ref != nil:
				where = fmt.Sprintf("%s %s", f.Ref.Area, f.Ref.Hash)
			case f.Line > 0:
				where = fmt.Sprintf("line %d of the log", f.Line)
			}
			c.print("%-6s %s: %s\n       to do: %s\n", f.Severity, where, onOneLine(f.Text), f.Do)
		}
		for _, ref := range r.Restored {
			c.print("brought back  %s %s\n", ref.Area, ref.Hash)
		}
		if m := r.Mended; m != nil {
			c.print("brought back  %d lines of the log; the damaged one is kept as %s\n", m.Count, orDash(m.Aside))
		}
		c.print("%d reports and %d refused ones; %d files read, %.1f MB; %d findings\n", r.Reports, r.Refused, r.Read, float64(r.Bytes)/1e6, len(r.Findings))
		if r.Removed+r.Stamps > 0 {
			c.print("%d removed, each with its tombstone; %d time-stamps over the log hold\n", r.Removed, r.Stamps)
		}
		if r.Unread != nil {
			c.print("the one unread longest is unread since %s\n", r.Unread.Format("2006-01-02"))
		}
		c.print("head %s\n", head)
	}
	if r.Wrong() {
		return errAnswerNo
	}
	return nil
}

func runArchiveLog(ctx context.Context, c *call) error {
	asJSON := c.flags.Bool("json", false, "print as JSON")
	head := c.flags.Bool("head", false, "print only the head: number and hash of the last line, to be noted elsewhere")
	since := c.flags.String("since", "", "prove that nothing up to this noted `head` was taken out or altered, and print the lines behind it")
	most := c.flags.Int("most", 1000, "with --since, print at most so many lines")
	if err := c.parse(1, 1); err != nil {
		return err
	}
	var noted archive.Head
	if *since != "" {
		var err error
		if noted, err = archive.ParseHead(*since); err != nil {
			return &usageError{"wornwood archive log: " + err.Error()}
		}
	}
	return c.readOnlyArchive(ctx, func(a *archive.Archive) error {
		switch {
		case *since != "":
			return c.printProof(a, noted, *most, *asJSON)
		case *head && *asJSON:
			return c.printJSON(a.Head())
		case *head:
			c.print("%s\n", a.Head())
			return nil
		}
		return a.Log(func(e archive.Entry) error { return c.printEntry(e, *asJSON) })
	})
}

func (c *call) printEntry(e archive.Entry, asJSON bool) error {
	if asJSON {
		return c.printJSON(e)
	}
	file := "–"
	if e.File != "" {
		file = e.File[:min(16, len(e.File))]
	}
	c.print("%s\n", onOneLine(fmt.Sprintf("%6d  %s  %-8s  %s  %s  %s", e.Seq, e.Time.Format("2006-01-02 15:04:05Z"), e.Kind, file, orDash(e.Source), e.Summary)))
	return nil
}

func (c *call) printProof(a *archive.Archive, since archive.Head, most int, asJSON bool) error {
	p, err := a.Prove(since, most)
	if err != nil {
		return err
	}
	switch {
	case asJSON:
		if err := c.printJSON(p); err != nil {
			return err
		}
	case p.Holds:
		c.print("The log passes through the noted head: of its first %d lines none was taken out or altered since. %d lines came after.\n", since.Seq, p.After)
		for _, e := range p.Lines {
			if err := c.printEntry(e, false); err != nil {
				return err
			}
		}
		c.print("head %s\n", p.Head)
	default:
		c.print("The log does not pass through the noted head: %s.\n", p.Why)
	}
	if !p.Holds {
		return errAnswerNo
	}
	return nil
}
