package cli

import (
	"context"
	"fmt"
	"strings"

	"wornwood/pdfout/archive"
	"wornwood/pdfout/archive/people"
)

// everything is more rows than any archive has.
const everything = 1 << 40

func runArchiveFind(ctx context.Context, c *call) error {
	asJSON := c.flags.Bool("json", false, "print the reports as JSON")
	lines := c.flags.Bool("lines", false, "print all of them as JSON Lines, one object a line")
	csv := c.flags.Bool("csv", false, "print all of them as CSV for spreadsheets")
	parquet := c.flags.String("parquet", "", "write all of them as Parquet to this `file`; 'archive export' says more")
	counts := c.flags.String("counts", "", "instead, count them by a `field`: "+strings.Join(archive.CountFields(), ", "))
	from := c.flags.Int("from", 0, "begin with this `row`, counted from 0")
	most := c.flags.Int("most", 100, "print at most so many")
	help := c.flags.Bool("fields", false, "explain the query line and stop")
	c.protect()
	if err := c.parse(0, -1); err != nil {
		return err
	}
	if *help {
		c.print("%s", archive.QueryHelp)
		return nil
	}
	if len(c.args) == 0 || *from < 0 || *most < 1 {
		return &usageError{"usage: wornwood archive find DIR [QUERY ...] [options]"}
	}
	if *from > 0 && (*csv || *lines || *parquet != "") {
		return &usageError{"wornwood archive find: --csv, --lines and --parquet write all of them; leave --from out"}
	}
	q, err := archive.ParseQuery(queryLine(c.args[1:]))
	if err != nil {
		return &usageError{fmt.Sprintf("wornwood archive find: %v", err)}
	}
	return c.readArchive(ctx, func(a *archive.Archive) error {
		if *counts != "" {
			list, err := a.Counts(q, *counts)
			if err != nil {
				return err
			}
			return c.printCounts(list, *asJSON)
		}
		for i, file := range []string{toOutput(*csv), toOutput(*lines), *parquet} {
			if file != "" {
				if err := people.ReadsAll(ctx, a, c.args[0], q); err != nil {
					return err
				}
				_, err := c.exportTo(ctx, a, q, file, exportForms[i].to)
				return err
			}
		}
		f, err := a.Find(q, *from, *most)
		switch {
		case err != nil:
			return err
		case *asJSON:
			return c.printJSON(f)
		}
		return c.printFound(f)
	})
}

// protect keeps terms such as -has:photos from being read as options: those
// that stand for "not" begin with one dash and no option's name.
func (c *call) protect() {
	for i, a := range c.args {
		name := strings.TrimLeft(a, "-")
		if name, _, _ = strings.Cut(name, "="); strings.HasPrefix(a, "-") && !strings.HasPrefix(a, "--") && len(a) > 1 && c.flags.Lookup(name) == nil && name != "h" && name != "help" {
			c.args[i] = "\x00" + a
		}
	}
}

// queryLine joins the words of the command line to one query.
func queryLine(args []string) string {
	for i, a := range args {
		args[i] = strings.TrimPrefix(a, "\x00")
	}
	return strings.Join(args, " ")
}

func (c *call) printFound(f *archive.Found) error {
	for _, r := range f.Rows {
		state := r.Verdict
		if r.Countersigned {
			state += ", countersigned"
		}
		if r.Linked != "" {
			state += ", a later version"
		}
		index := "–"
		if r.Index != nil {
			index = fmt.Sprintf("%.1f", *r.Index)
		}
		c.print("%s\n", onOneLine(fmt.Sprintf("%s  %s  %-13s %s, serial %s, index %s; by %s; key %s", r.Hash[:16], r.Date, orDash(r.Number), r.Title(), orDash(r.Serial), index, orDash(r.Examiner), state)))
	}
	switch {
	case len(f.Rows) == 0:
		c.print("nothing answers this\n")
		return errAnswerNo
	case f.More:
		c.print("there are more; --from %d shows them\n", len(f.Rows))
	}
	return nil
}

func (c *call) printCounts(list []archive.Count, asJSON bool) error {
	if asJSON {
		return c.printJSON(list)
	}
	for _, n := range list {
		c.print("%7d  %s\n", n.N, onOneLine(orDash(n.Value)))
	}
	return nil
}

func runArchiveShow(ctx context.Context, c *call) error {
	asJSON := c.flags.Bool("json", false, "print everything that is kept of it as JSON")
	if err := c.parse(2, 2); err != nil {
		return err
	}
	return c.readArchive(ctx, func(a *archive.Archive) error {
		s, err := a.Show(c.args[1])
		if err != nil {
			return c.sayRemoved(a, c.args[1], err)
		}
		if err := c.reads(a, archive.ReadReport, s.Row.Hash); err != nil {
			return err
		}
		if *asJSON {
			return c.printJSON(s)
		}
		r := s.Row
		c.print("%s\n", onOneLine(fmt.Sprintf("%s, serial %s, report %s of %s", r.Title(), orDash(r.Serial), orDash(r.Number), r.Date)))
		c.print("sha256  %s\nfile    %s\nfiled   %s, line %d of the log, as %s\n\nWhat was found when it was filed:\n", r.Hash, s.Path, r.Filed.Format("2006-01-02 15:04 MST"), r.Seq, onOneLine(r.Source))
		printVerdict(c, s.Verdict)
		for _, v := range s.Versions {
			if v.Hash == r.Hash {
				continue
			}
			how := "as issued"
			if v.Countersigned {
				how = "countersigned"
			}
			c.print("also filed: %s, %s, line %d\n", v.Hash, how, v.Seq)
		}
		return c.printRemovedVersions(a, r.First)
	})
}

// toOutput is the name that stands for the output, where it is asked for.
func toOutput(asked bool) string {
	if asked {
		return "-"
	}
	return ""
}
